#include "solvents/evaporation.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace witnessline::solvents {

namespace {
// Dry air. Source: bird2002, app. E; conductivity from memory.
constexpr double air_molar_mass_kg_mol = 0.02896, air_heat_J_kgK = 1006.0, air_prandtl = 0.71;
constexpr double water_molar_mass_kg_mol = 0.018015;  // Source: iupac2021
double air_density_kg_m3(double temperature_K, double pressure_Pa) {
  return pressure_Pa * air_molar_mass_kg_mol / (gas_constant_J_molK * temperature_K);
}
double air_conductivity_W_mK(double temperature_K) { return 0.0263 * std::pow(temperature_K / 300.0, 0.8); }

// The gas can hold no more than its own pressure; a film kept just below boiling stands for one that boils.
constexpr double most_vapour = 0.999;
constexpr double ln10 = 2.302585092994046;

/// Water of the air. Source: water_antoine, fuller1966; heat at 25 degC from memory.
const Volatile& water_of_the_air() {
  static const Volatile water = [] {
    Volatile made;
    made.id = "water";
    made.family = SolventFamily::water;
    made.antoine = {10.19621, 1730.63, -39.724};
    made.molar_mass_kg_mol = water_molar_mass_kg_mol;
    made.density_kg_m3 = 997;
    made.heat_of_vaporisation_J_mol = 43.99e3;
    made.diffusion_volume_cm3_mol = 12.7;
    return made;
  }();
  return water;
}
}  // namespace

double heat_coefficient_W_m2K(double air_speed_m_s, double panel_length_m) {
  constexpr double air_viscosity_m2_s = 1.56e-5;  // at 25 degC. Source: bird2002, table 1.1-2
  const double reynolds = air_speed_m_s * panel_length_m / air_viscosity_m2_s;
  return 0.664 * std::sqrt(reynolds) * std::cbrt(air_prandtl) * air_conductivity_W_mK(298.15) / panel_length_m;
}

double diffusivity_m2_s(const Volatile& vapour, double temperature_K, double pressure_Pa) {
  constexpr double air_diffusion_volume = 20.1;  // Source: fuller1966
  const double sizes = std::cbrt(vapour.diffusion_volume_cm3_mol) + std::cbrt(air_diffusion_volume);
  return 1e-7 * std::pow(temperature_K, 1.75) *
         std::sqrt(1e-3 / vapour.molar_mass_kg_mol + 1e-3 / air_molar_mass_kg_mol) /
         (pressure_Pa / 101325.0 * sizes * sizes);
}

OpenFace::OpenFace(std::span<const Volatile> solvents, const Airflow& air) : air_(air) {
  expects(solvents.size() <= Solution::most_solvents, "no more solvents than a solution holds");
  // g = h/(rho c_p) Le^-2/3 P/(R T): the temperature cancels but in the Lewis number, which hardly moves with it.
  const double spreading_m2_s = air_conductivity_W_mK(air.temperature_K) /
                                (air_density_kg_m3(air.temperature_K, air.pressure_Pa) * air_heat_J_kgK);
  const auto side_of = [&](const Volatile& solvent) {
    const double lewis = spreading_m2_s / diffusivity_m2_s(solvent, air.temperature_K, air.pressure_Pa);
    return Side{air.heat_coefficient_W_m2K / (air_molar_mass_kg_mol * air_heat_J_kgK) / std::cbrt(lewis * lewis),
                solvent.heat_of_vaporisation_J_mol, solvent.antoine};
  };
  for (const Volatile& solvent : solvents) sides_.push_back(side_of(solvent));
  if (air.relative_humidity <= 0) return;
  const auto own = std::find_if(solvents.begin(), solvents.end(),
                                [](const Volatile& solvent) { return solvent.id == water_of_the_air().id; });
  if (own != solvents.end()) own_water_ = static_cast<std::size_t>(own - solvents.begin());
  water_ = holds_water() ? sides_[own_water_] : side_of(water_of_the_air());
  const double pressure_Pa = air.relative_humidity * vapour_pressure_Pa(water_.antoine, air.temperature_K);
  water_share_ = pressure_Pa / air.pressure_Pa;
  dew_point_K_ = water_.antoine.b_K / (water_.antoine.a - std::log10(pressure_Pa)) - water_.antoine.c_K;
}

