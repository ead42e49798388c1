#include "solvents/evaporation.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "materials/properties.h"

namespace witnessline {

namespace {
// Dry air. Source: bird2002, app. E; conductivity from memory.
constexpr double air_molar_mass_kg_mol = 0.02896, air_heat_J_kgK = 1006.0, air_prandtl = 0.71;
double air_density_kg_m3(double temperature_K, double pressure_Pa) {
  return pressure_Pa * air_molar_mass_kg_mol / (gas_constant_J_molK * temperature_K);
}
double air_conductivity_W_mK(double temperature_K) { return 0.0263 * std::pow(temperature_K / 300.0, 0.8); }

// The gas can hold no more than its own pressure; a film kept just below boiling stands for one that boils.
constexpr double most_vapour = 0.999;

std::vector<double> fluxes(std::span<const VolatileAmount> film, const Draught& air, double film_temperature_K) {
  const double mean_K = 0.5 * (film_temperature_K + air.temperature_K);
  const double heat_J_m3K = air_density_kg_m3(mean_K, air.pressure_Pa) * air_heat_J_kgK;
  const double spreading_m2_s = air_conductivity_W_mK(mean_K) / heat_J_m3K;
  const double concentration_mol_m3 = air.pressure_Pa / (gas_constant_J_molK * mean_K);

  double amount = 0, vapour = 0;
  for (const VolatileAmount& part : film) amount += part.amount_mol_m2;
  std::vector<double> flux(film.size(), 0.0);
  if (amount <= 0) return flux;
  for (std::size_t i = 0; i < film.size(); ++i) {
    const double share =
        film[i].amount_mol_m2 / amount * vapour_pressure_Pa(film[i].of.antoine, film_temperature_K) / air.pressure_Pa;
    const double lewis = spreading_m2_s / diffusivity_m2_s(film[i].of, mean_K, air.pressure_Pa);
    const double transfer_m_s = air.heat_coefficient_W_m2K / heat_J_m3K * std::pow(lewis, -2.0 / 3.0);
    flux[i] = transfer_m_s * concentration_mol_m3 * share;
    vapour += share;
  }
  const double bounded = std::min(vapour, most_vapour);
  const double stefan = bounded > 1e-9 ? -std::log1p(-bounded) / vapour : 1.0;
  for (double& one : flux) one *= stefan;
  return flux;
}

double volume_m(std::span<const VolatileAmount> film) {
  double volume = 0;
  for (const VolatileAmount& part : film)
    volume += part.amount_mol_m2 * part.of.molar_mass_kg_mol / part.of.density_kg_m3;
  return volume;
}
}  // namespace

Result<Volatile> volatile_of(const Material& material) {
  std::vector<Error> faults;
  const auto value = [&](Property property) {
    const Datum* datum = material.find(property);
    if (!datum)
      faults.push_back({fmt::format("{} has no {}", material.id, row_of(property).key), {}, "", "add it to its data"});
    return datum ? datum->value : 0.0;
  };
  Volatile made;
  made.id = material.id;
  if (const std::optional<Antoine> antoine = antoine_of(material))
    made.antoine = *antoine;
  else
    faults.push_back({fmt::format("{} has no Antoine constants", material.id), {}, "", "add them to its data"});
  made.molar_mass_kg_mol = value(Property::molar_mass);
  made.density_kg_m3 = value(Property::density);
  made.heat_of_vaporisation_J_mol = value(Property::heat_of_vaporisation);
  made.diffusion_volume_cm3_mol = value(Property::diffusion_volume) * 1e6;
  if (!faults.empty()) return faults;
  return made;
}

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

std::vector<double> isothermal_flux_mol_m2s(std::span<const VolatileAmount> film, const Draught& air) {
  return fluxes(film, air, air.temperature_K);
}

Evaporating evaporating(std::span<const VolatileAmount> film, const Draught& air) {
  const auto spare_heat_W_m2 = [&](double film_temperature_K) {
    const std::vector<double> flux = fluxes(film, air, film_temperature_K);
    double spare = air.heat_ratio * air.heat_coefficient_W_m2K * (air.temperature_K - film_temperature_K);
    for (std::size_t i = 0; i < film.size(); ++i) spare -= flux[i] * film[i].of.heat_of_vaporisation_J_mol;
    return spare;
  };
  // Spare heat falls as the film warms: one root, between far colder than any solvent gets and the air.
  double low_K = air.temperature_K - 80, high_K = air.temperature_K;
  for (int halving = 0; halving < 50; ++halving) {
    const double middle_K = 0.5 * (low_K + high_K);
    (spare_heat_W_m2(middle_K) > 0 ? low_K : high_K) = middle_K;
  }
  const double film_temperature_K = 0.5 * (low_K + high_K);
  return {film_temperature_K, fluxes(film, air, film_temperature_K)};
}

double relative_evaporation_rate(const Volatile& solvent, const Volatile& reference, const Draught& air) {
  const auto rate_m_s = [&](const Volatile& one) {
    const VolatileAmount film[]{{one, 1.0}};
    return evaporating(film, air).flux_mol_m2s[0] * one.molar_mass_kg_mol / one.density_kg_m3;
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

EvaporationRun evaporate(std::vector<VolatileAmount> film, const Draught& air, double until_left) {
  EvaporationRun run;
  const double laid_m = volume_m(film);
  double time_s = 0;
  const auto keep = [&](double film_temperature_K) {
    EvaporationMoment moment{time_s, film_temperature_K, 1, {}};
    const double left_m = volume_m(film);
    moment.left_fraction = laid_m > 0 ? left_m / laid_m : 0;
    for (const VolatileAmount& part : film)
      moment.volume_fraction.push_back(part.amount_mol_m2 * part.of.molar_mass_kg_mol / part.of.density_kg_m3 / left_m);
    run.moments.push_back(std::move(moment));
  };
  const auto faded = [](const std::vector<VolatileAmount>& from, const std::vector<double>& flux,
                        const std::vector<VolatileAmount>& at, double step_s) {
    std::vector<VolatileAmount> to = from;
    for (std::size_t i = 0; i < to.size(); ++i)
      if (at[i].amount_mol_m2 > 0) to[i].amount_mol_m2 *= std::exp(-flux[i] / at[i].amount_mol_m2 * step_s);
    return to;
  };
  if (laid_m <= 0) return run;
  while (true) {
    const Evaporating now = evaporating(film, air);
    keep(now.film_temperature_K);
    if (run.moments.back().left_fraction <= until_left) return run;
    double rate_m_s = 0;
    for (std::size_t i = 0; i < film.size(); ++i)
      rate_m_s += now.flux_mol_m2s[i] * film[i].of.molar_mass_kg_mol / film[i].of.density_kg_m3;
    if (rate_m_s <= 0) return run;
    const double step_s = 0.01 * std::max(volume_m(film), 0.1 * laid_m) / rate_m_s;
    const std::vector<VolatileAmount> middle = faded(film, now.flux_mol_m2s, film, 0.5 * step_s);
    film = faded(film, evaporating(middle, air).flux_mol_m2s, middle, step_s);
    time_s += step_s;
  }
}

std::vector<VolatileAmount> laid(std::span<const Volatile> solvents, std::span<const double> volume_fraction,
                                 double film_m) {
  expects(solvents.size() == volume_fraction.size(), "a share for each solvent");
  std::vector<VolatileAmount> film;
  for (std::size_t i = 0; i < solvents.size(); ++i)
    film.push_back(
        {solvents[i], volume_fraction[i] * film_m * solvents[i].density_kg_m3 / solvents[i].molar_mass_kg_mol});
  return film;
}

}  // namespace witnessline
