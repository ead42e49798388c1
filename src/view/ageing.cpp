#include "view/ageing.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "bench/knocks.h"

namespace witnessline::view {

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

std::vector<std::uint32_t> joined(const Body& body, const std::function<bool(std::uint32_t)>& is_in) {
  std::vector<std::uint32_t> root(body.size());
  std::iota(root.begin(), root.end(), 0u);
  const auto find = [&](std::uint32_t v) {
    while (root[v] != v) v = root[v] = root[root[v]];
    return v;
  };
  for (const Triangle& t : body.triangles())
    for (std::size_t k = 0; k < 3; ++k)
      if (const std::uint32_t a = t[k], b = t[(k + 1) % 3]; is_in(a) && is_in(b)) root[find(a)] = find(b);
  for (std::uint32_t v = 0; v < root.size(); ++v) root[v] = find(v);
  return root;
}

std::vector<WornEdge> worn_edges(std::span<const float> worn_m, const Film& after, const Body& body) {
  constexpr float seen_m = 5e-6f;            // ESTIMATE: wear that is seen at all
  constexpr double least_place_m2 = 0.5e-4;  // ESTIMATE: a smaller place is a chip
  const auto nowhere = static_cast<std::uint32_t>(body.size());
  const auto worn = [&](std::uint32_t v) { return worn_m[v] > seen_m; };
  const std::vector<std::uint32_t> root = joined(body, worn);
  std::vector<float> left_m(body.size()), surface_m(body.size());
  std::vector<int> top(body.size());
  for (std::size_t v = 0; v < body.size(); ++v)
    surface_m[v] = static_cast<float>(height_m(after, v)), left_m[v] = surface_m[v] + after.wood_cut_m[v],
    top[v] = top_of(after, v);
  struct Place {
    double area_m2 = 0, floor_m2 = 0, rim_m = 0, border_m = 0;
    std::uint32_t barest = 0;
    int rim_top = -1;                           // outermost coat that stands round it
    std::vector<std::pair<float, double>> rim;  // film, length
  };
  const auto at = body.positions();
  std::vector<Place> places;
  std::vector<std::uint32_t> place_of(body.size(), nowhere);
  const auto before = [&](std::uint32_t a, std::uint32_t b) {  // barer, or by place: numbering does not matter
    return std::tuple(top[a], surface_m[a], at[a].x, at[a].y, at[a].z) <
           std::tuple(top[b], surface_m[b], at[b].x, at[b].y, at[b].z);
  };
  for (std::uint32_t v = 0; v < body.size(); ++v) {
    if (!worn(v)) continue;
    std::uint32_t& number = place_of[root[v]];
    if (number == nowhere)
      number = static_cast<std::uint32_t>(places.size()), places.push_back({}), places.back().barest = v;
    Place& place = places[number];
    place.area_m2 += static_cast<double>(body.areas_m2()[v]);
    if (before(v, place.barest)) place.barest = v;
  }
  const auto of = [&](std::uint32_t v) -> Place& { return places[place_of[root[v]]]; };
  for (std::uint32_t v = 0; v < body.size(); ++v)
    if (worn(v) && top[v] == top[of(v).barest]) of(v).floor_m2 += static_cast<double>(body.areas_m2()[v]);
  const auto floor = [&](std::uint32_t v) { return worn(v) && top[v] == top[of(v).barest]; };
  for (const Triangle& t : body.triangles()) {
    // The corner that stands alone, if one does: the border halves the edge across from it.
    const auto border = [&](const auto& in, const auto& found) {
      const int count = in(t[0]) + in(t[1]) + in(t[2]);
      if (count == 0 || count == 3) return;
      for (std::size_t k = 0; k < 3; ++k)
        if (in(t[k]) == (count == 1)) found(k, 0.5 * between(at[t[(k + 1) % 3]], at[t[(k + 2) % 3]]));
    };
    border(worn, [&](std::size_t k, double length_m) {
      const std::uint32_t alone = t[k], next = t[(k + 1) % 3], last = t[(k + 2) % 3];
      Place& place = of(worn(alone) ? alone : next);
      place.rim_m += length_m;
      for (const std::uint32_t v : t)
        if (!worn(v)) place.rim_top = std::max(place.rim_top, top[v]);
      if (!worn(alone)) place.rim.emplace_back(left_m[alone], length_m);
      if (worn(alone)) place.rim.emplace_back(0.5f * (left_m[next] + left_m[last]), length_m);
    });
    border(floor,
           [&](std::size_t k, double length_m) { of(floor(t[k]) ? t[k] : t[(k + 1) % 3]).border_m += length_m; });
  }
  std::vector<WornEdge> edges;
  for (Place& place : places) {
    const double floor_m = static_cast<double>(left_m[place.barest]);
    if (place.area_m2 < least_place_m2 || place.rim.empty()) continue;
    std::sort(place.rim.begin(), place.rim.end());
    const auto tenth = [&](double share) {
      double sum_m = 0;
      for (const auto& [film_m, length_m] : place.rim)
        if ((sum_m += length_m) >= share * place.rim_m) return static_cast<double>(film_m) - floor_m;
      return static_cast<double>(place.rim.back().first) - floor_m;
    };
    bool through = false;
    for (const auto& layer : after.layers) through |= layer.dry_m[place.barest] < 0;  // cut past, not never there
    if (!through || place.rim_top <= top[place.barest]) continue;  // the same coat shows inside and out
    WornEdge edge{
        at[place.barest],
        top[place.barest] < 0 ? "wood" : after.layers[static_cast<std::size_t>(top[place.barest])].provenance.laid_by,
        place.area_m2,
        tenth(0.5),
        tenth(0.1),
        tenth(0.9),
        0};
    // No narrower than the mesh shows.
    edge.over_m = std::max(std::sqrt(static_cast<double>(body.areas_m2()[place.barest])),
                           2 * (place.area_m2 - place.floor_m2) / (place.rim_m + place.border_m));
    edges.push_back(std::move(edge));
  }
  std::sort(edges.begin(), edges.end(), [](const WornEdge& a, const WornEdge& b) {
    return std::tuple(-a.height_m, a.at.x, a.at.y, a.at.z) < std::tuple(-b.height_m, b.at.x, b.at.y, b.at.z);
  });
  return edges;
}

EdgeReading reading_of(const WornEdge& edge) {
  EdgeReading e{edge.shows, edge.at, {}, {}};
  e.height = figure("film round the worn place", edge.height_m, {std::max(0.0, edge.low_m), edge.high_m},
                    Quantity::film_thickness,
                    "film at its rim less what is left inside; band: a tenth of the rim is thinner, a tenth thicker");
  e.way = figure("width of the sloping edge", edge.over_m, {0.6 * edge.over_m, 1.6 * edge.over_m}, Quantity::length,
                 "2 x area off the floor / (rim + border of the floor); band ESTIMATE");
  return e;
}

AgeingReading ageing_of(const std::vector<const Film*>& history, const Film& after, const ViewContext& view_context,
                        const Survey& survey) {
  const Film& before = *history.back();
  const Body& body = view_context.body;
  AgeingReading reading;
  double deepest_m = 0;
  std::size_t deepest = 0;
  std::vector<int> top(body.size(), -2);  // -2: shows what it showed
  std::vector<double> area_m2(after.layers.size() + 1);
  const std::vector<char> chipped = under_chips(body, *after.marks);
  std::vector<float> worn_m(body.size());
  for (std::size_t v = 0; v < body.size(); ++v) {
    if (chipped[v]) continue;
    const double cut_m = height_m(before, v) - height_m(after, v);
    worn_m[v] = static_cast<float>(cut_m);
    if (cut_m > deepest_m) deepest_m = cut_m, deepest = v;
    if (!(cut_m > 0)) continue;
    const int now = top_of(after, v);
    if (now == top_of(before, v)) continue;
    top[v] = now;
    area_m2[static_cast<std::size_t>(now + 1)] += static_cast<double>(body.areas_m2()[v]);
  }
  constexpr double low = 0.75, high = 1.25;  // a hand's 25 %, taken as the band of its deepest cut
  reading.deepest = figure("deepest cut", deepest_m, {low * deepest_m, high * deepest_m}, Quantity::film_thickness,
                           "deepest the surface is cut anywhere in this step; band: the hand, 25 % (ESTIMATE)");
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
  if (!reading.rings.empty())
    for (const WornEdge& edge : worn_edges(worn_m, after, body))
      if (reading.edges.size() < 3) reading.edges.push_back(reading_of(edge));
  const auto made = [&](MarkKind kind) {
    const auto count = [&](const Film& film) {
      return std::count_if(film.marks->begin(), film.marks->end(), [&](const Mark& m) { return m.kind == kind; });
    };
    return static_cast<int>(std::max(std::ptrdiff_t{0}, count(after) - count(before)));
  };
  reading.checks = made(MarkKind::check), reading.chips = made(MarkKind::chip);
  reading.dings = made(MarkKind::ding), reading.scratches = made(MarkKind::scratch);
  for (std::size_t m = 0; m < std::min(after.marks->size(), before.marks->size()); ++m)
    reading.soiled += (*after.marks)[m].grime_kg_m2 > (*before.marks)[m].grime_kg_m2;
  if (deepest_m > 0)
    for (std::size_t t = 0; t < body.triangles().size(); ++t) {
      const Triangle& corners = body.triangles()[t];
      const auto k = std::find(corners.begin(), corners.end(), static_cast<std::uint32_t>(deepest)) - corners.begin();
      if (k == 3) continue;
      const SurfacePoint point{static_cast<std::uint32_t>(t), k == 1 ? 1.0f : 0.0f, k == 2 ? 1.0f : 0.0f};
      ColumnReading column = column_at(history, view_context, point, survey);
      reading.at = column.at, reading.stops = std::move(column.stops);
      break;
    }
  return reading;
}

}  // namespace witnessline::view
