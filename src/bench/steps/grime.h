// The step `grime`.
#pragma once

#include <string>
#include <vector>

#include "bench/step_kind.h"

namespace witnessline::bench {

/// Brown dirt of handling, and what of it lodges in checks.
struct Grime {
  static constexpr std::string_view word = "grime";
  std::string life;
  Where where;               ///< where it was handled most; fade_m thins it out. Empty: where the life's hands lay
  std::vector<Patch> parts;  ///< under plates and parts: none
  Traits traits() const {
    return Traits(Cuts::no, no_coat, Wets::no, Heats::no, Chills::no, Sheds::nothing, Tool::hand, Ages::yes,
                  SurfaceEffect::soils, &where, no_rest);
  }
  void vary(VariedInput&) {}
  void check(StepCheck& c) const {
    c.life("life", life);
    c.where("where", where);
    c.patches("parts", parts);
  }
  Headline headline(const ShowQuantity&) const { return {}; }
};
template <class V>
void describe(V& v, Grime& s) {
  v(member("life", "a life of the job").must(), s.life);
  v(member("where", "where it was handled most; absent: where the hands and arm of the life lay"), s.where);
  v(member("parts", "under plates and parts, where no dirt comes"), s.parts);
}

Result<StepResult> work(const Grime&, StepContext&);

}  // namespace witnessline::bench
