#include "materials/air.h"

#include <cmath>

namespace witnessline {

namespace {
constexpr double ice_point_K = 273.15;
constexpr double magnus_e0_Pa = 611.2, magnus_a = 17.62, magnus_b = 243.12;  // Source: wmo8_2008, Annex 4.B
constexpr double water_over_air = 0.621945;                                  // Source: ashrae2017, ch. 1, Eq. 20
}  // namespace

double saturation_pressure_Pa(double temperature_K) {
  const double t = temperature_K - ice_point_K;
  return magnus_e0_Pa * std::exp(magnus_a * t / (magnus_b + t));
}

double dew_point_K(double temperature_K, double relative_humidity) {
  const double x = std::log(relative_humidity * saturation_pressure_Pa(temperature_K) / magnus_e0_Pa);
  return ice_point_K + magnus_b * x / (magnus_a - x);
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

}  // namespace witnessline
