#include "bench/knocks.h"

#include <fmt/format.h>

#include <cmath>
#include <map>

namespace witnessline::bench {

namespace {

constexpr double year_s = 31557600.0, hour_s = 3600.0;
// ESTIMATE: docs/estimates.md
constexpr double knocks_per_year = 1.5, knocks_per_played_hour = 0.02, scratches_per_hour = 0.12;
constexpr double chips_half_Pa = 2e5;  ///< a knock that presses so hard chips the film one time in two
constexpr double cell_m = 0.012;

/// Evenly spread directions (golden angle), turned as one by the key.
std::vector<Vec3d> directions(int count, Key key) {
  std::vector<Vec3d> all;
  const double turn = 6.283185307179586 * uniform(key);
  for (int i = 0; i < count; ++i) {
    const double z = 1 - 2 * (i + 0.5) / count, r = std::sqrt(1 - z * z), a = turn + 2.399963229728653 * i;
    all.push_back({r * std::cos(a), r * std::sin(a), z});
  }
  return all;
}

struct Cell {
  long x, y, z;
  friend auto operator<=>(const Cell&, const Cell&) = default;
};
Cell cell_of(Vec3 p) {
  const auto at = [](float v) { return static_cast<long>(std::floor(static_cast<double>(v) / cell_m)); };
  return {at(p.x), at(p.y), at(p.z)};
}
Key key_of(Key key, const Cell& c) {
  return key.with(static_cast<std::uint64_t>(c.x))
      .with(static_cast<std::uint64_t>(c.y))
      .with(static_cast<std::uint64_t>(c.z));
}

/// How many of an expected number fall, for a uniform draw: never fewer where more are expected.
int poisson(double expected, double u) {
  double term = std::exp(-expected), sum = term;
  int n = 0;
  while (u > sum && n < 1000) term *= expected / ++n, sum += term;
  return n;
}

/// Places drawn by area: expected(v) of them at each vertex's share of the surface.
template <class Expected>
std::vector<std::pair<Key, Vec3>> places_by_area(const Body& body, Key key, const Expected& expected) {
  constexpr double steps = 0x1p40;  // whole steps add up the same in any order
  std::map<Cell, std::int64_t> cells;
  const auto places = body.positions();
  for (std::size_t v = 0; v < body.size(); ++v)
    if (const double e = expected(v); e > 0) cells[cell_of(places[v])] += std::llround(e * steps);
  std::vector<std::pair<Key, Vec3>> drawn;
  for (const auto& [cell, sum] : cells) {
    const Key here = key_of(key, cell);
    const int n = poisson(static_cast<double>(sum) / steps, uniform(here.with("how many")));
    for (int i = 0; i < n; ++i) {
      const Key one = here.with(static_cast<std::uint64_t>(i));
      const auto in = [&](long at, std::uint64_t axis) {
        return static_cast<float>((static_cast<double>(at) + uniform(one.with(axis))) * cell_m);
      };
      drawn.push_back({one, {in(cell.x, 1), in(cell.y, 2), in(cell.z, 3)}});
    }
  }
  return drawn;
}

double lognormal(Key key, double median, double log_sd) { return median * std::exp(log_sd * normal(key)); }

double film_at_m(const Film& film, const Triangle& t, std::size_t from) {
  double sum_m = 0;
  for (std::size_t l = from; l < film.layers.size(); ++l)
    for (const std::uint32_t v : t)
      if (const float d = film.layers[l].dry_m[v]; d > 0) sum_m += static_cast<double>(d) / 3;
  return sum_m;
}

double mean_at(const std::vector<float>& field, const Triangle& t) {
  return (static_cast<double>(field[t[0]]) + static_cast<double>(field[t[1]]) + static_cast<double>(field[t[2]])) / 3;
}

/// Distance from a place to a straight piece.
double distance_m(Vec3d p, Vec3d a, Vec3d b) {
  const Vec3d ab = b - a;
  const double n = dot(ab, ab), t = n > 0 ? std::clamp(dot(p - a, ab) / n, 0.0, 1.0) : 0.0;
  return length(p - (a + t * ab));
}

/// Distance to the nearest check; far where there is none.
double to_check_m(const std::vector<Mark>& marks, const Body& body, Vec3d at) {
  double nearest_m = 1e300;
  for (const Mark& mark : marks)
    if (mark.kind == MarkKind::check)
      for (std::size_t i = 0; i + 1 < mark.path.size(); ++i)
        nearest_m = std::min(nearest_m, distance_m(at, body.position(mark.path[i]), body.position(mark.path[i + 1])));
  return nearest_m;
}

/// A buckle's scratch: an arc over the surface through a place.
std::vector<SurfacePoint> arc(const Body& body, SurfacePoint through, Key key) {
  constexpr double step_m = 2.5e-3;
  const double length_m = std::min(0.09, lognormal(key.with("length"), 0.018, 0.7));
  const double radius_m = lognormal(key.with("radius"), 0.09, 0.5),
               turn = 6.283185307179586 * uniform(key.with("turn"));
  const Triangle& t = body.triangles()[through.triangle];
  const Vec3d normal = unit_of(Vec3d(body.normals()[t[0]]) + Vec3d(body.normals()[t[1]]) + Vec3d(body.normals()[t[2]]));
  const Vec3d x = across(normal), y = cross(normal, x), middle = body.position(through);
  const int steps = std::max(2, static_cast<int>(length_m / step_m));
  std::vector<Vec3> places;
  for (int i = 0; i <= steps; ++i) {
    const double s = length_m * (static_cast<double>(i) / steps - 0.5), bend = 0.5 * s * s / radius_m;
    places.push_back(static_cast<Vec3>(middle + (s * std::cos(turn) - bend * std::sin(turn)) * x +
                                       (s * std::sin(turn) + bend * std::cos(turn)) * y));
  }
  return body.nearest(places);
}

/// The film inside the chips goes, down to `keep_below`, and is booked.
void take_chips(StepContext& context, const std::vector<Mark>& chips, const Reach& reach, std::size_t keep_below) {
  const std::vector<char> inside = under_chips(context.body, chips);
  std::vector<float> weights(inside.size());
  for (std::size_t v = 0; v < weights.size(); ++v) weights[v] = inside[v] && reach.open[v] > 0 ? 1.0f : 0.0f;
  const auto areas = context.body.areas_m2();
  const MassBalance books = over_columns(context.film(), weights, [&](Columns& columns, MassBalance& sums) {
    for (std::size_t i = 0; i < columns.size(); ++i)
      if (const std::size_t v = columns.begin() + i; weights[v] > 0)
        columns.cut(i, columns.thickness_from(keep_below, i) * (keep_below > 0 ? 1.0 - 1e-6 : 1.0),
                    static_cast<double>(areas[v]), sums);
  });
  context.keep(books, 0);
  double taken_m3 = 0;
  for (const CoatSums& coat : books.coats) taken_m3 += coat.cut;
  if (taken_m3 > 0) {
    if (const auto paints = context.paints()) context.warn_of_dust(books, *paints, weights);
    context.note(Severity::information, fmt::format("{} chip{} take {:.2g} mL of dry film from {} in all", chips.size(),
                                                    chips.size() == 1 ? "" : "s", 1e6 * taken_m3,
                                                    area_text(area_under(weights, context.body))));
  }
}

}  // namespace

std::vector<char> under_chips(const Body& body, std::span<const Mark> marks) {
  struct Disc {
    Vec3d middle, normal;
    double radius_m;
  };
  std::map<Cell, std::vector<Disc>> near;
  for (const Mark& mark : marks) {
    if (mark.kind != MarkKind::chip || mark.path.empty()) continue;
    const Vec3d middle = body.position(mark.path.front());
    const double r = chip_radius_share * 0.5 * static_cast<double>(mark.width_m);
    const Vec3d normal = body.normals()[body.triangles()[mark.path.front().triangle][0]];
    const Vec3d out{r, r, r};
    const Cell low = cell_of(static_cast<Vec3>(middle - out)), high = cell_of(static_cast<Vec3>(middle + out));
    for (long x = low.x; x <= high.x; ++x)
      for (long y = low.y; y <= high.y; ++y)
        for (long z = low.z; z <= high.z; ++z) near[{x, y, z}].push_back({middle, normal, r});
  }
  std::vector<char> inside(body.size(), 0);
  if (near.empty()) return inside;
  const auto places = body.positions(), normals = body.normals();
  for_chunks(body.size(), 4096, [&](std::size_t begin, std::size_t end) {
    for (std::size_t v = begin; v < end; ++v)
      if (const auto found = near.find(cell_of(places[v])); found != near.end())
        for (const Disc& disc : found->second)
          if (length(Vec3d(places[v]) - disc.middle) < disc.radius_m && dot(Vec3d(normals[v]), disc.normal) > 0)
            inside[v] = 1;
  });
  return inside;
}

KnockField knock_field(const Body& body, Key key) {
  // A table, a floor, a door frame, another case: flat, hard, with a little cloth or finish between (ESTIMATE).
  ContactBody flat;
  flat.name = "knock", flat.shape = ContactShape::plate;
  flat.half_length_m = flat.half_width_m = 0.6, flat.height_m = 0.01;
  flat.foundation_Pa_m = 3e8, flat.load_N = 60;
  Box3 box;
  for (const Vec3 p : body.positions()) box.add(p);
  std::vector<Pressing> jobs;
  for (const Vec3d& from : directions(48, key))
    jobs.push_back({&flat, {0.5 * (box.low + box.high), from, across(from)}});
  const std::vector<Pressed> all = press_all(jobs, body);

  KnockField field{std::vector<float>(body.size(), 0.0f), std::vector<float>(body.size(), 0.0f)};
  std::vector<double> density(body.size(), 0.0), pressed(body.size(), 0.0);
  double held = 0;
  for (const Pressed& p : all) {
    if (!p.held) continue;
    ++held;
    for (std::size_t n = 0; n < p.vertex.size(); ++n) {
      const double pressure = static_cast<double>(p.pressure_Pa[n]);
      density[p.vertex[n]] += pressure / flat.load_N;
      pressed[p.vertex[n]] += pressure * pressure;  // by how often: the pressure a knock there brings
    }
  }
  const double area_m2 = body.area_m2();
  for (std::size_t v = 0; v < body.size(); ++v) {
    const double flat_share = held > 0 ? density[v] / held : 0;
    field.per_m2[v] = static_cast<float>(0.5 * flat_share + 0.5 / area_m2);
    if (density[v] > 0) field.pressure_Pa[v] = static_cast<float>(pressed[v] / (density[v] * flat.load_N));
  }
  return field;
}

void add_marks_of_life(StepContext& context, const Life& life, const ContactField& contact, const Reach& reach,
                       std::size_t keep_below) {
  double played_s = 0;
  for (const Touch t : {Touch::forearm, Touch::picking_hand, Touch::fretting_hand, Touch::buckle, Touch::chest})
    played_s = std::max(played_s, time_against_s(life, t));
  const double knocks =
      knocks_per_year * life.age_s / year_s * (1 - life.cased_share) + knocks_per_played_hour * played_s / hour_s;
  const Body& body = context.body;
  const auto areas = body.areas_m2();
  const Film& film = context.film();
  auto marks = std::make_shared<std::vector<Mark>>(*film.marks);
  std::vector<Mark> chipped;  // whether rubbing has taken the film since or not
  const auto open = [&](SurfacePoint at) {
    const Triangle& t = body.triangles()[at.triangle];
    return reach.open[t[0]] > 0 && reach.open[t[1]] > 0 && reach.open[t[2]] > 0;
  };
  const auto mark = [&](MarkKind kind, std::vector<SurfacePoint> path, double width_m, double depth_m) {
    return Mark{kind,
                std::move(path),
                static_cast<float>(width_m),
                static_cast<float>(depth_m),
                context.planned.id,
                static_cast<float>(life.grime_kg_m2)};
  };
  if (knocks > 0) {
    const KnockField field = knock_field(body, context.key("knocks from"));
    const auto drawn = places_by_area(body, context.key("knocks"), [&](std::size_t v) {
      return knocks * static_cast<double>(field.per_m2[v]) * static_cast<double>(areas[v]);
    });
    for (const auto& [key, place] : drawn) {
      const SurfacePoint at = body.nearest(std::array{place}).front();
      if (!open(at)) continue;
      const Triangle& t = body.triangles()[at.triangle];
      const double pressure = mean_at(field.pressure_Pa, t), left_m = film_at_m(film, t, keep_below);
      const bool chips = film_at_m(context.before, t, keep_below) > 0 &&
                         uniform(key.with("chips")) < pressure / (pressure + chips_half_Pa);
      if (chips) {
        const double half_m = std::min(0.006, 0.5 * lognormal(key.with("size"), 2.5e-3, 0.5));
        const double kept_m = std::min(half_m, to_check_m(*film.marks, body, body.position(at)));
        if (!(kept_m > 1e-4)) continue;
        chipped.push_back(mark(MarkKind::chip, {at}, 2 * kept_m, left_m));
        if (left_m > 0) marks->push_back(chipped.back());
      } else {
        const double width_m = std::min(0.005, lognormal(key.with("size"), 1.6e-3, 0.5));
        marks->push_back(mark(MarkKind::ding, {at}, width_m,
                              std::min(0.2, 0.12 * lognormal(key.with("depth"), 1.0, 0.4)) * width_m));
      }
    }
  }
  // Scratches of what is hard, where it rubs.
  double hard = 0;
  for (std::size_t v = 0; v < body.size(); ++v)
    hard += static_cast<double>(contact.hard_Pa_m[v]) * static_cast<double>(areas[v]);
  hard = std::nearbyint(hard * 0x1p30) * 0x1p-30;  // so that vertex order does not reach the marks
  const double scratches = std::min(
      400.0, scratches_per_hour * time_against_s(life, Touch::buckle) / hour_s);  // more are no longer told apart
  if (hard > 0 && scratches > 0) {
    const auto drawn = places_by_area(body, context.key("scratches"), [&](std::size_t v) {
      return scratches * static_cast<double>(contact.hard_Pa_m[v]) * static_cast<double>(areas[v]) / hard;
    });
    for (const auto& [key, place] : drawn) {
      const SurfacePoint at = body.nearest(std::array{place}).front();
      if (open(at))
        marks->push_back(mark(MarkKind::scratch, arc(body, at, key),
                              std::min(5e-4, lognormal(key.with("width"), 1.2e-4, 0.5)),
                              lognormal(key.with("depth"), 5e-6, 0.6)));
    }
  }
  context.film().marks = std::move(marks);
  take_chips(context, chipped, reach, keep_below);
}

}  // namespace witnessline::bench
