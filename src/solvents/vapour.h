// Vapour of a solvent: its pressure, its heat, its share of the air.
#pragma once

#include <optional>

#include "materials/material.h"

namespace witnessline::solvents {

inline constexpr double gas_constant_J_molK = 8.314462618;  ///< Source: iupac2021 (SI 2019, exact)

/// Antoine constants of a solvent: log10(p/Pa) = A - B/(T/K + C), with the temperatures they were fitted in.
struct Antoine {
  double a = 0, b_K = 0, c_K = 0;
  double low_K = 0, high_K = 0;  ///< fitted range; 0 and 0: not stated
};

/// Those of a material, when it has all three.
std::optional<Antoine> antoine_of(const Material&);

/// Constants that stand in where only the boiling point is known. Law: heat of vaporisation by Kistiakowsky,
/// 1.03 T_b (8.75 + 1.987 ln T_b) cal/mol; vapour pressure from there down with C = 18 - 0.19 T_b (Thomson).
/// Source: lyman1990, ch. 14, method 1; 1.03: the hydrocarbons on file. Valid: hydrocarbons, 270 K to T_b, within a
/// tenth at 25 degC. Departs: a quarter high for esters and ketones, two to three times for alcohols; a cut of many
/// boils over a range, so its last tenth leaves slower.
Antoine antoine_by_boiling_point(double boiling_point_K);

/// Vapour pressure of the pure liquid [Pa]. Law: Antoine. Source: poling2001, app. A.
/// Valid: low_K to high_K. Departs: below the range it drifts (within 5 % down to 15 degC for the solvents here).
double vapour_pressure_Pa(const Antoine&, double temperature_K);

/// Temperature at which the pure liquid boils [K]. Law: Antoine inverted.
double boiling_point_K(const Antoine&, double pressure_Pa);

/// Heat of vaporisation [J/mol]. Law: Clausius-Clapeyron, R T^2 d ln p/dT = R ln10 B (T/(T + C))^2.
/// Source: poling2001, ch. 7. Departs: vapour ideal and liquid volume neglected: 1 to 4 % too high for fast solvents.
double heat_of_vaporisation_J_mol(const Antoine&, double temperature_K);

/// Mass of vapour in air from its share by volume [kg/m3]. Law: ideal gas.
/// Source: cfr1910_1000, Table Z-1 footnote a (25 degC, 760 torr).
double vapour_mass_kg_m3(double volume_fraction, double molar_mass_kg_mol, double temperature_K = 298.15,
                         double pressure_Pa = 101325.0);

/// Vapour of a mass of solvent shut up in a volume, over its lower explosive limit [1]; none: a figure it needs is not
/// known, which is never safe. Law: ideal gas, all of it vapour, evenly mixed. Source: cfr1910_1000, as above.
/// Departs: vapour that is not yet mixed is richer near the film.
std::optional<double> share_of_explosive_limit(const Material& solvent, double mass_kg, double volume_m3,
                                               double temperature_K = 293.15);

}  // namespace witnessline::solvents
