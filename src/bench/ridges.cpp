#include "bench/ridges.h"

#include <algorithm>
#include <unordered_map>

namespace witnessline::bench {

namespace {

/// A triangle the tape edge runs through: the two sides it crosses, each as its pair of vertices.
struct Crossing {
  std::uint32_t triangle;
  std::uint64_t sides[2];
  SurfacePoint at;  ///< halfway between the middles of both sides
  bool used = false;
};

std::uint64_t side_key(std::uint32_t a, std::uint32_t b) {
  return (static_cast<std::uint64_t>(std::min(a, b)) << 32) | std::max(a, b);
}

}  // namespace

std::vector<Mark> tape_ridges(const Film& film, const Body& body, const std::vector<float>& laid_m,
                              const std::string& made_by) {
  std::vector<std::uint8_t> taped(film.size());
  bool any = false;
  for (std::size_t c = 0; c < film.masking.chunk_count(); ++c) {
    film.masking.read(c, &taped[c * field_chunk]);
    any |= !film.masking.is_uniform(c) || film.masking.uniform_value(c) != 0;
  }
  std::vector<Mark> ridges;
  if (!any) return ridges;
  const auto is_tape = [&](std::uint32_t v) { return taped[v] == static_cast<std::uint8_t>(Masking::masked); };

  constexpr float thinnest_m = 0.5e-6f;  // less than this nobody feels (ESTIMATE)
  std::vector<Crossing> crossings;
  std::unordered_map<std::uint64_t, std::vector<std::size_t>> by_side;
  for (std::size_t t = 0; t < body.triangles().size(); ++t) {
    const Triangle& tri = body.triangles()[t];
    const int count = is_tape(tri[0]) + is_tape(tri[1]) + is_tape(tri[2]);
    if (count == 0 || count == 3) continue;
    if (!std::any_of(tri.begin(), tri.end(), [&](std::uint32_t v) { return laid_m[v] > thinnest_m; })) continue;
    // The corner alone on its side of the tape edge: both crossed sides meet there, so it weighs double.
    int lone = 0;
    while ((is_tape(tri[lone]) ? 1 : 2) != count) ++lone;
    float bary[3] = {0.25f, 0.25f, 0.25f};
    bary[lone] = 0.5f;
    Crossing crossing{static_cast<std::uint32_t>(t),
                      {side_key(tri[lone], tri[(lone + 1) % 3]), side_key(tri[lone], tri[(lone + 2) % 3])},
                      {static_cast<std::uint32_t>(t), bary[1], bary[2]}};
    for (const std::uint64_t side : crossing.sides) by_side[side].push_back(crossings.size());
    crossings.push_back(crossing);
  }
  const auto next = [&](std::size_t from) -> std::size_t {
    for (const std::uint64_t side : crossings[from].sides)
      for (const std::size_t other : by_side[side])
        if (!crossings[other].used) return other;
    return crossings.size();
  };
  for (std::size_t start = 0; start < crossings.size(); ++start) {
    if (crossings[start].used) continue;
    std::vector<SurfacePoint> path[2];
    crossings[start].used = true;
    double height_m = 0;
    std::size_t beside = 0;
    const auto walk = [&](std::vector<SurfacePoint>& way) {
      for (std::size_t at = next(start); at < crossings.size(); at = next(at)) {
        crossings[at].used = true;
        way.push_back(crossings[at].at);
      }
    };
    walk(path[0]);
    walk(path[1]);
    Mark ridge{MarkKind::tape_ridge, {path[1].rbegin(), path[1].rend()}, 0.3e-3f, 0.0f, made_by};  // width ESTIMATE
    ridge.path.push_back(crossings[start].at);
    ridge.path.insert(ridge.path.end(), path[0].begin(), path[0].end());
    for (const SurfacePoint& point : ridge.path)
      for (const std::uint32_t v : body.triangles()[point.triangle])
        if (laid_m[v] > 0) height_m += static_cast<double>(laid_m[v]), ++beside;
    ridge.depth_m = static_cast<float>(height_m / static_cast<double>(std::max<std::size_t>(1, beside)));
    ridges.push_back(std::move(ridge));
  }
  return ridges;
}

}  // namespace witnessline::bench
