// Body: one closed, evenly spaced surface with what the geometry itself says about it.
#pragma once

#include <array>
#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "base/describe.h"

namespace witnessline::body {

struct Vec3 {
  float x = 0, y = 0, z = 0;
  friend bool operator==(const Vec3&, const Vec3&) = default;
};
template <class V>
void describe(V& v, Vec3& p) {
  v(member("x_m", "across, treble side positive", unit::m), p.x);
  v(member("y_m", "along, from the tail end towards the neck", unit::m), p.y);
  v(member("z_m", "out of the front", unit::m), p.z);
}
using Triangle = std::array<std::uint32_t, 3>;

// Body frame [m]: the instrument upright, seen from the front. +x treble side, +y towards the neck, +z out of the
// front. Origin: centreline, tail end, middle of the sides' height. Left-handed instruments mirror in x at the reader.

/// A named part of the surface, found from the geometry; a vertex may lie in several.
enum class Region : std::uint8_t {
  front,
  back,
  sides,
  edge,  // by normal and curvature: every vertex is in exactly one of these four
  bass,
  treble,  // side of the centreline
  upper_bout,
  waist,
  lower_bout,  // by the outline's widths
  points,      // horn tips, corners
  contour,
  cavity,
  binding,  // shaped-away places, routed pockets and holes, the binding strip
  rim,      // rounded rims of pockets and holes; the edge is the outer one
};
constexpr auto words(const Region*) {
  return std::array{"front", "back",       "sides",  "edge",    "bass",   "treble",  "upper_bout",
                    "waist", "lower_bout", "points", "contour", "cavity", "binding", "rim"};
}
inline constexpr int region_count = 14;

/// A place on the surface: triangle and barycentric coordinates of its second and third corner.
struct SurfacePoint {
  std::uint32_t triangle = 0;
  float u = 0, v = 0;
};

struct Ray {
  Vec3 origin, direction;
};
struct Hit {
  float distance = -1.0f;
  SurfacePoint at;
  bool missed() const { return distance < 0; }
};

/// What a survey of the bare object found that belongs to the wood and not to any coat.
enum class Fact { dent, fill, open_pores, recut_contour, loose_patch };
constexpr auto words(const Fact*) { return std::array{"dent", "fill", "open_pores", "recut_contour", "loose_patch"}; }
struct SurveyFact {
  Fact fact{};
  Vec3 centre;  ///< nearest surface point is taken [m]
  double radius_m = 0;
  double depth_m = 0;  ///< dent or fill depth; 0 where it has none
  std::string remark;
};

class TriangleTree;

/// An immutable closed mesh with its readings. Cheap to copy (shares its buffers).
class Body {
 public:
  std::span<const Vec3> positions() const;  ///< [m]
  std::span<const Triangle> triangles() const;
  std::span<const Vec3> normals() const;         ///< unit, outward
  std::span<const float> areas_m2() const;       ///< vertex share of the surface; sums to the surface area
  std::span<const float> curvature_min() const;  ///< principal curvatures [1/m], convex positive, min <= max
  std::span<const float> curvature_max() const;
  std::span<const Vec3> grain() const;            ///< unit, tangent: direction of the fibres in the surface
  std::span<const std::uint8_t> wood_of() const;  ///< index into woods()
  const std::vector<std::string>& woods() const;  ///< material ids: top, back, neck wood, binding...
  const std::vector<SurveyFact>& survey() const;

  std::size_t size() const { return positions().size(); }
  double area_m2() const;
  double volume_m3() const;
  double pitch_m() const;

  bool in(std::size_t vertex, Region) const;
  bool has(Region) const;  ///< false: the region is absent on this body
  std::span<const std::uint16_t> region_bits() const;

  /// First hits along rays [m]; origins and directions must be finite (a NaN is refused as a broken promise).
  std::vector<Hit> cast(std::span<const Ray>) const;
  /// Nearest surface point to each place.
  std::vector<SurfacePoint> nearest(std::span<const Vec3>) const;
  Vec3 position(SurfacePoint) const;
  const TriangleTree& tree() const;  ///< grown when first asked for

  /// Hash of geometry, regions and survey: equal bodies share caches.
  std::uint64_t hash() const;

  struct Data;
  explicit Body(std::shared_ptr<const Data> data);

 private:
  std::shared_ptr<const Data> data_;
};

}  // namespace witnessline::body
