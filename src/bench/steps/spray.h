// The steps `spray` and `melt_in`.
#pragma once

#include <string>

#include "bench/step_kind.h"

namespace witnessline::bench {

/// Lay coats of a mixture by spraying.
struct Spray {
  static constexpr std::string_view word = "spray";
  std::string mixture;  ///< mixture or material id
  int coats = 1;
  double wet_m = 90e-6;   ///< wet film of one coat
  double thinning = 0;    ///< parts thinner by volume to one part of paint
  std::string thinner;    ///< solvent or thinner, a material id
  double transfer = 0.5;  ///< share of the solids that lands (ESTIMATE unless the shop weighed it)
  double flash_s = 1200;  ///< between coats
  bool tack = true;       ///< a tack cloth goes over before each coat
  Where where;
  Traits traits() const {
    return Traits(Cuts::no, CoatLaid{mixture, coats, wet_m}, Wets::yes, Heats::no, Chills::no, Sheds::mist, Tool::gun,
                  Ages::no, SurfaceEffect::renews, &where, no_rest);
  }
  void vary(VariedInput& v) {
    v("wet", wet_m, hand::sprayed_sd);
    v("transfer", transfer, hand::transfer_sd, 0.05, 0.95);
  }
  void check(StepCheck& c) const {
    c.paint("mixture", mixture);
    c.thinned(thinning, thinner);
    c.where("where", where);
  }
  Headline headline(const ShowQuantity& show) const {
    return {std::to_string(coats) + " \u00d7 " + show(wet_m, Quantity::film_thickness),
            coats == 1 ? "coat, wet" : "coats, wet"};
  }
};
template <class V>
void describe(V& v, Spray& s) {
  v(member("mixture", "mixture of the job or material of the library").must(), s.mixture);
  v(member("coats", "number of coats").within(1, 60), s.coats);
  v(member("wet_um", "wet film of one coat", unit::um).within(1, 500), s.wet_m);
  v(member("thinning", "parts thinner by volume to one part of paint").within(0, 10), s.thinning);
  v(member("thinner", "thinner, a material id"), s.thinner);
  v(member("transfer_pct", "share of the solids that lands", unit::pct).within(5, 95), s.transfer);
  v(member("flash_min", "time between coats", unit::min).within(0, 10000), s.flash_s);
  v(member("tack", "a tack cloth goes over before each coat"), s.tack);
  v(member("where", "where it is sprayed"), s.where);
}

/// A very thin wet coat that bites into the aged coat below and fuses with it.
struct MeltIn {
  static constexpr std::string_view word = "melt_in";
  std::string mixture;
  double wet_m = 25e-6;
  double thinning = 3;
  std::string thinner;
  double bite_m = 3e-6;  ///< depth of the old coat that is dissolved into the new one
  double transfer = 0.5;
  Where where;
  Traits traits() const {
    return Traits(Cuts::no, CoatLaid{mixture, 1, wet_m}, Wets::yes, Heats::no, Chills::no, Sheds::mist, Tool::gun,
                  Ages::no, SurfaceEffect::renews, &where, no_rest);
  }
  void vary(VariedInput& v) {
    v("wet", wet_m, hand::sprayed_sd);
    v("transfer", transfer, hand::transfer_sd, 0.05, 0.95);
    v("bite", bite_m, hand::unwanted_sd);
  }
  void check(StepCheck& c) const {
    c.paint("mixture", mixture);
    c.thinned(thinning, thinner);
    c.where("where", where);
  }
  Headline headline(const ShowQuantity& show) const {
    return {show(wet_m, Quantity::film_thickness), "wet, bites " + show(bite_m, Quantity::film_thickness)};
  }
};
template <class V>
void describe(V& v, MeltIn& s) {
  v(member("mixture", "mixture of the job or material of the library").must(), s.mixture);
  v(member("wet_um", "wet film", unit::um).within(1, 100), s.wet_m);
  v(member("thinning", "parts thinner by volume to one part of paint").within(0, 20), s.thinning);
  v(member("thinner", "thinner, a material id"), s.thinner);
  v(member("bite_um", "depth of the old coat that is dissolved into the new one", unit::um).within(0, 20), s.bite_m);
  v(member("transfer_pct", "share of the solids that lands", unit::pct).within(5, 95), s.transfer);
  v(member("where", "where it is laid"), s.where);
}

Result<StepResult> work(const Spray&, StepContext&);
Result<StepResult> work(const MeltIn&, StepContext&);

}  // namespace witnessline::bench
