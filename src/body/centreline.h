// Where the centreline of a body runs.
#pragma once

#include <array>
#include <vector>

#include "body/vec.h"

namespace witnessline::body {

/// x of the middle at most heights over the tail end's six tenths: horns and cutaways do not move it.
/// `lines` are the stretches of the outline, or all edges of a surface.
double centreline_x(const std::vector<std::array<Vec2d, 2>>& lines, double tail_y, double neck_y);

}  // namespace witnessline::body
