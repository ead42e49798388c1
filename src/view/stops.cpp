#include "view/stops.h"

#include <algorithm>
#include <cmath>

#include "base/parallel.h"

namespace witnessline::view {
namespace {

constexpr double laid_sd = 0.10;  // ESTIMATE: one sd of a coat's thickness at a point about what the plan says was laid
constexpr double cut_sd = 0.25;   // ESTIMATE: one sd of what a hand took at a point about what the plan says it took
constexpr double edge_reach_m = 4e-3;  // ESTIMATE: how far from an edge a block or buff still cuts more

std::uint64_t cell(long x, long y, long z) {
  constexpr std::uint64_t bits = 21, mask = (std::uint64_t{1} << bits) - 1;
  const auto part = [](long v) { return static_cast<std::uint64_t>(v) & mask; };
  return part(x) << (2 * bits) | part(y) << bits | part(z);
}
long cell_of(float at_m) { return std::lround(std::floor(double{at_m} / edge_reach_m)); }

/// One coat through the states so far: its layer in each, where it has one.
struct TracedFilm {
  const FilmLayer* now = nullptr;
  std::vector<const FilmLayer*> before;
  const FilmLayer* surveyed = nullptr;
  double spread_share = 0;
  bool hazard = false;
  const CoatFacts* facts = nullptr;
};

const FilmLayer* layer_of(const Film& film, const Provenance& provenance) {
  for (const FilmLayer& layer : film.layers)
    if (layer.provenance == provenance) return &layer;
  return nullptr;
}

std::vector<TracedFilm> traced(const std::vector<const Film*>& history, const Survey& survey) {
  std::vector<TracedFilm> coats;
  const std::vector<FilmLayer>& layers = history.back()->layers;
  for (std::size_t l = layers.size(); l-- > 0;) {  // air side first
    TracedFilm coat;
    coat.now = &layers[l];
    for (const Film* film : history)
      if (const FilmLayer* layer = layer_of(*film, layers[l].provenance)) coat.before.push_back(layer);
    if (const auto facts = survey.coats.find(layers[l].provenance.laid_by); facts != survey.coats.end()) {
      coat.facts = &facts->second;
      coat.hazard = !facts->second.hazard.empty();
      coat.spread_share = facts->second.spread_share;
      if (survey.mean) coat.surveyed = layer_of(*survey.mean, layers[l].provenance);
    }
    coats.push_back(std::move(coat));
  }
  return coats;
}

}  // namespace

Softened softened(const CoatFacts* facts, double dry_m, double solvent_m, double cured_s) {
  constexpr double unknown_binder_share = 0.05;
  if (!(dry_m > 0)) return Softened::hard;
  const double share = solvent_m / dry_m;
  if (!facts || !facts->softness) return share > unknown_binder_share ? Softened::too_soft : Softened::hard;
  if (facts->softness->too_soft(dry_m, share, cured_s)) return Softened::too_soft;
  return facts->softness->still_sinks(dry_m, share, cured_s) ? Softened::still_sinking : Softened::hard;
}

FilmEstimate known_film(double most_m, double now_m, std::optional<double> surveyed_m, double spread_share) {
  FilmEstimate coat;
  coat.laid = std::max(0.0, most_m);
  const double taken = std::max(0.0, coat.laid - now_m);
  coat.laid_sd = laid_sd * coat.laid;
  if (surveyed_m) {
    coat.laid = std::max(0.0, *surveyed_m);
    coat.laid_sd = std::hypot(laid_sd, spread_share) * coat.laid;
  }
  coat.left = std::max(0.0, coat.laid - taken);
  coat.left_sd = coat.left > 0 ? std::hypot(coat.laid_sd, cut_sd * taken) : 0.0;
  return coat;
}

double CutTarget::depth_m(double share) const { return share * std::max(0.0, above_m - 1.96 * sd_m); }

std::vector<CutTarget> cut_targets(const std::vector<CoatLeft>& coats) {
  std::vector<CutTarget> met;
  double above_m = 0, variance_m2 = 0;
  bool next = false, original = false;
  const auto add = [&](std::size_t coat, StopFor why) { met.push_back({coat, why, above_m, std::sqrt(variance_m2)}); };
  for (std::size_t i = 0; i < coats.size(); ++i) {
    if (!(coats[i].film_m > 0)) continue;
    const bool first_original = !original && coats[i].origin == Origin::original;
    if (coats[i].hazard) {  // nothing below it is offered
      add(i, StopFor::hazard);
      return met;
    }
    if (first_original) add(i, StopFor::original);
    if (!first_original && above_m > 0 && !next) add(i, StopFor::next_coat);
    next = next || above_m > 0, original = original || first_original;
    above_m += coats[i].film_m, variance_m2 += coats[i].sd_m * coats[i].sd_m;
  }
  add(coats.size(), StopFor::wood);
  return met;
}

EdgeBand::EdgeBand(const Body& body) {
  const auto positions = body.positions();
  for (std::size_t v = 0; v < positions.size(); ++v)
    if (body.in(v, Region::edge) || body.in(v, Region::rim)) {
      const Vec3 p = positions[v];
      cells_[cell(cell_of(p.x), cell_of(p.y), cell_of(p.z))].push_back(p);
    }
}

bool EdgeBand::holds(Vec3 at) const {
  const long x0 = cell_of(at.x), y0 = cell_of(at.y), z0 = cell_of(at.z);
  for (long i = 0; i < 27; ++i) {
    const auto found = cells_.find(cell(x0 + i % 3 - 1, y0 + i / 3 % 3 - 1, z0 + i / 9 - 1));
    if (found == cells_.end()) continue;
    for (const Vec3 p : found->second) {
      const double x = double{p.x} - at.x, y = double{p.y} - at.y, z = double{p.z} - at.z;
      if (x * x + y * y + z * z < edge_reach_m * edge_reach_m) return true;
    }
  }
  return false;
}

std::vector<float> stop_depths_m(const std::vector<const Film*>& history, const Body& body, const Survey& survey,
                                 std::span<const std::uint32_t> vertices) {
  expects(!history.empty(), "a stop depth is read from at least one state");
  const std::vector<TracedFilm> coats = traced(history, survey);
  const EdgeBand edges(body);
  std::vector<float> depths(vertices.size());
  for_chunks(vertices.size(), 2048, [&](std::size_t begin, std::size_t end) {
    std::vector<CoatLeft> left(coats.size());
    for (std::size_t i = begin; i < end; ++i) {
      const std::size_t v = vertices[i];
      bool first = true, wet = false;
      for (std::size_t c = 0; c < coats.size(); ++c) {
        const TracedFilm& coat = coats[c];
        double most_m = 0;
        for (const FilmLayer* layer : coat.before) most_m = std::max(most_m, static_cast<double>(layer->dry_m[v]));
        const double now_m = static_cast<double>(coat.now->dry_m[v]);
        const auto surveyed_m =
            coat.surveyed ? std::optional(static_cast<double>(coat.surveyed->dry_m[v])) : std::nullopt;
        const FilmEstimate film = known_film(most_m, now_m, surveyed_m, coat.spread_share);
        left[c] = {film.left, film.left_sd, coat.now->provenance.origin, coat.hazard};
        if (film.left > 0 && std::exchange(first, false))
          wet = softened(coat.facts, now_m, static_cast<double>(coat.now->solvent_m[v]), coat.now->cured_s) ==
                Softened::too_soft;
      }
      const double share = wet ? 0.0 : edges.holds(body.positions()[v]) ? edge_share : 1.0;
      depths[i] = static_cast<float>(cut_targets(left).front().depth_m(share));
    }
  });
  return depths;
}

}  // namespace witnessline::view
