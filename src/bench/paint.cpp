#include "bench/paint.h"

#include <fmt/format.h>

#include <algorithm>

#include "bench/tin_facts.h"
#include "materials/in_words.h"
#include "solvents/hansen.h"

namespace witnessline::bench {

namespace {
std::string did_you_mean(const std::string& word, const std::vector<std::string>& known) {
  const std::string near = nearest_word(word, known);
  return near.empty() ? "see the library's list of materials" : fmt::format("did you mean '{}'?", near);
}
}  // namespace

std::optional<double> Paint::energy_difference(const Material& solvent) const {
  const std::optional<Hansen> hansen = hansen_of(solvent);
  return main && hansen ? relative_energy_difference(*main, *hansen) : std::nullopt;
}

double Paint::density_kg_m3() const {
  double sum = 0;
  for (const Share& share : shares) sum += share.volume_fraction * share.density_kg_m3;
  return sum;
}

std::string dust_hazard(const Paint& paint, Origin origin) {
  if (!paint.metals.empty()) return in_words(paint.metals);
  return paint.pigmented && origin != Origin::this_plan ? "old pigment, lead until tested" : "";
}

namespace {
Result<const Material*> material_in(const Library& library, const std::string& id, const std::string& key) {
  if (const Material* found = library.find(id)) return found;
  return Error{fmt::format("no material '{}' in the library", id),
               {"", 0, 0, key},
               "a material id",
               did_you_mean(id, library.ids())};
}
}  // namespace

Result<const Material*> material_of(const std::string& id, const Bench& bench, const std::string& key) {
  return material_in(bench.library, id, key);
}

Result<Paint> paint_of(const std::string& id, const Bench& bench, const std::string& key) {
  if (const auto it = bench.mixtures.find(id); it != bench.mixtures.end()) return paint_of(it->second, bench, key);
  if (const Material* material = bench.library.find(id))
    return paint_of(std::make_shared<const Mixture>(Mixture{id, material->name, {{id, 1.0}}}), bench, key);
  std::vector<std::string> known = bench.library.ids();
  for (const auto& [mixture, held] : bench.mixtures) known.push_back(mixture);
  return Error{fmt::format("'{}' is neither a mixture of this job nor a material of the library", id),
               {"", 0, 0, key},
               "a mixture or material id",
               did_you_mean(id, known)};
}

Result<Paint> paint_of(const std::shared_ptr<const Mixture>& mixture, const Bench& bench, const std::string& key) {
  return paint_of(mixture, bench.library, key);
}

Result<Paint> paint_of(const std::shared_ptr<const Mixture>& mixture, const Library& library, const std::string& key) {
  Paint paint{mixture, {}, 0, nullptr, false, false, {}};
  std::vector<Error> faults;
  double volume = 0, solids = 0, most_binder = 0;
  for (const Part& part : mixture->parts) {
    const Result<const Material*> found = material_in(library, part.material, key);
    if (!found) {
      faults.insert(faults.end(), found.errors().begin(), found.errors().end());
      continue;
    }
    const Material& material = **found;
    const bool leaves_film = material.role != Role::solvent && material.role != Role::cleaner;
    const Datum *density = material.find(Property::density), *film = material.find(Property::volume_solids);
    if (material.role == Role::wood || !density || density->value <= 0 || (leaves_film && !film)) {
      faults.push_back({fmt::format("'{}' cannot be laid: its file gives no {}", part.material,
                                    density && density->value > 0 ? "volume solids" : "density"),
                        {"", 0, 0, key},
                        "a paint with density and volume solids",
                        "choose a paint, or add the datum with its source to the material's file"});
      continue;
    }
    const double share = part.mass_fraction / density->value;
    volume += share;
    if (leaves_film) solids += share * film->value;
    paint.shares.push_back({part.material, share, density->value});
    if (material.binder != Binder::none && part.mass_fraction > most_binder)
      most_binder = part.mass_fraction, paint.main = &material;
    paint.metallic |= material.metallic;
    paint.pigmented |= material.role == Role::colorant || material.role == Role::primer;
    for (const Harmful metal : held_of(material, poisonous_metals)) paint.metals.push_back(metal);
  }
  if (!faults.empty()) return faults;
  if (!(volume > 0)) return Error{fmt::format("mixture '{}' has no parts", mixture->id), {"", 0, 0, key}, "", ""};
  std::sort(paint.metals.begin(), paint.metals.end());
  paint.metals.erase(std::unique(paint.metals.begin(), paint.metals.end()), paint.metals.end());
  for (Paint::Share& share : paint.shares) share.volume_fraction /= volume;
  paint.volume_solids = solids / volume;
  return paint;
}

}  // namespace witnessline::bench
