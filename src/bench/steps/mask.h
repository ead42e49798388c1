// The steps `mask`, `unmask` and `plug`.
#pragma once

#include <string>

#include "bench/step_kind.h"

namespace witnessline::bench {

/// Traits of tape and plugs, on or off.
inline Traits covering(SurfaceEffect effect, const Where& where) {
  return Traits(Cuts::no, no_coat, Wets::no, Heats::no, Chills::no, Sheds::nothing, Tool::hand, Ages::no, effect,
                &where, no_rest);
}

/// Cover against what follows.
struct Mask {
  static constexpr std::string_view word = "mask";
  Where where;
  double overhang_m = 0;  ///< tape reaching past the line
  Traits traits() const { return covering(SurfaceEffect::masks, where); }
  void vary(VariedInput&) {}
  void check(StepCheck& c) const { c.where("where", where); }
  Headline headline(const ShowQuantity&) const { return {}; }
};
template <class V>
void describe(V& v, Mask& s) {
  v(member("where", "what is covered").must(), s.where);
  v(member("overhang_mm", "tape reaching past the line", unit::mm).within(0, 20), s.overhang_m);
}

struct Unmask {
  static constexpr std::string_view word = "unmask";
  Where where;  ///< empty: all tape and plugs
  Traits traits() const { return covering(SurfaceEffect::unmasks, where); }
  void vary(VariedInput&) {}
  void check(StepCheck& c) const { c.where("where", where); }
  Headline headline(const ShowQuantity&) const { return {}; }
};
template <class V>
void describe(V& v, Unmask& s) {
  v(member("where", "what is uncovered; absent: all tape and plugs"), s.where);
}

/// Close pockets and holes so that no finish builds in them and their clearances stay.
struct Plug {
  static constexpr std::string_view word = "plug";
  Where where{{"cavity"}, {}, {}, 0};
  Traits traits() const { return covering(SurfaceEffect::masks, where); }
  void vary(VariedInput&) {}
  void check(StepCheck& c) const { c.where("where", where); }
  Headline headline(const ShowQuantity&) const { return {}; }
};
template <class V>
void describe(V& v, Plug& s) {
  v(member("where", "pockets and holes"), s.where);
}

Result<StepResult> work(const Mask&, StepContext&);
Result<StepResult> work(const Unmask&, StepContext&);
Result<StepResult> work(const Plug&, StepContext&);

}  // namespace witnessline::bench
