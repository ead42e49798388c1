// Wood and the moisture of the air: how much it holds, how much it moves.
#pragma once

#include "base/modules.h"

namespace witnessline::materials {

inline constexpr double fibre_saturation_fraction = 0.30;  ///< Source: fpl282, ch. 4, value for general use

/// Moisture wood comes to in air of this temperature and humidity [kg water per kg ovendry wood].
/// Law: Hailwood and Horrobin's sorption with two hydrates, coefficients quadratic in temperature.
/// Source: fpl282, Eq. 4-5 (simpson1973). Valid: -1 to 100 degC, 0 <= RH < 1.
/// Departs: mean of adsorption and desorption of Sitka spruce; other species within about 1 % moisture.
double equilibrium_moisture_fraction(double temperature_K, double relative_humidity);

/// Movement per unit of moisture change, from shrinkage green to ovendry [1].
/// Law: C = 1 / (M_fs/S - M_fs + M_i), linear between ovendry and fibre saturation, referred to the width at M_i.
/// Source: fpl282, ch. 13 (dimensional change). Valid: moisture 0.06 to 0.14; M_i = 0.10.
/// Departs: straight line; no hysteresis, no restraint.
double movement_coefficient(double shrinkage_fraction);

/// Change of width across the grain [m]. Law: dD = D C dM. Source: fpl282, Eq. 13-2. Valid: moisture 0.06 to 0.14.
double movement_m(double width_m, double movement_coefficient, double moisture_change_fraction);

/// Specific gravity on the volume at a moisture below fibre saturation, from that on green volume [1].
/// Law: G_x = G_b / (1 - 0.265 G_b (1 - x/M_fs)). Source: fpl282, Eq. 4-13. Valid: 0 <= moisture <= M_fs.
/// Departs: one shrinkage for all species; basswood, which shrinks much more, comes out 9 % light.
double specific_gravity(double basic_specific_gravity, double moisture_fraction);

/// Density with its water [kg/m3]. Law: rho = 1000 G_x (1 + x). Source: fpl282, Eq. 4-14.
double wood_density_kg_m3(double specific_gravity, double moisture_fraction);

/// Shrinkage of volume from those of its sides [1].
/// Law: 1 - (1 - S_r)(1 - S_t)(1 - S_l), S_l = 0.0015. Source: geometry; S_l fpl282, ch. 4 (0.1 to 0.2 %).
double volume_shrinkage_fraction(double radial_fraction, double tangential_fraction);

}  // namespace witnessline::materials
