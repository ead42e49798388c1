#include "drying/cure.h"

#include <cmath>
#include <limits>

namespace witnessline::drying {

namespace {
constexpr double order = 2.5, heat_J_mol = 60e3;  // ESTIMATE
constexpr double gas_J_mol_K = 8.314462618;

double rate_per_s(const Cure& cure, double temperature_K, double coat_m) {
  const double thick = coat_m / usual_cured_coat_m;
  return cure.rate_per_s * cure_pace(temperature_K) * (cure.by_air ? 2 / (1 + thick * thick) : 1.0);
}
/// k t from nothing to a degree.
double reduced_time(double degree) { return (std::pow(1 - degree, 1 - order) - 1) / (order - 1); }
}  // namespace

double cure_pace(double temperature_K) {
  return std::exp(-heat_J_mol / gas_J_mol_K * (1 / temperature_K - 1 / cured_at_K));
}

double degree_of_cure(const Cure& cure, double time_s, double temperature_K, double coat_m) {
  const double reduced = reduced_time(cure.begun) + rate_per_s(cure, temperature_K, coat_m) * time_s;
  return 1 - std::pow(1 + (order - 1) * reduced, -1 / (order - 1));
}

double cure_time_s(const Cure& cure, double degree, double temperature_K, double coat_m) {
  if (degree <= cure.begun) return 0;
  const double rate = rate_per_s(cure, temperature_K, coat_m);
  return rate > 0 ? (reduced_time(degree) - reduced_time(cure.begun)) / rate : std::numeric_limits<double>::infinity();
}

}  // namespace witnessline::drying
