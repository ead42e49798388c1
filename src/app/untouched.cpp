// The third picture of a comparison: the instrument as if nobody had refinished it; and what is screwed to it.
#include <fmt/format.h>

#include <algorithm>

#include "app/work.h"

namespace witnessline::app {

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

}  // namespace witnessline::app
