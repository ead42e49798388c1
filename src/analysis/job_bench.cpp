#include "analysis/job_bench.h"

#include <fmt/format.h>

#include <algorithm>

#include "analysis/lives.h"

namespace witnessline::analysis {

namespace {

/// The shelf, with what was found when a tin of it was tried, and the solvents that safety data sheets list where a tin
/// names none of its own.
std::vector<PaintTin> tins_of(const Job& job) {
  std::vector<PaintTin> tins = job.shelf;
  for (const TinTest& tried : job.tins)
    for (PaintTin& tin : tins) {
      if (tin.material != tried.material || tin.batch != tried.batch) continue;
      if (!tin.solids_frac) tin.solids_frac = tried.solids_frac;
      if (tin.readings.empty()) tin.readings = tried.readings;
      if (tin.solvents.empty()) tin.solvents = tried.solvents;
      if (tin.grains.empty()) tin.grains = tried.grains;
    }
  for (const Contents& contents : job.contents) {
    if (std::none_of(tins.begin(), tins.end(), [&](const PaintTin& t) { return t.material == contents.of; }))
      tins.push_back({contents.of, {}, "", 0, 0, false, {}, {}, {}, {}, {}});
    for (PaintTin& tin : tins)
      if (tin.material == contents.of && tin.solvents.empty()) {
        double sum = 0;  // sheets round their shares
        for (const safety::SolventShare& one : contents.solvents) sum += one.volume_fraction;
        for (const safety::SolventShare& one : contents.solvents)
          tin.solvents.push_back({one.material, one.volume_fraction / sum});
      }
  }
  return tins;
}

}  // namespace

Bench bench_of(const Job& job, const Body& body, const Library& library) {
  Bench bench{body, library, {}, {}, job.shop, job.seed};
  for (const std::string& wood : body.woods()) {
    const Material* material = library.find(wood);
    expects(material, "a body's woods are checked when its job is read");
    bench.woods.push_back(std::make_shared<Material>(*material));
  }
  for (const Mixture& mixture : job.mixtures) bench.mixtures[mixture.id] = std::make_shared<Mixture>(mixture);
  bench.tins = tins_of(job);
  for (const Life& life : job.lives) bench.lives[life.id] = held_as_usual(life, job.instrument);
  return bench;
}

Result<std::optional<Film>> as_if_untouched(const Job& job, const Bench& bench) {
  std::vector<ExistingCoat> coats;
  for (ExistingCoat coat : job.coats) {
    if (coat.origin != Origin::original) continue;
    // What `except` names is where a coat is missing now, but for places that were never finished.
    std::erase_if(coat.where.except, [](const std::string& place) {
      return place.find("cavity") == std::string::npos && place.find("binding") == std::string::npos;
    });
    coats.push_back(std::move(coat));
  }
  if (coats.empty()) return std::optional<Film>();
  auto film = existing_film(coats, bench, job.grime_kg_m2);
  if (!film) return film.errors();
  return std::optional<Film>(std::move(*film));
}

FittingMesh fittings_of(const Job& job, const Body& body) {
  std::vector<ListedPart> parts;
  for (const auto& part : job.parts) parts.push_back({part.name, part.covers});
  for (const auto& cavity : job.body.cavities)  // dark inside, where the outline says that it is one
    if (cavity.path.find("sound") != std::string::npos) parts.push_back({"sound hole", {}});
  const auto is = [&](const char* word) { return job.instrument.kind.find(word) != std::string::npos; };
  return default_fittings(body, parts, is("bass") ? 4 : is("mandolin") ? 8 : 6);
}

std::vector<Note> notes_on_parts(const Job& job) {
  std::vector<Note> notes;
  for (const auto& part : job.parts)
    if (!has_place({part.name, part.covers}))
      notes.push_back(
          {Severity::information,
           fmt::format("Where '{}' sits is not known, so it is not drawn and shelters nothing from light, hands "
                       "and dirt. State what it covers (`covers`).",
                       part.name),
           "parts"});
  return notes;
}

std::vector<Shelter> shelter_of(const Job& job, const Body& body) {
  std::vector<Shelter> all = sheltered(fittings_of(job, body), body);
  for (const auto& part : job.parts) {
    std::vector<Patch> wider = part.covers;  // what lies on the sides has no stand-in
    std::erase_if(wider, [](const Patch& patch) { return patch.face != "sides"; });
    if (wider.empty()) continue;
    const std::vector<Patch> covers = wider;
    for (Patch& patch : wider) patch.radius_m += beside_part_m;
    const auto beside = weights_of({{}, {}, wider, 0}, body), under = weights_of({{}, {}, covers, 0}, body);
    if (!beside || !under) continue;  // a place that is not on this body was reported when the job was read
    for (std::size_t v = 0; v < all.size(); ++v)
      all[v] = std::max(all[v], (*under)[v] >= 0.5f    ? Shelter::under
                                : (*beside)[v] >= 0.5f ? Shelter::beside
                                                       : Shelter::open);
  }
  return all;
}

}  // namespace witnessline::analysis