double OpenFace::stefan(double vapour) const {
  const double there = holds_water() ? water_share_ : 0.0;
  const double bounded = std::min(vapour, most_vapour);
  const double difference = bounded - there;
  if (std::abs(difference) <= 1e-9) return 1.0 / (1.0 - there);
  return std::log1p(difference / (1.0 - bounded)) / (difference + (vapour - bounded));
}

double OpenFace::water_flux_mol_m2s(double film_temperature_K) const {
  return water_.conductance_mol_m2s *
         (vapour_pressure_Pa(water_.antoine, film_temperature_K) / air_.pressure_Pa - water_share_);
}

void OpenFace::flux_mol_m2s(std::span<const double> activity, double film_temperature_K, std::span<double> flux) const {
  double vapour = 0;
  for (std::size_t i = 0; i < sides_.size(); ++i) {
    const double share = activity[i] * vapour_pressure_Pa(sides_[i].antoine, film_temperature_K) / air_.pressure_Pa;
    flux[i] = sides_[i].conductance_mol_m2s * (share - air_share(i));
    vapour += share;
  }
  const double pull = stefan(vapour);
  for (double& one : flux) one *= pull;
}

double OpenFace::film_temperature_K(std::span<const double> activity, double first_guess_K,
                                    bool water_lies_on_it) const {
  if (!std::isfinite(air_.heat_ratio)) return air_.temperature_K;
  const double found_K = balanced_K(activity, first_guess_K, water_lies_on_it);
  const bool settles = !water_lies_on_it && !holds_water() && found_K < dew_point_K_;
  return settles ? balanced_K(activity, found_K, true) : found_K;
}

double OpenFace::balanced_K(std::span<const double> activity, double first_guess_K, bool water_lies_on_it) const {
  const double arriving_W_m2K = air_.heat_ratio * air_.heat_coefficient_W_m2K;
  // Spare heat falls as the film warms: one root, between far colder than any solvent gets and the air (a little above
  // it where a drying film takes water up). Newton, held inside the bracket that each trial narrows.
  double low_K = air_.temperature_K - 80, high_K = air_.temperature_K + (holds_water() ? 10 : 0);
  double trial_K = first_guess_K > low_K && first_guess_K <= high_K ? first_guess_K : air_.temperature_K - 5;
  for (int trial = 0; trial < 60; ++trial) {
    double vapour = 0, taken_W_m2 = 0, slope_W_m2K = 0;
    for (std::size_t i = 0; i < sides_.size(); ++i) {
      if (activity[i] <= 0 && i != own_water_) continue;
      const Side& side = sides_[i];
      const double share = activity[i] * vapour_pressure_Pa(side.antoine, trial_K) / air_.pressure_Pa;
      const double a_share_W_m2 = side.conductance_mol_m2s * side.heat_J_mol;
      const double reach_K = trial_K + side.antoine.c_K;
      vapour += share;
      taken_W_m2 += a_share_W_m2 * (share - air_share(i));
      slope_W_m2K += a_share_W_m2 * share * ln10 * side.antoine.b_K / (reach_K * reach_K);
    }
    const double pull = stefan(vapour);
    taken_W_m2 *= pull, slope_W_m2K *= pull;
    if (water_lies_on_it) {
      const double reach_K = trial_K + water_.antoine.c_K;
      taken_W_m2 += water_.heat_J_mol * water_flux_mol_m2s(trial_K);
      slope_W_m2K += water_.heat_J_mol * water_.conductance_mol_m2s * vapour_pressure_Pa(water_.antoine, trial_K) /
                     air_.pressure_Pa * ln10 * water_.antoine.b_K / (reach_K * reach_K);
    }
    const double spare_W_m2 = arriving_W_m2K * (air_.temperature_K - trial_K) - taken_W_m2;
    (spare_W_m2 > 0 ? low_K : high_K) = trial_K;
    double next_K = trial_K + spare_W_m2 / (arriving_W_m2K + slope_W_m2K);
    if (!(next_K > low_K && next_K < high_K)) next_K = 0.5 * (low_K + high_K);
    if (std::abs(next_K - trial_K) < 1e-7 || high_K - low_K < 1e-9) return next_K;
    trial_K = next_K;
  }
  return trial_K;
}

