// Plain solids that stand-ins are made of.
#pragma once

#include <cmath>
#include <numbers>

#include "view/fittings.h"

namespace witnessline::view {

/// Where a solid stands.
struct Frame {
  Vec3d origin, x{1, 0, 0}, y{0, 1, 0}, z{0, 0, 1};
  Vec3d out(double a, double b, double c) const { return origin + a * x + b * y + c * z; }
};

/// Outlines raised and rods, put together into one mesh.
class SolidMaker {
 public:
  FittingMesh mesh;

  /// An outline (anticlockwise in x, y) raised from `low` to `high`, its upper edge rounded over `bevel`.
  void raise(const Frame& f, const std::vector<Vec2d>& outline, double low, double high, double bevel,
             std::uint8_t stuff) {
    mesh.feet.push_back({f.origin, f.x, f.y, f.z, outline, low, high});
    const std::size_t n = outline.size();
    Vec2d middle;
    for (const Vec2d p : outline) middle = middle + (1.0 / static_cast<double>(n)) * p;
    std::vector<Vec2d> outward(n);
    for (std::size_t i = 0; i < n; ++i) {
      const Vec2d way = outline[(i + 1) % n] - outline[(i + n - 1) % n];
      const double far = std::max(1e-12, length(way));
      outward[i] = {way.y / far, -way.x / far};
    }
    const auto ring = [&](double in, double z, double tilt) {
      const auto first = static_cast<std::uint32_t>(mesh.points.size());
      for (std::size_t i = 0; i < n; ++i) {
        const Vec2d p = outline[i] - in * outward[i];
        put(f.out(p.x, p.y, z),
            unit_of(std::cos(tilt) * (outward[i].x * f.x + outward[i].y * f.y) + std::sin(tilt) * f.z));
      }
      return first;
    };
    std::uint32_t below = ring(0, low, 0);
    constexpr int rounds = 4;
    for (int r = 0; r <= rounds; ++r) {
      const double tilt = r * std::numbers::pi / 2 / rounds;
      const std::uint32_t above = ring(bevel * (1 - std::cos(tilt)), high - bevel * (1 - std::sin(tilt)), tilt);
      for (std::uint32_t i = 0; i < n; ++i) {
        const std::uint32_t j = (i + 1) % static_cast<std::uint32_t>(n);
        face(below + i, below + j, above + j, stuff), face(below + i, above + j, above + i, stuff);
      }
      below = above;
    }
    const auto centre = static_cast<std::uint32_t>(mesh.points.size());
    put(f.out(middle.x, middle.y, high), f.z);
    for (std::uint32_t i = 0; i < n; ++i)
      face(below + i, below + (i + 1) % static_cast<std::uint32_t>(n), centre, stuff);
  }

  void rod(Vec3d from, Vec3d to, double radius_m, std::uint8_t stuff, int sides = 8) {
    const Vec3d along = unit_of(to - from), x = across(along), y = cross(along, x);
    const auto first = static_cast<std::uint32_t>(mesh.points.size());
    for (const Vec3d end : {from, to})
      for (int i = 0; i < sides; ++i) {
        const double turn = 2 * std::numbers::pi * i / sides;
        const Vec3d out = std::cos(turn) * x + std::sin(turn) * y;
        put(end + radius_m * out, out);
      }
    for (int i = 0; i < sides; ++i) {
      const auto a = first + static_cast<std::uint32_t>(i), b = first + static_cast<std::uint32_t>((i + 1) % sides),
                 up = static_cast<std::uint32_t>(sides);
      face(a, b, b + up, stuff), face(a, b + up, a + up, stuff);
    }
  }

 private:
  void put(Vec3d p, Vec3d n) {
    mesh.points.push_back(static_cast<Vec3>(p)), mesh.normals.push_back(static_cast<Vec3>(n));
  }
  void face(std::uint32_t a, std::uint32_t b, std::uint32_t c, std::uint8_t stuff) {
    mesh.triangles.push_back({a, b, c}), mesh.stuff_of.push_back(stuff);
  }
};

/// Outlines about the origin, anticlockwise, as raise() takes them [m].
std::vector<Vec2d> rounded_box(double half_x, double half_y, double radius_m);
std::vector<Vec2d> circle(double radius_m, int sides = 28);

}  // namespace witnessline::view
