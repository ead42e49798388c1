// A solvent, or a blend of them, leaving a thin open film: how fast, how cold it gets, what is left.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "materials/material.h"
#include "solvents/vapour.h"

namespace witnessline {

/// What evaporation needs to know of one solvent.
struct Volatile {
  std::string id;
  Antoine antoine;
  double molar_mass_kg_mol = 0;
  double density_kg_m3 = 0;
  double heat_of_vaporisation_J_mol = 0;
  double diffusion_volume_cm3_mol = 0;
};

/// Of a material; an Error names the property it lacks.
Result<Volatile> volatile_of(const Material&);

/// The air over the film, free of solvent, and how heat reaches the film.
struct Draught {
  double temperature_K = 298.15;
  double pressure_Pa = 101325.0;
  double heat_coefficient_W_m2K = 10.0;  ///< from air to film
  /// All heat that reaches the film over that through the air on its open face: 1 is a film that cools itself fully.
  /// ESTIMATE 2 (1.4 to 2.5): radiation and the back of a thin support bring about as much again.
  double heat_ratio = 2.0;
};

/// Heat coefficient of a draught along a panel [W/m2/K].
/// Law: laminar flat plate, Nu = 0.664 Re^1/2 Pr^1/3. Source: bird2002, ch. 14. Valid: Re below 3e5.
/// Departs: no still-air convection: below 0.1 m/s it is too low.
double heat_coefficient_W_m2K(double air_speed_m_s, double panel_length_m);

/// Diffusivity of a vapour in air [m2/s]. Source: fuller1966. Valid: about 1 atm. Departs: 5 to 10 %.
double diffusivity_m2_s(const Volatile&, double temperature_K, double pressure_Pa = 101325.0);

/// One solvent in a film: moles per area [mol/m2].
struct VolatileAmount {
  Volatile of;
  double amount_mol_m2 = 0;
};

/// How a film stands at one moment.
struct Evaporating {
  double film_temperature_K = 0;
  std::vector<double> flux_mol_m2s;  ///< a solvent, same order
};

/// Fluxes and temperature of a well mixed film in balance with its surroundings.
/// Law: film theory with Stefan flow, N_i = k_i c y_i ln(1/(1-y))/y, y_i = x_i p_i(T)/P; k_i from the heat coefficient
/// by Chilton and Colburn; heat_ratio h (T_air - T) = sum N_i dH_i. Source: bird2002, ch. 18, 22. Valid: y below 1 (no
/// boiling). Departs: ideal activities and no resin (the baseline a real model must beat); no heat stored in film or
/// support.
Evaporating evaporating(std::span<const VolatileAmount>, const Draught&);

/// Fluxes of the same film held at the temperature of the air: the isothermal baseline [mol/m2/s].
std::vector<double> isothermal_flux_mol_m2s(std::span<const VolatileAmount>, const Draught&);

/// Volume rate of a pure solvent over that of another in the same draught [1]; against n-butyl acetate: the usual
/// scale.
double relative_evaporation_rate(const Volatile&, const Volatile& reference, const Draught& = {});

/// A film drying: state at each moment kept.
struct EvaporationMoment {
  double time_s = 0;
  double film_temperature_K = 0;
  double left_fraction = 1;             ///< volume of solvent left over that laid
  std::vector<double> volume_fraction;  ///< of what is left, a solvent
};
struct EvaporationRun {
  std::vector<EvaporationMoment> moments;
  /// Time at which a share of the volume has gone [s]; none when the run stopped before.
  std::optional<double> time_to_lose_s(double share) const;
};

/// Lets a blend dry until `until_left` of its volume is left. Law: dn_i/dt = -N_i, exponential midpoint steps of at
/// most 1 % of the volume: amounts stay positive and what left is what the fluxes carried.
EvaporationRun evaporate(std::vector<VolatileAmount>, const Draught&, double until_left = 0.01);

/// Amounts of a blend laid as a wet film, from shares by volume.
std::vector<VolatileAmount> laid(std::span<const Volatile>, std::span<const double> volume_fraction, double film_m);

}  // namespace witnessline