double relative_evaporation_rate(const Volatile& solvent, const Volatile& reference, const Airflow& air) {
  const auto rate_m_s = [&](const Volatile& one) {
    const OpenFace face({&one, 1}, air);
    const std::array<double, 1> pure{1.0};
    std::array<double, 1> flux{};
    face.flux_mol_m2s(pure, face.film_temperature_K(pure), flux);
    return flux[0] * one.molar_volume_m3_mol();
  };
  return rate_m_s(solvent) / rate_m_s(reference);
}

std::optional<double> EvaporationRun::time_to_lose_s(double share) const {
  for (std::size_t i = 1; i < moments.size(); ++i) {
    const EvaporationMoment &before = moments[i - 1], &after = moments[i];
    if (1 - after.left_fraction < share) continue;
    const double along = (before.left_fraction - (1 - share)) / (before.left_fraction - after.left_fraction);
    return before.time_s + along * (after.time_s - before.time_s);
  }
  return std::nullopt;
}

double EvaporationRun::coldest_K() const {
  double coldest = std::numeric_limits<double>::infinity();
  for (const EvaporationMoment& moment : moments) coldest = std::min(coldest, moment.film_temperature_K);
  return coldest;
}

namespace {
using Amounts = std::array<double, Solution::most_solvents>;

/// The film under way: amounts of each solvent, and what they do now.
class Drying {
 public:
  Drying(const Solution& solution, const WetFilm& film, const Airflow& air)
      : solution_(solution), face_(solution.solvents(), air), film_former_m_(film.film_former_m) {
    const std::vector<Volatile>& solvents = solution.solvents();
    for (std::size_t i = 0; i < solvents.size(); ++i) {
      molar_volume_m3_mol_[i] = solvents[i].molar_volume_m3_mol();
      amount_mol_m2[i] = film.solvent_m[i] / molar_volume_m3_mol_[i];
    }
  }

  std::size_t count() const { return solution_.solvents().size(); }
  double solvent_m(const Amounts& amount) const {
    double volume_m = 0;
    for (std::size_t i = 0; i < count(); ++i) volume_m += amount[i] * molar_volume_m3_mol_[i];
    return volume_m;
  }

  /// Fluxes at these amounts; finds the film temperature from the last one.
  Amounts flux(const Amounts& amount) {
    const double whole_m = solvent_m(amount) + film_former_m_;
    Amounts share{}, activity{}, flux{};
    for (std::size_t i = 0; i < count(); ++i) share[i] = amount[i] * molar_volume_m3_mol_[i] / whole_m;
    solution_.activities({share.data(), count()}, {activity.data(), count()});
    film_temperature_K = face_.film_temperature_K({activity.data(), count()}, film_temperature_K, water_kg_m2 > 0);
    face_.flux_mol_m2s({activity.data(), count()}, film_temperature_K, {flux.data(), count()});
    const bool wet = water_kg_m2 > 0 || film_temperature_K < face_.dew_point_K();
    water_leaves_kg_m2s =
        wet && !face_.holds_water() ? water_molar_mass_kg_mol * face_.water_flux_mol_m2s(film_temperature_K) : 0;
    return flux;
  }
  /// Its water is held by the damp of the air.
  bool held(double rate_m_s, double left_m) const {
    constexpr double day_s = 86400, share = 0.1;
    return face_.holds_water() && rate_m_s * day_s < share * left_m;
  }

  /// Amounts after a step in which each falls in proportion to itself, at the rate it has `at` those amounts.
  Amounts faded(const Amounts& from, const Amounts& flux, const Amounts& at, double step_s,
                Amounts* lost = nullptr) const {
    Amounts to{};
    for (std::size_t i = 0; i < count(); ++i) {
      const double exponent = at[i] > 0 ? -flux[i] / at[i] * step_s : 0.0;
      to[i] = from[i] * std::exp(exponent);
      if (lost) (*lost)[i] = -from[i] * std::expm1(exponent);
    }
    return to;
  }

