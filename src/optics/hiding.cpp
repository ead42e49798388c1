#include "optics/hiding.h"

#include <algorithm>
#include <cmath>

#include "optics/kubelka_munk.h"

namespace witnessline::optics {

HidingPower::HidingPower(const CoatOptics& coat, double yellow, double most_m, const Weights& weights)
    : most_m_(std::max(most_m, 1e-9)) {
  for (int i = 1; i <= steps_; ++i) {
    const double thickness_m = most_m_ * i / steps_;
    double through = 0, all = 0;
    for (int b = 0; b < bands; ++b) {
      const double weight = weights.y[static_cast<std::size_t>(b)];
      const OpticalDepth depth{(coat.absorption_per_m[b] + yellow * coat.yellowing_per_m[b]) * thickness_m,
                               coat.scattering_per_m[b] * thickness_m};
      through += weight * film_optics(depth).transmittance;
      all += weight;
    }
    tabulated_[static_cast<std::size_t>(i)] = -std::log(std::max(through / all, 1e-30));
  }
}

double HidingPower::optical_depth(double thickness_m) const {
  if (thickness_m <= 0) return 0;
  const double at = std::min(thickness_m / most_m_, 1.0) * steps_;
  const int low = std::min(static_cast<int>(at), steps_ - 1);
  const auto l = static_cast<std::size_t>(low);
  return tabulated_[l] + (at - low) * (tabulated_[l + 1] - tabulated_[l]);
}

}  // namespace witnessline::optics
