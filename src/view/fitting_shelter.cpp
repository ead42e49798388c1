// What stand-ins keep from the surface, and the outlines they are raised from.
#include <algorithm>
#include <cmath>

#include "base/parallel.h"
#include "view/fitting_solids.h"

namespace witnessline::view {

std::vector<Vec2d> rounded_box(double half_x, double half_y, double radius_m) {
  std::vector<Vec2d> out;
  const auto corner = [&](double x, double y, double start) {
    for (int i = 0; i <= 5; ++i) {
      const double turn = start + i * std::numbers::pi / 10;
      out.push_back({x + radius_m * std::cos(turn), y + radius_m * std::sin(turn)});
    }
  };
  corner(half_x - radius_m, half_y - radius_m, 0), corner(-half_x + radius_m, half_y - radius_m, std::numbers::pi / 2);
  corner(-half_x + radius_m, -half_y + radius_m, std::numbers::pi),
      corner(half_x - radius_m, -half_y + radius_m, 1.5 * std::numbers::pi);
  return out;
}
std::vector<Vec2d> circle(double radius_m, int sides) {
  std::vector<Vec2d> out;
  for (int i = 0; i < sides; ++i) {
    const double turn = 2 * std::numbers::pi * i / sides;
    out.push_back({radius_m * std::cos(turn), radius_m * std::sin(turn)});
  }
  return out;
}

std::vector<Shelter> sheltered(const FittingMesh& fittings, const Body& body) {
  constexpr double gap_m = 1.5e-3;                        // ESTIMATE
  const auto outside_m = [](const Foot& foot, Vec2d p) {  // 0 inside
    bool inside = false;
    double nearest_m = 1e300;
    for (std::size_t i = 0, n = foot.outline.size(); i < n; ++i) {
      const Vec2d a = foot.outline[i], b = foot.outline[(i + 1) % n], ab = b - a;
      if ((a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) / ab.y * ab.x) inside = !inside;
      const double t = std::clamp(dot(p - a, ab) / std::max(1e-18, dot(ab, ab)), 0.0, 1.0);
      nearest_m = std::min(nearest_m, length(p - a - t * ab));
    }
    return inside ? 0.0 : nearest_m;
  };
  std::vector<Shelter> all(body.size(), Shelter::open);
  const auto places = body.positions(), normals = body.normals();
  for (const Foot& foot : fittings.feet) {
    double reach_m = 0;
    for (const Vec2d p : foot.outline) reach_m = std::max(reach_m, length(p));
    for_chunks(body.size(), 4096, [&](std::size_t begin, std::size_t end) {
      for (std::size_t v = begin; v < end; ++v) {
        if (all[v] == Shelter::under || dot(Vec3d(normals[v]), foot.z) < -0.1) continue;
        const Vec3d d = Vec3d(places[v]) - foot.origin;
        const double c = dot(d, foot.z);
        if (c > foot.high_m || (c < foot.low_m - gap_m && !body.in(v, Region::cavity))) continue;
        const Vec2d p{dot(d, foot.x), dot(d, foot.y)};
        if (length(p) > reach_m + beside_part_m) continue;
        const double away_m = outside_m(foot, p);
        if (away_m <= beside_part_m) all[v] = away_m > 0 ? Shelter::beside : Shelter::under;
      }
    });
  }
  return all;
}

}  // namespace witnessline::view
