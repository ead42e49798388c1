// Traced paths of an SVG file, as closed loops of cubic Bezier curves in metres.
#pragma once

#include <array>
#include <string>
#include <vector>

#include "base/result.h"
#include "body/vec.h"

namespace witnessline::body {

using Cubic = std::array<Vec2d, 4>;
using Loop = std::vector<Cubic>;

struct TracedPath {
  std::string id;
  Loop loop;  ///< closed; x to the right, y up as drawn [m]
  int line = 0;
};

struct Tracing {
  TracedPath outline;
  std::vector<TracedPath> others;
  std::vector<Note> notes;
};

/// Paths of an SVG 1.1 file (W3C Recommendation 2011, chapter 8), groups' transforms applied. The outline is the path
/// with id "outline", or the only one. Errors: not XML, no unit of length, no outline, an open or crossing outline.
Result<Tracing> read_tracing(const std::string& bytes, const std::string& file_name);

/// Area inside a loop [m2]; positive when it runs counter-clockwise.
double signed_area_m2(const Loop&);
Loop reversed(const Loop&);
Loop circle_loop(Vec2d centre, double radius_m);
Vec2d point_on(const Cubic&, double t);

}  // namespace witnessline::body
