#include "materials/wood.h"

namespace witnessline::materials {

double equilibrium_moisture_fraction(double temperature_K, double relative_humidity) {
  const double t = temperature_K - 273.15, h = relative_humidity;
  const double w = 349 + 1.29 * t + 0.0135 * t * t;
  const double k = 0.805 + 0.000736 * t - 0.00000273 * t * t;
  const double k1 = 6.27 - 0.00938 * t - 0.000303 * t * t;
  const double k2 = 1.91 + 0.0407 * t - 0.000293 * t * t;
  const double kh = k * h;
  return 18 / w * (kh / (1 - kh) + (k1 * kh + 2 * k1 * k2 * kh * kh) / (1 + k1 * kh + k1 * k2 * kh * kh));
}

double movement_coefficient(double shrinkage_fraction) {
  constexpr double initial_moisture_fraction = 0.10;
  return 1 / (fibre_saturation_fraction / shrinkage_fraction - fibre_saturation_fraction + initial_moisture_fraction);
}

double movement_m(double width_m, double movement_coefficient, double moisture_change_fraction) {
  return width_m * movement_coefficient * moisture_change_fraction;
}

double specific_gravity(double basic_specific_gravity, double moisture_fraction) {
  return basic_specific_gravity /
         (1 - 0.265 * basic_specific_gravity * (1 - moisture_fraction / fibre_saturation_fraction));
}

double wood_density_kg_m3(double specific_gravity, double moisture_fraction) {
  return 1000 * specific_gravity * (1 + moisture_fraction);
}

double volume_shrinkage_fraction(double radial_fraction, double tangential_fraction) {
  return 1 - (1 - radial_fraction) * (1 - tangential_fraction) * (1 - 0.0015);
}

}  // namespace witnessline::materials
