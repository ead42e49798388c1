// The step `wait`.
#pragma once

#include <optional>
#include <string>

#include "bench/step_kind.h"

namespace witnessline::bench {

/// Let solvent leave.
struct Wait {
  static constexpr std::string_view word = "wait";
  double duration_s = 86400;
  std::optional<double> temperature_K;  ///< absent: the shop's
  Traits traits() const {
    return Traits(Cuts::no, no_coat, Wets::no, temperature_K.value_or(0) > heated_K ? Heats::yes : Heats::no,
                  temperature_K.value_or(heated_K) < freezing_K ? Chills::yes : Chills::no, Sheds::nothing, Tool::none,
                  Ages::no, SurfaceEffect::none, nullptr, Rest{duration_s, temperature_K});
  }
  void vary(VariedInput&) {}
  void check(StepCheck& c) const {
    if (duration_s <= 0) c.fault("duration_h", "waits for no time", "more than 0 h", "write how long, or take it out");
  }
  Headline headline(const ShowQuantity& show) const {
    return {show(duration_s, Quantity::duration), "before the next step"};
  }
};
template <class V>
void describe(V& v, Wait& s) {
  v(member("duration_h", "how long", unit::h).within(0, 20000).must(), s.duration_s);
  v(member("temperature_degC", "air; absent: the shop's", unit::degC).within(-40, 80), s.temperature_K);
}

Result<StepResult> work(const Wait&, StepContext&);

}  // namespace witnessline::bench
