#include "body/surface_distance.h"

#include <numeric>
#include <queue>

#include "body/vec.h"

namespace witnessline::body {
namespace {

/// Distance at c when a front has passed a and b at the given distances, going straight through the triangle.
double through(Vec3d c, Vec3d a, Vec3d b, double at_a, double at_b) {
  const Vec3d ab = b - a, ac = c - a;
  const double base = length(ab), rise = at_b - at_a;
  const double by_edges = std::min(at_a + length(ac), at_b + length(c - b));
  if (base < 1e-12 || std::abs(rise) >= base) return by_edges;
  // The front's source lies in the triangle's plane on the far side of ab; its slope along ab is rise / base.
  const double x = dot(ac, ab) / base, y = std::sqrt(std::max(0.0, dot(ac, ac) - x * x));
  const double cosine = rise / base, sine = std::sqrt(1 - cosine * cosine);
  const double crossing = x - y * cosine / sine;  // where the straight way to c crosses ab
  if (crossing < 0 || crossing > base) return by_edges;
  return std::min(by_edges, at_a + x * cosine + y * sine);
}

}  // namespace

// Method: fronts march vertex by vertex from the line, each vertex taking the shortest way through a triangle whose
// other two corners are settled (fast marching on triangles).
// Source: kimmel1998.
// Departs: the line itself is taken half an edge from the vertices on either side of it.
std::vector<float> distance_over_surface(const Body& body, const std::vector<std::uint8_t>& inside, double reach_m) {
  const auto positions = body.positions();
  const std::size_t n = positions.size();
  std::vector<std::uint32_t> first(n + 1, 0), around(3 * body.triangles().size());
  for (const Triangle& t : body.triangles())
    for (const std::uint32_t v : t) ++first[v + 1];
  std::partial_sum(first.begin(), first.end(), first.begin());
  std::vector<std::uint32_t> at(first.begin(), first.end() - 1);
  for (std::uint32_t k = 0; k < body.triangles().size(); ++k)
    for (const std::uint32_t v : body.triangles()[k]) around[at[v]++] = k;

  std::vector<float> distance(n, static_cast<float>(reach_m));
  using Entry = std::pair<float, std::uint32_t>;
  std::priority_queue<Entry, std::vector<Entry>, std::greater<>> front;
  const auto offer = [&](std::uint32_t v, double d) {
    if (d < distance[v]) distance[v] = static_cast<float>(d), front.emplace(distance[v], v);
  };
  for (const Triangle& t : body.triangles())
    for (int k = 0; k < 3; ++k) {
      const std::uint32_t a = t[k], b = t[(k + 1) % 3];
      if (inside[a] == inside[b]) continue;
      const double half = 0.5 * length(Vec3d(positions[a]) - positions[b]);
      offer(a, half), offer(b, half);
    }
  std::vector<std::uint8_t> settled(n, 0);
  while (!front.empty()) {
    const auto [d, v] = front.top();
    front.pop();
    if (settled[v]) continue;
    settled[v] = 1;
    for (std::uint32_t k = first[v]; k < first[v + 1]; ++k) {
      const Triangle& t = body.triangles()[around[k]];
      for (int c = 0; c < 3; ++c) {
        const std::uint32_t to = t[c];
        if (to == v || settled[to] || inside[to] != inside[v]) continue;
        const std::uint32_t other = t[(c + 1) % 3] == v ? t[(c + 2) % 3] : t[(c + 1) % 3];
        const double way = settled[other] && inside[other] == inside[v]
                               ? through(positions[to], positions[v], positions[other], d, distance[other])
                               : d + length(Vec3d(positions[to]) - positions[v]);
        offer(to, way);
      }
    }
  }
  for (std::size_t i = 0; i < n; ++i)
    if (inside[i]) distance[i] = -distance[i];
  return distance;
}

}  // namespace witnessline::body
