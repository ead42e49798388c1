// The step `knock_back`.
#pragma once

#include <cmath>
#include <optional>
#include <string>

#include "bench/step_kind.h"

namespace witnessline::bench {

/// Sheen taken down with a dry pad, to a gloss or to what a life leaves; never up.
struct KnockBack {
  static constexpr std::string_view word = "knock_back";
  std::optional<double> gloss_60;  ///< gloss units at 60 degrees
  std::string life;                ///< instead of a gloss
  double depth_m = 0.5e-6;         ///< what the pad takes
  Where where;
  Traits traits() const {
    return Traits(Cuts::yes, no_coat, Wets::no, Heats::no, Chills::no, Sheds::dust, Tool::hand, Ages::yes,
                  SurfaceEffect::wears, &where, no_rest);
  }
  void vary(VariedInput& v) { v("depth", depth_m, hand::cut_sd); }
  void check(StepCheck& c) const {
    c.one_of("gloss_60", gloss_60.has_value(), "life", !life.empty());
    c.life("life", life);
    c.where("where", where);
  }
  Headline headline(const ShowQuantity&) const {
    return gloss_60 ? Headline{std::to_string(std::lround(*gloss_60)), "gloss at 60\u00b0"} : Headline{};
  }
};
template <class V>
void describe(V& v, KnockBack& s) {
  v(member("gloss_60", "gloss to stop at, in gloss units at 60 degrees; or life").within(1, 95), s.gloss_60);
  v(member("life", "a life of the job, instead of a gloss"), s.life);
  v(member("depth_um", "what the pad takes", unit::um).within(0, 20), s.depth_m);
  v(member("where", "what is knocked back"), s.where);
}

Result<StepResult> work(const KnockBack&, StepContext&);

}  // namespace witnessline::bench
