#include <fmt/format.h>

#include "app/published/published.h"
#include "materials/air.h"
#include "solvents/cup.h"
#include "solvents/evaporation.h"
#include "solvents/hansen.h"
#include "solvents/vapour.h"
#include "solvents/viscosity.h"

namespace witnessline::app {

namespace {
Place place_of(const PublishedRow& row) { return {row.file, row.line, 0, row.quantity}; }

Result<const Material*> material_named(const Registry& registry, const PublishedRow& row, const std::string& id) {
  if (const Material* material = registry.library.find(id)) return material;
  return Error{fmt::format("material '{}' is not in the library", id), place_of(row), "",
               did_you_mean(id, registry.library.ids())};
}

Result<Antoine> antoine_of_subject(const Registry& registry, const PublishedRow& row) {
  const Result<const Material*> material = material_named(registry, row, row.subject);
  if (!material) return material.errors();
  if (const std::optional<Antoine> antoine = antoine_of(**material)) return *antoine;
  return Error{fmt::format("{} has no Antoine constants", row.subject), place_of(row), "", ""};
}

/// Of a film former and a blend whose shares by volume are the inputs.
Result<double> difference_of_blend(const Registry& registry, const PublishedRow& row) {
  const Result<const Material*> former = material_named(registry, row, row.subject);
  if (!former) return former.errors();
  std::vector<HansenPart> parts;
  for (const auto& [id, share] : row.inputs) {
    const Result<const Material*> solvent = material_named(registry, row, id);
    const Result<Numbers> fraction = numbers(row, {id});
    if (!solvent) return solvent.errors();
    if (!fraction) return fraction.errors();
    const std::optional<Hansen> parameters = hansen_of(**solvent);
    if (!parameters) return Error{fmt::format("{} has no Hansen parameters", id), place_of(row), "", ""};
    parts.push_back({*parameters, (*fraction)[id]});
  }
  const std::optional<double> difference = relative_energy_difference(**former, hansen_of_blend(parts));
  if (!difference) return Error{fmt::format("{} has no Hansen sphere", row.subject), place_of(row), "", ""};
  return *difference;
}

/// 1 when the solvent dissolves the film former (relative energy difference below 1), else 0.
Result<double> dissolves(const Registry& registry, const PublishedRow& row) {
  const Result<double> difference = difference_of_blend(registry, row);
  if (!difference) return difference.errors();
  return *difference < 1 ? 1.0 : 0.0;
}

Result<Volatile> volatile_named(const Registry& registry, const PublishedRow& row, const std::string& id) {
  const Result<const Material*> material = material_named(registry, row, id);
  if (!material) return material.errors();
  return volatile_of(**material);
}

/// By volume, n-butyl acetate = 1, in the draught of the model; the input heat_ratio replaces its own.
Result<double> relative_rate(const Registry& registry, const PublishedRow& row) {
  const Result<Volatile> solvent = volatile_named(registry, row, row.subject);
  const Result<Volatile> reference = volatile_named(registry, row, "butyl_acetate");
  if (!solvent) return solvent.errors();
  if (!reference) return reference.errors();
  Airflow air;
  if (row.inputs.count("heat_ratio")) {
    const Result<Numbers> in = numbers(row, {"heat_ratio"});
    if (!in) return in.errors();
    air.heat_ratio = (*in)["heat_ratio"];
  }
  return relative_evaporation_rate(*solvent, *reference, air);
}

/// Vapour pressure of a blend from the mole fractions that stand as inputs beside T_degC [kPa].
Result<double> pressure_of_blend(const Registry& registry, const PublishedRow& row) {
  const Result<Numbers> in = numbers(row, {"T_degC"});
  if (!in) return in.errors();
  const double temperature_K = (*in)["T_degC"] + 273.15;
  std::vector<Volatile> solvents;
  std::vector<double> volume;
  double whole = 0;
  for (const auto& [id, share] : row.inputs) {
    if (id == "T_degC") continue;
    const Result<Volatile> solvent = volatile_named(registry, row, id);
    const Result<Numbers> fraction = numbers(row, {id});
    if (!solvent) return solvent.errors();
    if (!fraction) return fraction.errors();
    solvents.push_back(*solvent);
    volume.push_back((*fraction)[id] * solvent->molar_volume_m3_mol());
    whole += volume.back();
  }
  for (double& one : volume) one /= whole;
  std::vector<double> activity(solvents.size());
  Solution(solvents, std::nullopt, temperature_K).activities(volume, activity);
  double pressure_Pa = 0;
  for (std::size_t i = 0; i < solvents.size(); ++i)
    pressure_Pa += activity[i] * vapour_pressure_Pa(solvents[i].antoine, temperature_K);
  return pressure_Pa / 1000;
}

/// Temperature of a pure solvent's wet face in the draught of the model [K].
Result<double> evaporating_temperature(const Registry& registry, const PublishedRow& row) {
  const Result<Volatile> solvent = volatile_named(registry, row, row.subject);
  const Result<Numbers> in = numbers(row, {"air_degC", "heat_ratio"});
  if (!solvent) return solvent.errors();
  if (!in) return in.errors();
  Airflow air;
  air.temperature_K = (*in)["air_degC"] + 273.15;
  air.heat_ratio = (*in)["heat_ratio"];
  const double pure[]{1.0};
  return OpenFace({&*solvent, 1}, air).film_temperature_K(pure);
}

Result<const Cup*> cup_named(const PublishedRow& row, const std::string& id) {
  if (const Cup* cup = find_cup(id)) return cup;
  return Error{fmt::format("there is no cup '{}'", id), place_of(row), cup_words(), ""};
}
std::string word(const PublishedRow& row, const std::string& key) {
  const auto found = row.inputs.find(key);
  return found == row.inputs.end() ? "" : found->second;
}

/// Parts of thinner from one reading of the tin: everything else is the estimate of the model.
Result<double> thinning_ratio(const Registry& registry, const PublishedRow& row) {
  const Result<double> solids = datum_of_subject(registry, row, Property::volume_solids),
                       density = datum_of_subject(registry, row, Property::density);
  const Result<const Cup*> tin_cup = cup_named(row, word(row, "tin_cup")),
                           target_cup = cup_named(row, word(row, "target_cup"));
  const Result<Numbers> in = numbers(row, {"tin_s", "target_s", "T_degC"});
  const Result<const Material*> thinner = material_named(registry, row, "lacquer_thinner");
  if (!solids) return solids.errors();
  if (!density) return density.errors();
  if (!tin_cup) return tin_cup.errors();
  if (!target_cup) return target_cup.errors();
  if (!in) return in.errors();
  if (!thinner) return thinner.errors();
  const double temperature_K = (*in)["T_degC"] + 273.15;
  const Result<double> read = viscosity_of_seconds_m2_s(**tin_cup, (*in)["tin_s"]),
                       wanted = viscosity_of_seconds_m2_s(**target_cup, (*in)["target_s"]);
  if (!read) return read.errors();
  if (!wanted) return wanted.errors();
  const TinReading reading{*read, temperature_K, 0};
  const Result<FittedViscosity> fit =
      fit_viscosity({*solids, *density, (*thinner)->find(Property::density)->value}, {&reading, 1});
  if (!fit) return fit.errors();
  return fit->law.thinning_ratio(*wanted, temperature_K).value_or(-1.0);
}
}  // namespace

void add_solvent_checks(Registry& registry) {
  registry.add("boiling_point_of_vapour_pressure", [&registry](const PublishedRow& row) -> Result<double> {
    const Result<Antoine> antoine = antoine_of_subject(registry, row);
    const Result<Numbers> in = numbers(row, {"p_kPa"});
    if (!antoine) return antoine.errors();
    if (!in) return in.errors();
    return boiling_point_K(*antoine, 1000 * (*in)["p_kPa"]) - 273.15;
  });
  registry.add("vapour_pressure", [&registry](const PublishedRow& row) -> Result<double> {
    const Result<Antoine> antoine = antoine_of_subject(registry, row);
    const Result<Numbers> in = numbers(row, {"T_degC"});
    if (!antoine) return antoine.errors();
    if (!in) return in.errors();
    return vapour_pressure_Pa(*antoine, (*in)["T_degC"] + 273.15) / 1000;
  });
  registry.add("heat_of_vaporisation", [&registry](const PublishedRow& row) -> Result<double> {
    const Result<Antoine> antoine = antoine_of_subject(registry, row);
    const Result<Numbers> in = numbers(row, {"T_degC"});
    if (!antoine) return antoine.errors();
    if (!in) return in.errors();
    return heat_of_vaporisation_J_mol(*antoine, (*in)["T_degC"] + 273.15) / 1000;
  });
  registry.add("vapour_mass", [&registry](const PublishedRow& row) -> Result<double> {
    const Result<double> molar_mass = datum_of_subject(registry, row, Property::molar_mass);
    const Result<Numbers> in = numbers(row, {"ppm"});
    if (!molar_mass) return molar_mass.errors();
    if (!in) return in.errors();
    return 1e6 * vapour_mass_kg_m3(1e-6 * (*in)["ppm"], *molar_mass);
  });
  registry.add("relative_evaporation_rate",
               [&registry](const PublishedRow& row) { return relative_rate(registry, row); });
  registry.add("pressure_of_blend", [&registry](const PublishedRow& row) { return pressure_of_blend(registry, row); });
  registry.add("relative_energy_difference",
               [&registry](const PublishedRow& row) { return difference_of_blend(registry, row); });
  registry.add("evaporating_temperature", [&registry](const PublishedRow& row) -> Result<double> {
    const Result<double> film_K = evaporating_temperature(registry, row);
    if (!film_K) return film_K.errors();
    return *film_K - 273.15;
  });
  registry.add("film_above_dew_point", [&registry](const PublishedRow& row) -> Result<double> {
    const Result<double> film_K = evaporating_temperature(registry, row);
    const Result<Numbers> in = numbers(row, {"air_degC", "RH_pct"});
    if (!film_K) return film_K.errors();
    if (!in) return in.errors();
    return *film_K - dew_point_K((*in)["air_degC"] + 273.15, 0.01 * (*in)["RH_pct"]);
  });
  registry.add("diffusivity_in_air", [&registry](const PublishedRow& row) -> Result<double> {
    const Result<Volatile> solvent = volatile_named(registry, row, row.subject);
    const Result<Numbers> in = numbers(row, {"T_degC"});
    if (!solvent) return solvent.errors();
    if (!in) return in.errors();
    return 1e6 * diffusivity_m2_s(*solvent, (*in)["T_degC"] + 273.15);
  });
  registry.add("viscosity_of_seconds", [](const PublishedRow& row) -> Result<double> {
    const Result<const Cup*> cup = cup_named(row, row.subject);
    const Result<Numbers> in = numbers(row, {"t_s"});
    if (!cup) return cup.errors();
    if (!in) return in.errors();
    const Result<double> viscosity_m2_s = viscosity_of_seconds_m2_s(**cup, (*in)["t_s"]);
    if (!viscosity_m2_s) return viscosity_m2_s.errors();
    return *viscosity_m2_s * 1e6;
  });
  registry.add("thinning_ratio", [&registry](const PublishedRow& row) { return thinning_ratio(registry, row); });
  registry.add("dissolves", [&registry](const PublishedRow& row) { return dissolves(registry, row); });
}

}  // namespace witnessline::app
