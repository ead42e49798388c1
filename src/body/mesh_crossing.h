// Where a triangle surface passes through itself.
#pragma once

#include <optional>
#include <span>

#include "base/stop.h"
#include "body/triangle_tree.h"

namespace witnessline::body {

struct Crossing {
  SurfacePoint first;         ///< on the triangle of the lowest number that another one pierces
  std::size_t triangles = 0;  ///< that are pierced
};

/// Triangles pierced by an edge of another one, by more than a micrometre on either side: touching and folded triangles
/// do not count. `tree` holds these points and triangles. Where `stop` breaks it off, what was found so far.
std::optional<Crossing> crossing_of(std::span<const Vec3> points, std::span<const Triangle> triangles,
                                    const TriangleTree& tree, const StopCheck& stop = {});

}  // namespace witnessline::body
