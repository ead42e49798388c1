#include "body/mesh_crossing.h"

#include <array>

#include "base/parallel.h"

namespace witnessline::body {
namespace {

constexpr double through_m = 1e-6;  // ESTIMATE: half of what repair() welds, over the rounding of single precision
constexpr double rim = 1e-9;        // an edge that meets another edge pierces one of the two triangles beside it

using Corners = std::array<Vec3d, 3>;

/// Where the edge from `p` to `q` pierces the triangle.
std::optional<SurfacePoint> pierced(const Corners& t, Vec3d p, Vec3d q) {
  const Vec3d u = t[1] - t[0], v = t[2] - t[0], normal = cross(u, v);
  const double twice_area = length(normal);
  if (twice_area < through_m * std::max(length(u), length(v))) return std::nullopt;  // a splinter has no plane
  const double above = dot(p - t[0], normal) / twice_area, below = dot(q - t[0], normal) / twice_area;
  if (!(std::min(above, below) < -through_m && std::max(above, below) > through_m)) return std::nullopt;
  const Vec3d at = p + (above / (above - below)) * (q - p) - t[0];
  const double b = dot(cross(at, v), normal) / (twice_area * twice_area);
  const double c = dot(cross(u, at), normal) / (twice_area * twice_area);
  if (b < -rim || c < -rim || b + c > 1 + rim) return std::nullopt;
  return SurfacePoint{0, static_cast<float>(b), static_cast<float>(c)};
}

}  // namespace

std::optional<Crossing> crossing_of(std::span<const Vec3> points, std::span<const Triangle> triangles,
                                    const TriangleTree& tree, const StopCheck& stop) {
  const auto corners = [&](std::uint32_t i) {
    const Triangle& t = triangles[i];
    return Corners{points[t[0]], points[t[1]], points[t[2]]};
  };
  const auto part = [&](std::size_t begin, std::size_t end) {
    std::optional<Crossing> found;
    for (std::size_t i = begin; i < end && !stopped(stop); ++i) {
      const Corners mine = corners(static_cast<std::uint32_t>(i));
      Box3 box;
      for (const Vec3d p : mine) box.add(p);
      std::optional<SurfacePoint> at;
      tree.each_in(box.low, box.high, [&](std::uint32_t j) {
        if (at || j == i) return;
        const Corners other = corners(j);
        for (int k = 0; k < 3 && !at; ++k) at = pierced(mine, other[k], other[(k + 1) % 3]);
      });
      if (!at) continue;
      at->triangle = static_cast<std::uint32_t>(i);
      if (!found) found = Crossing{*at, 0};
      ++found->triangles;
    }
    return found;
  };
  return reduce_chunks(triangles.size(), 256, std::optional<Crossing>{}, part,
                       [](std::optional<Crossing> before, const std::optional<Crossing>& next) {
                         if (!before) return next;
                         if (next) before->triangles += next->triangles;
                         return before;
                       });
}

}  // namespace witnessline::body
