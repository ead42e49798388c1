#include "view/ageing.h"

#include <algorithm>
#include <cmath>

namespace witnessline {

namespace {

int top_of(const Film& film, std::size_t v) {
  for (std::size_t l = film.layers.size(); l-- > 0;)
    if (film.layers[l].dry_m[v] > 0) return static_cast<int>(l);
  return -1;
}

double height_m(const Film& film, std::size_t v) {
  double height = -static_cast<double>(film.wood_cut_m[v]);
  for (const FilmLayer& layer : film.layers)
    if (const float dry = layer.dry_m[v]; dry > 0)
      height += static_cast<double>(dry) + static_cast<double>(layer.solvent_m[v]);
  return height;
}

double between(Vec3 a, Vec3 b) {
  return std::hypot(static_cast<double>(a.x - b.x), static_cast<double>(a.y - b.y), static_cast<double>(a.z - b.z));
}

/// Length of the border between members and others.
double border_m(const std::vector<char>& member, const Body& body) {
  double sum = 0;
  const auto at = body.positions();
  for (const Triangle& t : body.triangles()) {
    const int in = member[t[0]] + member[t[1]] + member[t[2]];
    if (in == 0 || in == 3) continue;
    const char odd = in == 1 ? 1 : 0;  // the corner that stands alone; the border halves the edge across from it
    for (std::size_t k = 0; k < 3; ++k)
      if (member[t[k]] == odd) sum += 0.5 * between(at[t[(k + 1) % 3]], at[t[(k + 2) % 3]]);
  }
  return sum;
}

Figure figure(std::string name, double value, Band band, Quantity quantity, std::string law) {
  Figure f;
  f.name = std::move(name), f.value = value, f.band = band, f.quantity = quantity, f.law = std::move(law);
  f.source = "geometry", f.kind = Kind::estimate;
  return f;
}

}  // namespace

AgeingReading ageing_of(const std::vector<const Film*>& history, const Film& after, const Looking& looking,
                        const Survey& survey) {
  const Film& before = *history.back();
  const Body& body = looking.body;
  AgeingReading reading;
  double deepest_m = 0;
  std::size_t deepest = 0;
  std::vector<int> top(body.size(), -2);  // -2: shows what it showed
  std::vector<double> area_m2(after.layers.size() + 1);
  for (std::size_t v = 0; v < body.size(); ++v) {
    const double cut_m = height_m(before, v) - height_m(after, v);
    if (cut_m > deepest_m) deepest_m = cut_m, deepest = v;
    if (!(cut_m > 0)) continue;
    const int now = top_of(after, v);
    if (now == top_of(before, v)) continue;
    top[v] = now;
    area_m2[static_cast<std::size_t>(now + 1)] += static_cast<double>(body.areas_m2()[v]);
  }
  constexpr double low = 0.75, high = 1.25;  // a hand's 25 %, taken as the band of its deepest cut
  reading.deepest = figure("deepest cut", deepest_m, {low * deepest_m, high * deepest_m}, Quantity::film_thickness,
                           "most the surface sinks anywhere in this step; band: the hand, 25 % (ESTIMATE)");
  double outer_m = 0;
  for (std::size_t i = area_m2.size(); i-- > 0;) {
    if (!(area_m2[i] > 0)) continue;
    const int layer = static_cast<int>(i) - 1;
    std::vector<char> gone(body.size());
    if (!(outer_m > 0)) {
      for (std::size_t v = 0; v < gone.size(); ++v) gone[v] = top[v] > -2;
      outer_m = border_m(gone, body);
    }
    for (std::size_t v = 0; v < gone.size(); ++v) gone[v] = top[v] > -2 && top[v] < layer;
    const double inner_m = border_m(gone, body);
    const double width_m = outer_m + inner_m > 0 ? 2 * area_m2[i] / (outer_m + inner_m) : 0.0;
    outer_m = inner_m;
    Ring ring;
    ring.coat = layer < 0 ? "wood" : after.layers[static_cast<std::size_t>(layer)].provenance.laid_by;
    ring.origin = layer < 0 ? Origin::original : after.layers[static_cast<std::size_t>(layer)].provenance.origin;
    ring.area = figure("area of " + ring.coat, area_m2[i], {}, Quantity::area, "shares of the mesh's vertices");
    ring.width = figure("ring of " + ring.coat, width_m, {0.6 * width_m, 1.6 * width_m}, Quantity::length,
                        "2 area / (outer + inner border); band ESTIMATE");
    reading.rings.push_back(std::move(ring));
  }
  const auto new_marks = static_cast<long>(after.marks->size()) - static_cast<long>(before.marks->size());
  reading.checks = static_cast<int>(std::max(0l, new_marks));
  for (std::size_t m = 0; m < std::min(after.marks->size(), before.marks->size()); ++m)
    reading.soiled += (*after.marks)[m].grime_kg_m2 > (*before.marks)[m].grime_kg_m2;
  if (deepest_m > 0)
    for (std::size_t t = 0; t < body.triangles().size(); ++t) {
      const Triangle& corners = body.triangles()[t];
      const auto k = std::find(corners.begin(), corners.end(), static_cast<std::uint32_t>(deepest)) - corners.begin();
      if (k == 3) continue;
      const SurfacePoint point{static_cast<std::uint32_t>(t), k == 1 ? 1.0f : 0.0f, k == 2 ? 1.0f : 0.0f};
      ColumnReading column = column_at(history, looking, point, survey);
      reading.at = column.at, reading.stops = std::move(column.stops);
      break;
    }
  return reading;
}

}  // namespace witnessline
