// A wet film losing its solvents to moving air: how fast, how cold it gets, what is left.
#pragma once

#include <limits>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "solvents/solution.h"

namespace witnessline::solvents {

/// The air over the film, free of solvent, and how heat reaches the film.
struct Airflow {
  double temperature_K = 298.15;
  double pressure_Pa = 101325.0;
  double relative_humidity = 0;          ///< its water; 0: dry air
  double heat_coefficient_W_m2K = 10.0;  ///< from air to film
  /// All heat that reaches the film over that through the air on its open face: 1 is a film that cools itself fully,
  /// infinity one held at the temperature of the air.
  /// ESTIMATE 2 (1.4 to 2.5): radiation and the back of a thin support bring about as much again.
  double heat_ratio = 2.0;
};
inline constexpr double isothermal = std::numeric_limits<double>::infinity();

/// Heat coefficient of air moving along a panel [W/m2/K].
/// Law: laminar flat plate, Nu = 0.664 Re^1/2 Pr^1/3. Source: bird2002, ch. 14. Valid: Re below 3e5, speed above 0.
/// Departs: no still-air convection: below 0.1 m/s it is too low.
double heat_coefficient_W_m2K(double air_speed_m_s, double panel_length_m);

/// Diffusivity of a vapour in air [m2/s]. Source: fuller1966. Valid: about 1 atm. Departs: 5 to 10 %.
double diffusivity_m2_s(const Volatile&, double temperature_K, double pressure_Pa = 101325.0);

/// The open face of a film: what passes from it into the air, and how cold that makes it.
class OpenFace {
 public:
  OpenFace(std::span<const Volatile>, const Airflow&);

  /// Moles that leave per area and time [mol/m2/s] at these activities and this film temperature; water of the film is
  /// held back by the water of the air, and below zero comes in.
  /// Law: film theory with Stefan flow, N_i = g_i (y_i - y_i,air) ln((1 - y_air)/(1 - y))/(y - y_air), y_i = a_i
  /// p_i(T)/P, y = sum y_i; g_i = h/(M_air c_p) Le_i^-2/3 (Chilton and Colburn). Source: bird2002, ch. 18, 22. Valid: y
  /// below 1 (no boiling). Departs: the air is free of solvent; still corners hold their own vapour back.
  void flux_mol_m2s(std::span<const double> activity, double film_temperature_K, std::span<double> flux) const;

  /// Temperature at which the heat that arrives is the heat that the vapour takes [K]. Water that settles out of the
  /// air brings its heat; water that lies on the film takes it away again. Law: heat_ratio h (T_air - T) = sum N_i
  /// dH_i, water of the air among them. Source: bird2002, ch. 22. Departs: no heat stored in film or support: a thick
  /// support stays warmer in the first minute.
  double film_temperature_K(std::span<const double> activity, double first_guess_K = 0,
                            bool water_lies_on_it = false) const;

  /// Moles of water lying on the film that leave it per area and time [mol/m2/s]; below zero they settle.
  /// Law: g (p_water(T) - p_air)/P. Source: bird2002, ch. 22. Departs: as a film of its own, unmixed; without its share
  /// of the Stefan flow (2 %).
  double water_flux_mol_m2s(double film_temperature_K) const;
  /// Below this film temperature water of the air settles [K]; 0 in dry air.
  double dew_point_K() const { return dew_point_K_; }
  /// Water is one of the solvents: what comes out of the air mixes in.
  bool holds_water() const { return own_water_ != none; }

  const Airflow& airflow() const { return air_; }

 private:
  struct Side {
    double conductance_mol_m2s, heat_J_mol;
    Antoine antoine;
  };
  static constexpr std::size_t none = static_cast<std::size_t>(-1);
  double air_share(std::size_t solvent) const { return solvent == own_water_ ? water_share_ : 0.0; }
  double stefan(double vapour) const;
  double balanced_K(std::span<const double> activity, double first_guess_K, bool water_lies_on_it) const;

  Airflow air_;
  std::vector<Side> sides_;
  Side water_{};
  std::size_t own_water_ = none;  ///< of the solvents
  double water_share_ = 0;        ///< of the air's pressure
  double dew_point_K_ = 0;
};

/// Volume rate of a pure solvent over that of another in the same airflow [1]; against n-butyl acetate: the usual
/// scale.
double relative_evaporation_rate(const Volatile&, const Volatile& reference, const Airflow& = {});

/// A film as laid: solvents by volume per area, and the dry film that will be left.
struct WetFilm {
  std::vector<double> solvent_m;  ///< in the order of the solution
  double film_former_m = 0;
};

/// How a film stands at one moment of its drying.
struct EvaporationMoment {
  double time_s = 0;
  double film_temperature_K = 0;
  double left_fraction = 1;             ///< volume of solvent left over that laid
  double film_former_fraction = 0;      ///< volume share of the whole film
  std::vector<double> volume_fraction;  ///< of the solvent left, each solvent: sums to 1
  std::vector<double> lost_mol_m2;      ///< what the flux has carried off since the start, each solvent
  double water_kg_m2 = 0;               ///< out of the air, lying on the film
};

struct EvaporationRun {
  std::vector<EvaporationMoment> moments;
  std::vector<double> laid_mol_m2;  ///< each solvent
  Mixing mixing = Mixing::ideal;
  /// Time at which a share of the solvent's volume has gone [s]; none when the run stopped before.
  std::optional<double> time_to_lose_s(double share) const;
  double coldest_K() const;
};

/// Lets a well mixed film dry until `until_left` of its solvent is left, `until_s` has passed, or damp air holds its
/// water in it (a tenth of what is left would take more than a day). Law: dn_i/dt = -N_i by exponential midpoint steps
/// (second order): amounts stay positive; water of the air settles and leaves again as a film of its own. Departs: the
/// film is mixed right through: once the film former makes up half of it the last solvent comes out by diffusion, far
/// slower; no solvent takes up the water that settles.
EvaporationRun evaporate(const Solution&, const WetFilm&, const Airflow&, double until_left = 0.01,
                         double until_s = std::numeric_limits<double>::infinity());

}  // namespace witnessline::solvents
