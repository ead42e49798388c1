// Lines counted by straight test lines laid over them.
#pragma once

#include <vector>

#include "history/fine_lines.h"

namespace witnessline::history {

/// How often straight lines cross the paths: lines in one direction, `apart_px` from each other, over a box.
struct Crossings {
  double count = 0, test_px = 0;  ///< crossings; length of all test lines
  std::vector<double> gaps_px;    ///< from one crossing to the next on the same test line
};
/// Law: crossings a length of test line = length of line an area x |sin| of the angle between; over all directions 2/pi
/// of it (Crofton). Source: santalo1976.
Crossings cross(const std::vector<const FineLine*>&, Vec2d direction, double apart_px, Vec2d low, Vec2d high);

}  // namespace witnessline::history
