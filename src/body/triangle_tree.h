// Rays on triangles through Embree; nearest points through nested boxes of our own, in double precision.
#pragma once

#include <functional>
#include <memory>
#include <span>
#include <vector>

#include "body/vec.h"

namespace witnessline::body {

/// A point of a triangle nearest to a place.
struct NearestPoint {
  SurfacePoint at;
  Vec3d place;
  double distance_m = 0;
};

/// Corners by barycentric coordinates of the second and third.
NearestPoint nearest_on(Vec3d p, Vec3d a, Vec3d b, Vec3d c);

class TriangleTree {
 public:
  /// Every coordinate must be finite: Embree ends the process on a NaN.
  TriangleTree(std::span<const Vec3> points, std::span<const Triangle> triangles);
  ~TriangleTree();
  TriangleTree(const TriangleTree&) = delete;
  TriangleTree& operator=(const TriangleTree&) = delete;

  Hit cast(const Ray&) const;
  /// First hits, on the thread that asks; every ray must be finite. Neighbours in the batch should look alike.
  void cast(std::span<const Ray>, std::span<Hit>) const;
  NearestPoint nearest(Vec3d p) const;
  /// Every triangle whose box meets the box from `low` to `high`, in no order that matters.
  void each_in(Vec3d low, Vec3d high, const std::function<void(std::uint32_t triangle)>& visit) const;

 private:
  friend class RayScene;
  struct Scene;
  std::unique_ptr<Scene> scene_;
};

}  // namespace witnessline::body
