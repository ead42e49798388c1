// Drawings at true size: the outline of a body and lines on its surface, straight down onto one face, in millimetres;
// and the map of what finish there shows.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "view/readings.h"

namespace witnessline::view {

/// Seen square on from the front, or from the back with x mirrored.
enum class Seen { from_front, from_back };

struct FlatPoint {
  double x_mm = 0, y_mm = 0;  ///< across, along
};
/// One kind of line of a drawing: dashes [mm] tell kinds apart without colour; none: solid.
struct LineKind {
  std::string label;
  double width_mm = 0.35;
  std::string dashes;
  std::vector<std::vector<FlatPoint>> lines;
};
struct TrueSize {
  std::string name;  ///< for a file: "outline"
  std::string title;
  Seen seen = Seen::from_front;
  double left_mm = 0, bottom_mm = 0, right_mm = 0, top_mm = 0;
  std::vector<LineKind> kinds;
};

/// The outline of the body and the rims of its pockets as seen: the edges where its surface turns away.
TrueSize outline_of(const Body&, Seen);

/// Where a value at the vertices crosses `level`, on the part of the surface that is seen. Law: linear inside a
/// triangle.
std::vector<std::vector<FlatPoint>> level_lines(const Body&, std::span<const float> at_vertex, float level, Seen);

/// Marks of one kind made by a step, as seen.
std::vector<std::vector<FlatPoint>> mark_lines(const Film&, const Body&, MarkKind, const std::string& made_by, Seen);

/// Front and back side by side: original finish outermost, original finish under other coats, none; three greys (SVG).
std::string original_map_svg(const Film&, const Body&);

}  // namespace witnessline::view
