// The step `lift`.
#pragma once

#include <string>

#include "bench/step_kind.h"

namespace witnessline::bench {

enum class LiftBy { swab, scrape, chip, rub };
constexpr auto words(const LiftBy*) { return std::array{"swab", "scrape", "chip", "rub"}; }

/// Take a later coat off and stop at an earlier one.
struct Lift {
  static constexpr std::string_view word = "lift";
  std::string coat;     ///< name of the coat to take off
  std::string stop_at;  ///< name of the coat to stop at; "wood" for bare wood
  LiftBy by = LiftBy::scrape;
  std::string with;                ///< solvent of the swab, a material id
  double collateral_m = 2e-6;      ///< mean thickness lost from the coat stopped at
  double residue_fraction = 0.02;  ///< share of the area where some of the coat stays
  Where where;
  Traits traits() const {
    return Traits(Cuts::yes, no_coat, by == LiftBy::swab ? Wets::yes : Wets::no, Heats::no, Chills::no,
                  by == LiftBy::swab ? Sheds::slurry : Sheds::dust,
                  by == LiftBy::scrape || by == LiftBy::chip ? Tool::blade : Tool::hand, Ages::no,
                  SurfaceEffect::renews, &where, no_rest);
  }
  void vary(VariedInput& v) {
    v("collateral", collateral_m, hand::unwanted_sd);
    v("residue", residue_fraction, hand::unwanted_sd, 0, 0.5);
  }
  void check(StepCheck& c) const {
    c.coat("coat", coat);
    c.coat_or_wood("stop_at", stop_at);
    if (!coat.empty() && coat == stop_at) c.fault("stop_at", "is the coat that is lifted", "a coat below it, or wood");
    c.material("with", with, {Role::solvent, Role::cleaner});
    if (by == LiftBy::swab && with.empty()) c.fault("", "swabs with nothing", "with, a solvent of the library");
    c.where("where", where);
  }
  Headline headline(const ShowQuantity&) const { return {"stop at " + stop_at, "lift " + coat}; }
};
template <class V>
void describe(V& v, Lift& s) {
  v(member("coat", "coat to take off").must(), s.coat);
  v(member("stop_at", "coat to stop at, or wood").must(), s.stop_at);
  v(member("by", "swab, scrape, chip or rub"), s.by);
  v(member("with", "solvent of the swab, a material id"), s.with);
  v(member("collateral_um", "mean thickness lost from the coat stopped at", unit::um).within(0, 100), s.collateral_m);
  v(member("residue_pct", "share of the area where some of the coat stays", unit::pct).within(0, 50),
    s.residue_fraction);
  v(member("where", "where it is lifted"), s.where);
}

Result<StepResult> work(const Lift&, StepContext&);

}  // namespace witnessline::bench