  EvaporationMoment moment(double time_s, double laid_m) const {
    const double left_m = solvent_m(amount_mol_m2);
    EvaporationMoment kept{time_s,
                           film_temperature_K,
                           left_m / laid_m,
                           film_former_m_ / (left_m + film_former_m_),
                           {},
                           {lost_mol_m2.begin(), lost_mol_m2.begin() + static_cast<std::ptrdiff_t>(count())},
                           water_kg_m2};
    for (std::size_t i = 0; i < count(); ++i)
      kept.volume_fraction.push_back(left_m > 0 ? amount_mol_m2[i] * molar_volume_m3_mol_[i] / left_m : 0.0);
    return kept;
  }

  Amounts amount_mol_m2{}, lost_mol_m2{};
  double film_temperature_K = 0;
  double water_kg_m2 = 0, water_leaves_kg_m2s = 0;  ///< out of the air, lying on the film

 private:
  const Solution& solution_;
  OpenFace face_;
  Amounts molar_volume_m3_mol_{};
  double film_former_m_ = 0;
};
}  // namespace

EvaporationRun evaporate(const Solution& solution, const WetFilm& film, const Airflow& air, double until_left,
                         double until_s) {
  expects(film.solvent_m.size() == solution.solvents().size(), "an amount for each solvent");
  // A step may differ from its first-order neighbour by so much of what was laid; its own error is far smaller.
  constexpr double step_tolerance = 1e-3, longest_share = 0.05;
  EvaporationRun run;
  run.mixing = solution.mixing();
  Drying drying(solution, film, air);
  const double laid_m = drying.solvent_m(drying.amount_mol_m2);
  run.laid_mol_m2.assign(drying.amount_mol_m2.begin(),
                         drying.amount_mol_m2.begin() + static_cast<std::ptrdiff_t>(drying.count()));
  if (laid_m <= 0) return run;

  double time_s = 0, step_s = 0;
  Amounts now = drying.flux(drying.amount_mol_m2);
  while (true) {
    run.moments.push_back(drying.moment(time_s, laid_m));
    const double rate_m_s = drying.solvent_m(now);
    const double left_m = drying.solvent_m(drying.amount_mol_m2);
    if (run.moments.back().left_fraction <= until_left || time_s >= until_s || rate_m_s <= 0 ||
        drying.held(rate_m_s, left_m))
      return run;
    const double longest_s = longest_share * std::max(left_m, 0.2 * laid_m) / rate_m_s;
    step_s = std::min({step_s > 0 ? step_s : 0.1 * longest_s, longest_s, until_s - time_s});
    while (true) {
      const Amounts& from = drying.amount_mol_m2;
      const Amounts middle = drying.faded(from, now, from, 0.5 * step_s);
      const Amounts straight = drying.faded(from, now, from, step_s);
      Amounts lost{};
      const Amounts to = drying.faded(from, drying.flux(middle), middle, step_s, &lost);
      double error_m = 0;
      for (std::size_t i = 0; i < drying.count(); ++i)
        error_m += std::abs(to[i] - straight[i]) * solution.solvents()[i].molar_volume_m3_mol();
      const double miss = error_m / (step_tolerance * laid_m);
      const double stretch = std::clamp(0.9 / std::sqrt(std::max(miss, 1e-6)), 0.3, 2.0);
      if (miss <= 1 || step_s < 1e-9 * longest_s) {
        for (std::size_t i = 0; i < drying.count(); ++i) drying.lost_mol_m2[i] += lost[i];
        drying.amount_mol_m2 = to;
        drying.water_kg_m2 = std::max(0.0, drying.water_kg_m2 - drying.water_leaves_kg_m2s * step_s);
        time_s += step_s;
        step_s *= stretch;
        break;
      }
      step_s *= stretch;
    }
    now = drying.flux(drying.amount_mol_m2);
  }
}

}  // namespace witnessline::solvents
