#include "materials/air.h"

#include <cmath>

namespace witnessline::materials {

namespace {
constexpr double ice_point_K = 273.15;
constexpr double water_over_air = 0.621945;  // Source: ashrae2017, ch. 1, Eq. 20
}  // namespace

double saturation_pressure_Pa(double temperature_K) {
  const double t = temperature_K;
  return std::exp(-5.8002206e3 / t + 1.3914993 - 4.8640239e-2 * t + 4.1764768e-5 * t * t - 1.4452093e-8 * t * t * t +
                  6.5459673 * std::log(t));
}

double dew_point_K(double temperature_K, double relative_humidity) {
  const double target = std::log(relative_humidity * saturation_pressure_Pa(temperature_K));
  // Newton on ln p, whose slope is nearly L/(R_v T^2) with 5423 K for water: converges to rounding in a few steps.
  double dew_K = temperature_K;
  for (int step = 0; step < 30; ++step) {
    const double miss = target - std::log(saturation_pressure_Pa(dew_K));
    dew_K += miss * dew_K * dew_K / 5423.0;
  }
  return dew_K;
}

double humidity_ratio(double vapour_pressure_Pa, double pressure_Pa) {
  return water_over_air * vapour_pressure_Pa / (pressure_Pa - vapour_pressure_Pa);
}

double humidity_ratio_of_wet_bulb(double temperature_K, double wet_bulb_K, double pressure_Pa) {
  const double t = temperature_K - ice_point_K, wet = wet_bulb_K - ice_point_K;
  const double saturated = humidity_ratio(saturation_pressure_Pa(wet_bulb_K), pressure_Pa);
  return ((2501 - 2.326 * wet) * saturated - 1.006 * (t - wet)) / (2501 + 1.86 * t - 4.186 * wet);
}

double wet_bulb_K(double temperature_K, double relative_humidity, double pressure_Pa) {
  const double ratio = humidity_ratio(relative_humidity * saturation_pressure_Pa(temperature_K), pressure_Pa);
  // The ratio rises with the wet bulb, which lies between dew point and air.
  double low_K = dew_point_K(temperature_K, relative_humidity), high_K = temperature_K;
  for (int halving = 0; halving < 60; ++halving) {
    const double middle_K = 0.5 * (low_K + high_K);
    (humidity_ratio_of_wet_bulb(temperature_K, middle_K, pressure_Pa) < ratio ? low_K : high_K) = middle_K;
  }
  return 0.5 * (low_K + high_K);
}

double vapour_pressure_of_ratio_Pa(double humidity_ratio, double pressure_Pa) {
  return pressure_Pa * humidity_ratio / (water_over_air + humidity_ratio);
}

double moist_air_enthalpy_J_kg(double temperature_K, double humidity_ratio) {
  const double t = temperature_K - ice_point_K;
  return 1000 * (1.006 * t + humidity_ratio * (2501 + 1.86 * t));
}

double moist_air_volume_m3_kg(double temperature_K, double humidity_ratio, double pressure_Pa) {
  constexpr double dry_air_gas_constant = 287.042;  // [J/(kg K)] Source: ashrae2017, ch. 1, Eq. 1
  return dry_air_gas_constant * temperature_K * (1 + 1.607858 * humidity_ratio) / pressure_Pa;
}

}  // namespace witnessline::materials
