#include "film/film.h"

#include <cmath>
#include <unordered_set>

namespace witnessline::film {

namespace {

/// One corner of an interpolation and its weight.
struct Corner {
  std::size_t vertex = 0;
  double weight = 0;
};

template <class T>
double mean_of(const Field<T>& field, std::span<const Corner> corners) {
  double sum = 0;
  for (const Corner& c : corners) sum += c.weight * static_cast<double>(field[c.vertex]);
  return sum;
}

Stack stack_from(const Film& film, const Body& body, const std::vector<std::shared_ptr<const Material>>& woods,
                 std::span<const Corner> corners) {
  const Corner* nearest = &corners[0];
  for (const Corner& c : corners)
    if (c.weight > nearest->weight) nearest = &c;
  Stack stack;
  const std::size_t wood = body.wood_of()[nearest->vertex];
  if (wood < woods.size()) stack.wood = woods[wood];
  stack.wood_cut_m = mean_of(film.wood_cut_m, corners);
  const double light_lx_s = mean_of(film.light_lx_s, corners);
  stack.layers.reserve(film.layers.size());
  for (const FilmLayer& layer : film.layers) {
    Layer here{layer.mixture, layer.provenance};
    here.dry_m = mean_of(layer.dry_m, corners);
    here.solvent_m = here.dry_m > 0 ? std::max(0.0, mean_of(layer.solvent_m, corners)) : 0.0;
    here.melted = here.dry_m > 0 ? mean_of(layer.melted, corners) / 255.0 : 0.0;
    here.cured_s = layer.cured_s;
    here.light_lx_s = std::max(0.0, light_lx_s - mean_of(layer.light_at_lay, corners));
    stack.layers.push_back(std::move(here));
  }
  stack.surface = {mean_of(film.roughness_m, corners), mean_of(film.scratch_m, corners),
                   mean_of(film.grime_kg_m2, corners), mean_of(film.open_pore, corners)};
  return stack;
}

template <class T>
std::size_t bytes_once(const Field<T>& field, std::unordered_set<const void*>& seen) {
  std::size_t total = field.bytes();
  for (std::size_t c = 0; c < field.chunk_count(); ++c)
    if (const void* buffer = field.buffer(c); buffer && !seen.insert(buffer).second) total -= field_chunk * sizeof(T);
  return total;
}

}  // namespace

std::size_t Film::bytes() const { return bytes_beyond({}); }

std::size_t Film::bytes_beyond(std::span<const Film* const> others) const {
  std::unordered_set<const void*> seen;
  for (const Film* other : others) other->each_field([&](const auto& field) { bytes_once(field, seen); });
  std::size_t total = sizeof(Film) + layers.size() * sizeof(FilmLayer);
  each_field([&](const auto& field) { total += bytes_once(field, seen); });
  for (const Mark& mark : *marks) total += sizeof(Mark) + mark.path.size() * sizeof(SurfacePoint);
  return total;
}

Film bare_film(const Body& body) {
  const std::size_t n = body.size();
  Film film;
  film.wood_cut_m = film.light_lx_s = film.roughness_m = film.scratch_m = film.grime_kg_m2 = film.open_pore =
      Field<float>(n, 0.0f);
  film.masking = Field<std::uint8_t>(n, 0);
  return film;
}

std::size_t layer_for(Film& film, const std::shared_ptr<const Mixture>& mixture, const Provenance& provenance) {
  if (!film.layers.empty()) {
    const FilmLayer& top = film.layers.back();
    const bool same =
        top.mixture == mixture || (top.mixture && mixture && top.mixture->id == mixture->id && !mixture->id.empty());
    if (same && top.provenance == provenance) return film.layers.size() - 1;
  }
  const std::size_t n = film.size();
  film.layers.push_back(
      {mixture, provenance, Field<float>(n, 0.0f), Field<float>(n, 0.0f), Field<std::uint8_t>(n, 0), film.light_lx_s});
  return film.layers.size() - 1;
}

Stack stack_at(const Film& film, const Body& body, const std::vector<std::shared_ptr<const Material>>& woods,
               std::size_t vertex) {
  const Corner corner{vertex, 1.0};
  return stack_from(film, body, woods, {&corner, 1});
}

Stack stack_at(const Film& film, const Body& body, const std::vector<std::shared_ptr<const Material>>& woods,
               SurfacePoint at) {
  const Triangle& t = body.triangles()[at.triangle];
  const Corner corners[3] = {{t[0], 1.0 - at.u - at.v}, {t[1], at.u}, {t[2], at.v}};
  return stack_from(film, body, woods, corners);
}

}  // namespace witnessline::film
