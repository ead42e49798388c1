// The step `wear`.
#pragma once

#include <optional>
#include <string>

#include "bench/step_kind.h"

namespace witnessline::bench {

/// Wear, laid by hand (place, depth and fall-off) or as a life would have worn it.
struct Wear {
  static constexpr std::string_view word = "wear";
  std::optional<double> depth_m;  ///< at the middle of the place; or
  std::string life;               ///< id of a life
  std::string stop_at;            ///< coat never cut into; empty: none
  Where where;
  Traits traits() const {
    return Traits(Cuts::yes, no_coat, Wets::no, Heats::no, Chills::no, Sheds::dust, Tool::hand, Ages::as_play,
                  life.empty() ? SurfaceEffect::none : SurfaceEffect::wears, &where, no_rest);
  }
  void vary(VariedInput& v) {
    if (depth_m) v("depth", *depth_m, hand::cut_sd);
  }
  void check(StepCheck& c) const {
    c.one_of("depth_um", depth_m.has_value(), "life", !life.empty(),
             "depth_um wears by hand, life as what touched it would have");
    if (depth_m && life.empty() && !c.given("where"))
      c.fault("", "is worn by hand, but no place is named", "where", "say where; only a life finds its places itself");
    c.life("life", life);
    if (stop_at != "nothing") c.coat_or_wood("stop_at", stop_at);
    c.where("where", where);
  }
  Headline headline(const ShowQuantity& show) const {
    return depth_m ? Headline{show(*depth_m, Quantity::film_thickness), "at the middle"}
                   : Headline{life, "wear as this history would"};
  }
};
template <class V>
void describe(V& v, Wear& s) {
  v(member("depth_um", "by hand: depth at the middle of the place; this or life", unit::um).within(0, 2000), s.depth_m);
  v(member("life", "a life of the job: wears where and as deep as what touched it would have; this or depth_um"),
    s.life);
  v(member("stop_at", "coat never cut into"), s.stop_at);
  v(member("where", "place; fade_mm is the fall-off. With a life: the only place it is worked in; absent: everywhere"),
    s.where);
}

Result<StepResult> work(const Wear&, StepContext&);

}  // namespace witnessline::bench
