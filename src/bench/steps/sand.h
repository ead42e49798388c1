// The steps `sand`, `flat` and `buff`.
#pragma once

#include <optional>
#include <string>

#include "bench/laws.h"
#include "bench/step_kind.h"

namespace witnessline::bench {

/// Cut with paper: `sand` follows the surface, `flat` levels it.
struct Sand {
  static constexpr std::string_view word = "sand";
  int grit = 600;                 ///< FEPA P number
  std::optional<double> depth_m;  ///< mean depth; absent: what keying with this grit takes
  double edge_factor = 2;         ///< how much more goes at edges
  bool wet = true;
  Where where;
  Traits traits() const {
    return Traits(Cuts::yes, no_coat, Wets::no, Heats::no, Chills::no, wet ? Sheds::slurry : Sheds::dust, Tool::hand,
                  Ages::no, SurfaceEffect::flats, &where, no_rest);
  }
  void vary(VariedInput& v) {
    const double sd = depth_m ? hand::cut_sd : hand::keying_sd;
    if (!depth_m) depth_m = keying_depth_m(grit);
    v("depth", *depth_m, sd);
  }
  void check(StepCheck& c) const { c.where("where", where); }
  Headline headline(const ShowQuantity& show) const {
    return {"P" + std::to_string(grit), depth_m ? "take " + show(*depth_m, Quantity::film_thickness) : "scuff only"};
  }
};
template <class V>
void describe(V& v, Sand& s) {
  v(member("grit", "FEPA P number of the paper, P12 to P2500").within(12, 2500).must(), s.grit);
  v(member("depth_um", "mean depth; absent: what keying with this grit takes", unit::um).within(0, 2000), s.depth_m);
  v(member("edge_factor", "how much more goes at edges").within(1, 10), s.edge_factor);
  v(member("wet", "wet sanding"), s.wet);
  v(member("where", "where it is sanded"), s.where);
}
struct Flat : Sand {
  static constexpr std::string_view word = "flat";
  Traits traits() const { return Sand::traits(); }
  void vary(VariedInput& v) { Sand::vary(v); }
  void check(StepCheck& c) const { Sand::check(c); }
  Headline headline(const ShowQuantity& show) const { return Sand::headline(show); }
};

struct Buff {
  static constexpr std::string_view word = "buff";
  std::string compound = "fine_compound";
  double depth_m = 2e-6;
  double edge_factor = 3;  ///< wheels catch edges
  Where where;
  Traits traits() const {
    return Traits(Cuts::yes, no_coat, Wets::no, Heats::yes, Chills::no, Sheds::dust, Tool::wheel, Ages::no,
                  SurfaceEffect::buffs, &where, no_rest);
  }
  void vary(VariedInput& v) { v("depth", depth_m, hand::cut_sd); }
  void check(StepCheck& c) const {
    c.material("compound", compound, {Role::compound});
    c.where("where", where);
  }
  Headline headline(const ShowQuantity& show) const { return {show(depth_m, Quantity::film_thickness), "take"}; }
};
template <class V>
void describe(V& v, Buff& s) {
  v(member("compound", "polishing compound, a material id"), s.compound);
  v(member("depth_um", "mean depth taken", unit::um).within(0, 50), s.depth_m);
  v(member("edge_factor", "how much more goes at edges").within(1, 20), s.edge_factor);
  v(member("where", "where it is buffed"), s.where);
}

Result<StepResult> work(const Sand&, StepContext&);
Result<StepResult> work(const Flat&, StepContext&);
Result<StepResult> work(const Buff&, StepContext&);

}  // namespace witnessline::bench
