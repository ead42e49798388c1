// What falls in a tin: pigment grains and metal flakes sinking through the liquid they are stirred into.
#pragma once

#include "base/modules.h"

namespace witnessline::solvents {

inline constexpr double gravity_m_s2 = 9.80665;  ///< Source: iupac2021 (standard acceleration, exact)

/// A liquid for the time being at rest.
struct Liquid {
  double viscosity_Pa_s = 0;
  double density_kg_m3 = 0;
};

/// Speed at which a grain falls, alone [m/s]; below zero: it rises.
/// Law: Stokes, U = (rho_p - rho) g d^2 / (18 mu). Source: bird2002, Eq. 2.6-17.
/// Valid: Reynolds number below 0.1. Departs: no Brownian motion (it keeps grains below 0.3 um up), no flocs.
double sphere_fall_m_s(double diameter_m, double density_kg_m3, const Liquid&);

enum class Lie { flat, on_edge, tumbling };

/// Speed at which a thin disc falls, alone [m/s].
/// Law: weight less lift over the drag of a disc of no thickness: 16 mu a U lying flat, 32/3 mu a U on edge; tumbling,
/// a third of the way on edge to two thirds by mobility: 12 mu a U. Source: happel1983, ch. 5. Valid: thickness below a
/// tenth of the diameter, Reynolds number below 0.1. Departs: flakes are leafed, not round.
double disc_fall_m_s(double diameter_m, double thickness_m, double density_kg_m3, const Liquid&, Lie = Lie::flat);

/// Share of that speed left in a crowd [1]. Law: (1 - phi)^4.65. Source: richardson1954. Valid: phi below 0.4, slow
/// flow, spheres. Departs: flakes hinder each other more.
double hindered(double volume_fraction);

/// Reynolds number of the fall [1]: above 0.1 the laws above are too fast.
double reynolds_of_fall(double speed_m_s, double diameter_m, const Liquid&);

/// Time in which a share of what is stirred in falls out of the depth of liquid [s]. Law: all fall alike, t = share x
/// depth / U. Departs: grains of one size; a gun that is shaken or an agitator cup does not settle.
double time_to_fall_out_s(double share, double depth_m, double speed_m_s);

}  // namespace witnessline::solvents
