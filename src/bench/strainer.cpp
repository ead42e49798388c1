#include "bench/strainer.h"

#include <algorithm>
#include <array>

namespace witnessline::bench {

double strainer_m(const Paint& paint, std::optional<double> widest_grain_m) {
  constexpr std::array openings_m{125e-6, 180e-6, 250e-6, 355e-6};
  constexpr double clear_m = 125e-6, pigmented_m = 180e-6, flake_m = 250e-6;
  if (!widest_grain_m) {
    if (paint.metallic) return flake_m;
    const bool fills = paint.main && paint.main->role == Role::filler;
    return paint.pigmented || fills ? pigmented_m : clear_m;
  }
  const double least_m = 5 * *widest_grain_m;
  const auto finest = std::find_if(openings_m.begin(), openings_m.end(), [&](double o) { return o >= least_m; });
  return finest == openings_m.end() ? openings_m.back() : *finest;
}

}  // namespace witnessline::bench
