// Named regions, found from the finished surface.
#pragma once

#include <span>
#include <vector>

#include "body/body_data.h"

namespace witnessline::body {

constexpr std::uint16_t bit_of(Region region) { return static_cast<std::uint16_t>(1u << static_cast<int>(region)); }

/// What is already known of each vertex when regions are named: bits of contour, cavity and binding, and whether a
/// cavity opens in the back.
struct KnownRegions {
  std::vector<std::uint16_t> bits;
  std::vector<std::uint8_t> cavity_in_back;
};

/// Fills region_bits from positions, normals, curvature and `known`. The edge is the outer one: convex places tighter
/// than `edge_radius_m`, but for the rims of pockets, which have a word of their own and belong to the face they are
/// cut into.
void name_regions(Body::Data& data, const KnownRegions& known, double edge_radius_m);

/// Width profile of a body: lengthwise strips of `step_m` from the tail end.
struct Widths {
  double step_m = 0.004;
  std::vector<double> low, high;  ///< x of the outermost points; low > high: nothing there
  double at(std::size_t i) const { return high[i] > low[i] ? high[i] - low[i] : 0; }
};
Widths widths_of(std::span<const Vec3> positions);

/// Ends of the waist along y [m]; absent where the outline has none.
struct Waist {
  bool present = false;
  double from_m = 0, to_m = 0;
};
Waist waist_of(const Widths&);

}  // namespace witnessline::body
