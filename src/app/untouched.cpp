// The third picture of a comparison: the instrument as if nobody had refinished it; and what is screwed to it.
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
  std::vector<std::string> names;
  for (const auto& part : job.parts) names.push_back(part.name);
  const auto is = [&](const char* word) { return job.instrument.kind.find(word) != std::string::npos; };
  return stand_ins(body, names, is("bass") ? 4 : is("mandolin") ? 8 : 6);
}

std::vector<Shelter> shelter_of(const Job& job, const Body& body) {
  std::vector<Shelter> all = sheltered(fittings_of(job, body), body);
  for (const auto& part : job.parts) {
    if (part.covers.empty()) continue;
    std::vector<Patch> wider = part.covers;
    for (Patch& patch : wider) patch.radius_m += beside_part_m;
    const auto beside = weights_of({{}, {}, wider, 0}, body), under = weights_of({{}, {}, part.covers, 0}, body);
    if (!beside || !under) continue;  // a place that is not on this body was told when the job was read
    for (std::size_t v = 0; v < all.size(); ++v)
      all[v] = std::max(all[v], (*under)[v] >= 0.5f    ? Shelter::under
                                : (*beside)[v] >= 0.5f ? Shelter::beside
                                                       : Shelter::open);
  }
  return all;
}

}  // namespace witnessline::app
