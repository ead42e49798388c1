// Stand-ins for what is screwed to a finished instrument: plain solids of our own, so that a picture reads as one.
#pragma once

#include <array>
#include <span>
#include <string>
#include <vector>

#include "body/vec.h"

namespace witnessline {

/// What a stand-in is made of. Invented for the eye; no reading sees it.
struct FittingStuff {
  std::array<double, 3> body{};    ///< linear sRGB of what it scatters
  std::array<double, 3> mirror{};  ///< linear sRGB of what its face reflects head on
  double blur = 0.03;              ///< of its mirror image [rad]
};

struct FittingMesh {
  std::vector<Vec3> points, normals;  ///< in the body's frame [m]
  std::vector<Triangle> triangles;
  std::vector<std::uint8_t> stuff_of;  ///< a triangle
  std::vector<FittingStuff> stuffs;
};

/// Stand-ins for the parts a job lists, found by plain words in their names (neck, pickup, bridge, tailpiece, plate,
/// strap button, tuner) and placed by the body's own geometry: pockets, centreline, ends. Parts it has no place for are
/// left out; without a neck there are no strings.
FittingMesh stand_ins(const Body&, std::span<const std::string> part_names, int strings);

}  // namespace witnessline
