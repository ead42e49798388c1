#include "optics/gloss.h"

#include <cmath>
#include <numbers>

#include "base/result.h"
#include "optics/face.h"

namespace witnessline::optics {
namespace {
constexpr double black_glass_index = 1.567;  // Source: astm_d523
constexpr double wavelength_nm = 555;        // the eye's middle, which the meter's filter copies
}  // namespace

double specular_gloss(double refractive_index, double roughness_m, double angle_deg) {
  return 100 * fresnel_reflectance(refractive_index, angle_deg) / fresnel_reflectance(black_glass_index, angle_deg) *
         (1 - scattered_share(roughness_m, angle_deg, wavelength_nm));
}

std::optional<double> roughness_of_gloss(double refractive_index, double gloss, double angle_deg) {
  expects(gloss > 0, "a gloss is above zero");
  const double smooth = specular_gloss(refractive_index, 0, angle_deg);
  if (gloss > smooth) return std::nullopt;
  const double per_phase_m =
      wavelength_nm * 1e-9 / (4 * std::numbers::pi * std::cos(angle_deg * std::numbers::pi / 180));
  return per_phase_m * std::sqrt(std::log(smooth / gloss));
}

}  // namespace witnessline::optics
