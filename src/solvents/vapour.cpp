#include "solvents/vapour.h"

#include <cmath>
#include <limits>

namespace witnessline {

std::optional<Antoine> antoine_of(const Material& material) {
  const Datum *a = material.find(Property::antoine_a), *b = material.find(Property::antoine_b),
              *c = material.find(Property::antoine_c);
  if (!a || !b || !c) return std::nullopt;
  Antoine antoine{a->value, b->value, c->value};
  if (a->valid.variable == "T_K") antoine.low_K = a->valid.low, antoine.high_K = a->valid.high;
  return antoine;
}

double vapour_pressure_Pa(const Antoine& antoine, double temperature_K) {
  return std::pow(10.0, antoine.a - antoine.b_K / (temperature_K + antoine.c_K));
}

double boiling_point_K(const Antoine& antoine, double pressure_Pa) {
  return antoine.b_K / (antoine.a - std::log10(pressure_Pa)) - antoine.c_K;
}

double heat_of_vaporisation_J_mol(const Antoine& antoine, double temperature_K) {
  const double stretch = temperature_K / (temperature_K + antoine.c_K);
  return gas_constant_J_molK * std::log(10.0) * antoine.b_K * stretch * stretch;
}

double vapour_mass_kg_m3(double volume_fraction, double molar_mass_kg_mol, double temperature_K, double pressure_Pa) {
  return volume_fraction * molar_mass_kg_mol * pressure_Pa / (gas_constant_J_molK * temperature_K);
}

}  // namespace witnessline
