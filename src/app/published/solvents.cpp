#include <fmt/format.h>

#include "app/published/published.h"
#include "solvents/evaporation.h"
#include "solvents/hansen.h"
#include "solvents/vapour.h"

namespace witnessline {

namespace {
Place place_of(const PublishedRow& row) { return {row.file, row.line, 0, row.quantity}; }

Result<const Material*> material_named(const Registry& registry, const PublishedRow& row, const std::string& id) {
  if (const Material* material = registry.library.find(id)) return material;
  const std::string near = nearest_word(id, registry.library.ids());
  return Error{fmt::format("material '{}' is not in the library", id), place_of(row), "",
               near.empty() ? "" : fmt::format("did you mean '{}'?", near)};
}

Result<Antoine> antoine_of_subject(const Registry& registry, const PublishedRow& row) {
  const Result<const Material*> material = material_named(registry, row, row.subject);
  if (!material) return material.errors();
  if (const std::optional<Antoine> antoine = antoine_of(**material)) return *antoine;
  return Error{fmt::format("{} has no Antoine constants", row.subject), place_of(row), "", ""};
}

/// 1 when the solvent dissolves the film former (relative energy difference below 1), else 0.
Result<double> dissolves(const Registry& registry, const PublishedRow& row) {
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
  Draught air;
  if (row.inputs.count("heat_ratio")) {
    const Result<Numbers> in = numbers(row, {"heat_ratio"});
    if (!in) return in.errors();
    air.heat_ratio = (*in)["heat_ratio"];
  }
  return relative_evaporation_rate(*solvent, *reference, air);
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
  registry.add("dissolves", [&registry](const PublishedRow& row) { return dissolves(registry, row); });
}

}  // namespace witnessline
