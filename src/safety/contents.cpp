#include "safety/contents.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace witnessline::safety {

namespace {

void add(std::vector<VapourFlow>& flows, VapourFacts facts, double liquid_m3_s) {
  const auto same = std::find_if(flows.begin(), flows.end(), [&](const VapourFlow& f) { return f.of.id == facts.id; });
  if (same != flows.end())
    same->liquid_m3_s += liquid_m3_s;
  else
    flows.push_back({std::move(facts), liquid_m3_s});
}

double value_or(const Material& m, Property p, double other) {
  const Datum* datum = m.find(p);
  return datum ? datum->value : other;
}

}  // namespace

std::vector<Error> faults_of(const Contents& contents, const Library& library, const std::string& key) {
  std::vector<Error> faults;
  double sum = 0;
  for (std::size_t i = 0; i < contents.solvents.size(); ++i) {
    const SolventShare& share = contents.solvents[i];
    sum += share.volume_fraction;
    const Material* material = library.find(share.material);
    if (material && material->role == Role::solvent) continue;
    std::vector<std::string> known;
    for (const Material& m : library.all())
      if (m.role == Role::solvent) known.push_back(m.id);
    const std::string near = nearest_word(share.material, known);
    faults.push_back(
        {fmt::format("no solvent '{}' in the library", share.material),
         {"", 0, 0, fmt::format("{}.solvents[{}].material", key, i + 1)},
         "a solvent's material id",
         near.empty() ? "add it to the library with its limits" : fmt::format("did you mean '{}'?", near)});
  }
  if (!contents.solvents.empty() && std::abs(sum - 1) > 0.005)
    faults.push_back({fmt::format("the shares sum to {:.1f} %", 100 * sum),
                      {"", 0, 0, key + ".solvents"},
                      "100 %",
                      "give the share by volume of everything that evaporates"});
  return faults;
}

void add_vapours(std::vector<VapourFlow>& flows, const Material& of, double liquid_m3_s, const Library& library,
                 std::span<const Contents> contents) {
  if (liquid_m3_s <= 0) return;
  if (of.role == Role::compound) return;  // a paste rubbed out: its little solvent is left out (docs/models/safety.md)
  const double solids = of.role == Role::solvent || of.role == Role::cleaner
                            ? 0.0
                            : std::clamp(value_or(of, Property::volume_solids, 0.0), 0.0, 1.0);
  const double volatile_m3_s = liquid_m3_s * (1 - solids);
  if (volatile_m3_s <= 0) return;
  const auto given = std::find_if(contents.begin(), contents.end(), [&](const Contents& c) { return c.of == of.id; });
  if (given != contents.end()) {
    for (const SolventShare& share : given->solvents) {
      const Material* solvent = library.find(share.material);
      expects(solvent, "contents are checked against the library before they are used");
      add(flows, vapour_facts(*solvent), volatile_m3_s * share.volume_fraction);
    }
    return;
  }
  VapourFacts facts = vapour_facts(of);
  if (of.role != Role::solvent && of.role != Role::cleaner) {
    const double density = value_or(of, Property::density, 0), dry = value_or(of, Property::dry_density, 0);
    const double left = (density - solids * dry) / (1 - solids);
    facts.molar_mass_kg_mol.reset(), facts.boiling_point_K.reset();
    facts.density_kg_m3 = left > 0 ? std::optional(left) : std::nullopt;
    facts.explosive_limit.reset(), facts.breathing_limit.reset(), facts.danger_limit.reset();
    facts.danger_unpublished = facts.harmless = false;
  }
  add(flows, std::move(facts), volatile_m3_s);
}

}  // namespace witnessline::safety
