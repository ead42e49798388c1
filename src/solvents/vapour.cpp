#include "solvents/vapour.h"

#include <cmath>
#include <limits>

namespace witnessline::solvents {

std::optional<Antoine> antoine_of(const Material& material) {
  const Datum *a = material.find(Property::antoine_a), *b = material.find(Property::antoine_b),
              *c = material.find(Property::antoine_c);
  if (!a || !b || !c) return std::nullopt;
  Antoine antoine{a->value, b->value, c->value};
  if (a->valid.variable == "T_K") antoine.low_K = a->valid.low, antoine.high_K = a->valid.high;
  return antoine;
}

Antoine antoine_by_boiling_point(double boiling_point_K) {
  constexpr double atmosphere_Pa = 101325, gas_constant_cal_molK = 1.987, compressed = 0.97;
  const double c_K = 18 - 0.19 * boiling_point_K, above_K = boiling_point_K + c_K;
  const double entropy_cal_molK = 1.03 * (8.75 + gas_constant_cal_molK * std::log(boiling_point_K));
  const double b_K =
      entropy_cal_molK * above_K * above_K / (compressed * gas_constant_cal_molK * boiling_point_K * std::log(10.0));
  return {std::log10(atmosphere_Pa) + b_K / above_K, b_K, c_K, 270, boiling_point_K};
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

std::optional<double> share_of_explosive_limit(const Material& solvent, double mass_kg, double volume_m3,
                                               double temperature_K) {
  const Datum* molar = solvent.find(Property::molar_mass);
  const Datum* limit = solvent.find(Property::lower_explosive_limit);
  if (!molar || !limit || !(limit->value > 0) || !(volume_m3 > 0)) return {};
  return mass_kg / volume_m3 / vapour_mass_kg_m3(1, molar->value, temperature_K) / limit->value;
}

}  // namespace witnessline::solvents
