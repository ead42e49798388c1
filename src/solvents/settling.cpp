#include "solvents/settling.h"

#include <cmath>
#include <limits>
#include <numbers>

namespace witnessline::solvents {

double sphere_fall_m_s(double diameter_m, double density_kg_m3, const Liquid& liquid) {
  return (density_kg_m3 - liquid.density_kg_m3) * gravity_m_s2 * diameter_m * diameter_m / (18 * liquid.viscosity_Pa_s);
}

double disc_fall_m_s(double diameter_m, double thickness_m, double density_kg_m3, const Liquid& liquid, Lie lie) {
  const double radius_m = diameter_m / 2;
  const double weight_N =
      (density_kg_m3 - liquid.density_kg_m3) * gravity_m_s2 * std::numbers::pi * radius_m * radius_m * thickness_m;
  const double drag = lie == Lie::flat ? 16.0 : lie == Lie::on_edge ? 32.0 / 3.0 : 12.0;
  return weight_N / (drag * liquid.viscosity_Pa_s * radius_m);
}

double hindered(double volume_fraction) { return std::pow(1 - volume_fraction, 4.65); }

double reynolds_of_fall(double speed_m_s, double diameter_m, const Liquid& liquid) {
  return std::abs(speed_m_s) * diameter_m * liquid.density_kg_m3 / liquid.viscosity_Pa_s;
}

double time_to_fall_out_s(double share, double depth_m, double speed_m_s) {
  return speed_m_s > 0 ? share * depth_m / speed_m_s : std::numeric_limits<double>::infinity();
}

}  // namespace witnessline::solvents
