// One closed, evenly spaced triangle surface on a Shape.
#pragma once

#include <string>
#include <vector>

#include "base/result.h"
#include "base/stop.h"
#include "body/shape.h"

namespace witnessline::body {

struct SurfaceMesh {
  std::vector<Vec3d> points;
  std::vector<Triangle> triangles;
};

/// Why triangles do not make one closed, consistently oriented 2-manifold; empty when they do.
std::string fault_of_surface(const std::vector<Triangle>& triangles, std::size_t points);

/// Joined pieces of the surface: the piece of each point, and how many there are.
std::vector<std::uint32_t> pieces_of(const std::vector<Triangle>& triangles, std::size_t points, std::size_t& count);

/// The surface of a shape at a pitch: a dual grid, drawn onto the surface and evened out along it. Errors: several
/// pieces, no inside, walls finer than the pitch; broken off.
Result<SurfaceMesh> surface_of(const Shape& shape, double pitch_m, std::vector<Note>& notes,
                               const StopCheck& stop = {});

}  // namespace witnessline::body
