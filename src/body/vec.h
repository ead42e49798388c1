// Points and directions in double precision, for working surfaces out.
#pragma once

#include <algorithm>
#include <cmath>

#include "body/body.h"

namespace witnessline::body {

struct Vec2d {
  double x = 0, y = 0;
};
inline Vec2d operator+(Vec2d a, Vec2d b) { return {a.x + b.x, a.y + b.y}; }
inline Vec2d operator-(Vec2d a, Vec2d b) { return {a.x - b.x, a.y - b.y}; }
inline Vec2d operator*(double s, Vec2d a) { return {s * a.x, s * a.y}; }
inline double dot(Vec2d a, Vec2d b) { return a.x * b.x + a.y * b.y; }
inline double cross(Vec2d a, Vec2d b) { return a.x * b.y - a.y * b.x; }
inline double length(Vec2d a) { return std::sqrt(dot(a, a)); }

struct Vec3d {
  double x = 0, y = 0, z = 0;
  Vec3d() = default;
  Vec3d(double x_, double y_, double z_) : x(x_), y(y_), z(z_) {}
  Vec3d(Vec3 v) : x(v.x), y(v.y), z(v.z) {}
  explicit operator Vec3() const { return {static_cast<float>(x), static_cast<float>(y), static_cast<float>(z)}; }
};
inline Vec3d operator+(Vec3d a, Vec3d b) { return {a.x + b.x, a.y + b.y, a.z + b.z}; }
inline Vec3d operator-(Vec3d a, Vec3d b) { return {a.x - b.x, a.y - b.y, a.z - b.z}; }
inline Vec3d operator*(double s, Vec3d a) { return {s * a.x, s * a.y, s * a.z}; }
inline Vec3d& operator+=(Vec3d& a, Vec3d b) { return a = a + b; }
inline double dot(Vec3d a, Vec3d b) { return a.x * b.x + a.y * b.y + a.z * b.z; }
inline Vec3d cross(Vec3d a, Vec3d b) { return {a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x}; }
inline double length(Vec3d a) { return std::sqrt(dot(a, a)); }
/// `a` at unit length, or `otherwise` where it has none.
inline Vec3d unit_of(Vec3d a, Vec3d otherwise = {0, 0, 1}) {
  const double n = length(a);
  return n > 1e-300 ? (1.0 / n) * a : otherwise;
}
/// Some unit vector at right angles to unit `n`.
inline Vec3d across(Vec3d n) {
  return unit_of(std::abs(n.z) < 0.9 ? cross(Vec3d{0, 0, 1}, n) : cross(Vec3d{1, 0, 0}, n));
}

struct Box3 {
  Vec3d low{1e300, 1e300, 1e300}, high{-1e300, -1e300, -1e300};
  void add(Vec3d p) {
    low = {std::min(low.x, p.x), std::min(low.y, p.y), std::min(low.z, p.z)};
    high = {std::max(high.x, p.x), std::max(high.y, p.y), std::max(high.z, p.z)};
  }
  Vec3d size() const { return high - low; }
};

}  // namespace witnessline::body
