// One step of each kind, able to run on `found_film`. A kind of step without its sample here does not compile.
#pragma once

#include <stdexcept>
#include <vector>

#include "bench/existing.h"
#include "bench/run.h"
#include "shapes/bench_bodies.h"

namespace witnessline::shapes {

inline Clean sample(const Clean*) { return {}; }
inline Mask sample(const Mask*) { return {{{"back"}, {}, {}, 0}, 1e-3}; }
inline Unmask sample(const Unmask*) { return {}; }
inline Plug sample(const Plug*) { return {{{"back"}, {}, {}, 0}}; }
inline Lift sample(const Lift*) {
  Lift s;
  s.coat = "brushed poly", s.stop_at = "old lacquer", s.by = LiftBy::rub;
  return s;
}
inline Spray sample(const Spray*) {
  Spray s;
  s.mixture = "nitrocellulose_lacquer", s.thinner = "lacquer_thinner", s.thinning = 1, s.coats = 2;
  return s;
}
inline MeltIn sample(const MeltIn*) {
  MeltIn s;
  s.mixture = "nitrocellulose_lacquer", s.thinner = "lacquer_thinner", s.where.on = {"bass"};
  return s;
}
inline Sand sample(const Sand*) {
  Sand s;
  s.grit = 400, s.depth_m = 8e-6;
  return s;
}
inline Flat sample(const Flat*) {
  Flat s;
  s.grit = 600, s.depth_m = 12e-6;
  return s;
}
inline Buff sample(const Buff*) { return {}; }
inline Wear sample(const Wear*) {
  Wear s;
  s.depth_m = 60e-6, s.where.patches = {{0.0, 0.1, {}, {}, 0.03, "front"}}, s.where.fade_m = 0.01;
  return s;
}
inline Yellow sample(const Yellow*) { return {1e9, {}}; }
inline Grime sample(const Grime*) { return {"played", {}, {}}; }
inline KnockBack sample(const KnockBack*) {
  KnockBack s;
  s.gloss_60 = 15;
  return s;
}
inline Wait sample(const Wait*) { return {86400, {}}; }
inline ColdCheck sample(const ColdCheck*) {
  ColdCheck s;
  s.to_K = 223.15, s.shocks = 30, s.found_s = 60 * 31557600.0, s.cured_s = 20 * 31557600.0;
  return s;
}

/// By index of the variant.
template <class... Kinds>
std::vector<Step> samples_of(const std::variant<Kinds...>*) {
  return {Step{sample(static_cast<const Kinds*>(nullptr))}...};
}
inline std::vector<Step> every_step() { return samples_of(static_cast<const Step*>(nullptr)); }

/// The project's own materials, which know enough of wood and film to check in the cold.
inline const Library& real_library() {
  static const Library read = [] {
    auto result = read_library(PROJECT_FOLDER "/data");
    if (!result) throw std::runtime_error(result.errors().front().text());
    return std::move(*result);
  }();
  return read;
}
inline Bench bench_on(Body body) {
  Life played;
  played.id = "played", played.age_s = 60 * 31557600.0, played.light_lx_s = 20e6 * 3600.0;
  played.touches = {{Touch::forearm, 4000 * 3600.0}}, played.grime_kg_m2 = 1e-3;
  return {std::move(body),
          real_library(),
          {std::make_shared<const Material>(*real_library().find("maple"))},
          {},
          {},
          11,
          {{"played", played}}};
}
inline Film found_film(const Bench& bench) {
  const Result<Film> film = existing_film(
      {{"varnish", "spirit_varnish", Origin::original, 12e-6, 2e-6, 0, {}},
       {"old lacquer", "nitrocellulose_lacquer", Origin::original, 40e-6, 6e-6, 1e9, {{"front"}, {}, {}, 0}},
       {"brushed poly", "polyurethane", Origin::later, 60e-6, 8e-6, 0, {{"treble"}, {}, {}, 0}}},
      bench, 0);
  if (!film) throw std::runtime_error(film.errors().front().text());
  return *film;
}

}  // namespace witnessline::shapes
