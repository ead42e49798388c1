// The dual of a sign grid: quads between grid cells that the surface of a Shape passes through.
#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "base/result.h"
#include "base/stop.h"
#include "body/shape.h"

namespace witnessline::body {

using Quad = std::array<std::uint32_t, 4>;

struct QuadMesh {
  std::vector<Vec3d> points;
  std::vector<Quad> quads;  ///< counter-clockwise seen from outside
};

/// Method: each grid cell gets one point for every sheet of surface that passes through it, each grid edge whose ends
/// lie on different sides one quad (dual marching cubes). Only cells near the surface are visited.
/// `origin` shifts the grid. Errors: the surface runs out of the shape's box, so its inside is open; broken off.
Result<QuadMesh> dual_grid(const Shape& shape, double step_m, Vec3d origin, const StopCheck& stop = {});

}  // namespace witnessline::body
