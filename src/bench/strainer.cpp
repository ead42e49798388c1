#include "bench/strainer.h"

#include <algorithm>
#include <array>

namespace witnessline::bench {

double strainer_m(const Material& material, std::optional<double> widest_grain_m, double viscosity_Pa_s) {
  constexpr std::array openings_m{63e-6, 90e-6, 125e-6, 180e-6, 250e-6, 355e-6};
  constexpr double clear_m = 125e-6, pigmented_m = 180e-6, flake_m = 250e-6, thick_Pa_s = 0.05;
  if (!widest_grain_m) {
    if (material.metallic) return flake_m;
    const bool no_pigment =
        material.role == Role::clear || material.role == Role::toner || material.role == Role::sealer;
    return no_pigment ? clear_m : pigmented_m;
  }
  const double least_m = std::max(5 * *widest_grain_m, viscosity_Pa_s > thick_Pa_s ? clear_m : 0.0);
  const auto finest = std::find_if(openings_m.begin(), openings_m.end(), [&](double o) { return o >= least_m; });
  return finest == openings_m.end() ? openings_m.back() : *finest;
}

}  // namespace witnessline::bench
