// Walking over the triangles of a body: straight ahead, over the edges between them.
#pragma once

#include <vector>

#include "body/vec.h"

namespace witnessline::bench {

/// A walker on the surface: where it stands and which way it looks.
struct Walker {
  SurfacePoint at;
  Vec3d place, ahead;  ///< `ahead` is a unit vector in the triangle's plane
};

/// Which triangle lies beyond an edge of another. Closed surfaces only.
class SurfaceWalk {
 public:
  explicit SurfaceWalk(const Body&);
  /// The walker at a point, looking along `ahead` as far as that lies in the triangle.
  Walker stand(SurfacePoint, Vec3d ahead) const;
  /// Goes `distance_m` straight on: over an edge the way is unfolded, so it is the straightest there is on the
  /// triangles. False: it got stuck (slivers), standing where it got to.
  bool go(Walker&, double distance_m) const;
  Vec3d normal(std::uint32_t triangle) const;

 private:
  std::uint32_t beyond(std::uint32_t triangle, std::uint32_t a, std::uint32_t b) const;
  const Body& body_;
  std::vector<std::uint32_t> first_, around_;  ///< triangles around each vertex
};

}  // namespace witnessline::bench
