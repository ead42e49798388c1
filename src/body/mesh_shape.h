// A closed triangle surface as a Shape, and what can be read off it.
#pragma once

#include <memory>

#include "body/build.h"
#include "body/mesh_crossing.h"
#include "body/mesh_file.h"
#include "body/shape.h"
#include "body/triangle_tree.h"

namespace witnessline::body {

class MeshShape : public Shape {
 public:
  explicit MeshShape(const RawMesh& mesh);
  Sample at(Vec3d p) const override;
  Box3 bounds() const override { return box_; }
  /// Where the surface passes through itself; inside and outside mean nothing there.
  std::optional<Crossing> crossing(const StopCheck& stop) const {
    return crossing_of(points_, triangles_, *tree_, stop);
  }
  /// Unit normal of the smooth surface the facets stand for, at the place nearest to `p`.
  Vec3d smooth_normal(Vec3d p) const;

 private:
  void smooth_corners();

  std::vector<Vec3> points_;
  std::vector<Triangle> triangles_;
  std::vector<Vec3d> face_, corner_;
  std::vector<std::array<Vec3d, 3>> edge_;   ///< normals of the edges 01, 12, 20 of each triangle
  std::vector<std::array<Vec3, 3>> smooth_;  ///< normals at the corners of each triangle; creases stay sharp
  Box3 box_;
  std::unique_ptr<TriangleTree> tree_;
};

/// Cavities and contours on a finished surface that came without words: from which sides a place is shut in, and where
/// a level face falls away.
Dressing dressing_of_surface(const Body::Data& data);

}  // namespace witnessline::body
