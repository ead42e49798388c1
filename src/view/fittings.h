// Stand-ins for what is screwed to a finished instrument: plain solids of our own, so that a picture reads as one.
#pragma once

#include <array>
#include <span>
#include <string>
#include <vector>

#include "body/vec.h"
#include "body/where.h"
#include "materials/life.h"

namespace witnessline::view {

/// What a stand-in is made of. Invented for the eye; no reading sees it.
struct FittingStuff {
  std::array<double, 3> body{};    ///< linear sRGB of what it scatters
  std::array<double, 3> mirror{};  ///< linear sRGB of what its face reflects head on
  double blur = 0.03;              ///< of its mirror image [rad]
};

/// Where a stand-in stands: an outline across a frame, from `low` to `high` along its z.
struct Foot {
  Vec3d origin, x, y, z;
  std::vector<Vec2d> outline;
  double low_m = 0, high_m = 0;
};

struct FittingMesh {
  std::vector<Vec3> points, normals;  ///< in the body's frame [m]
  std::vector<Triangle> triangles;
  std::vector<std::uint8_t> stuff_of;  ///< a triangle
  std::vector<FittingStuff> stuffs;
  std::vector<Foot> feet;
};

/// A part as a job lists it, and what lies under it when it is on.
struct ListedPart {
  std::string name;
  std::vector<Patch> covers;
};

/// Stand-ins for the parts a job lists. What covers something on the front or back is a sheet of that outline
/// (pickguard, cover). The others are found by plain words in their names (neck, pickup, bridge, tailpiece, plate,
/// sound hole) and placed by the body's own geometry: pockets, centreline, ends. Parts it has no place for are left
/// out; without a neck there are no strings.
FittingMesh default_fittings(const Body&, std::span<const ListedPart>, int strings);
/// Whether a part has a place: covers something, or is of those that the body's own geometry places.
bool has_place(const ListedPart&);

/// As far as a part keeps a finger away (ESTIMATE).
inline constexpr double beside_part_m = 4e-3;
/// What the stand-ins keep from each vertex: what is drawn is what shelters. Law: under: the surface lies inside a
/// foot's outline and within its height or closely before it, or in a pocket below it; beside: within beside_part_m of
/// that.
std::vector<Shelter> sheltered(const FittingMesh&, const Body&);

}  // namespace witnessline::view
