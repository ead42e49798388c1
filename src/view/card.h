// The card behind the instrument, with its soft shadow.
#pragma once

#include "base/random.h"
#include "body/ray_scene.h"
#include "view/camera.h"
#include "view/still.h"

namespace witnessline::view {

/// The card's light, worked out on a coarse net over the picture and smooth between: shadows of wide lights are.
/// `white_of`: linear colour of a white card under each of the room's lights, and under its air, last.
void lay_on_card(Canvas&, const Camera&, const Studio&, const std::vector<LinearRgb>& white_of, const RayScene&,
                 const RaysSeen&);

/// Evenly spread points (the R2 sequence: Roberts 2018).
struct Spread {
  double u = 0, v = 0;
};
inline double fraction(double x) { return x - static_cast<double>(static_cast<std::int64_t>(x)); }
inline Spread spread(int index, Spread shift = {}) {
  return {fraction(0.7548776662466927 * index + shift.u), fraction(0.5698402909980532 * index + shift.v)};
}
/// The shift of a pixel: no two neighbours are sampled alike, so that what sampling leaves is grain and not pattern.
inline Spread shift_of(std::uint64_t pixel, int what) {
  const std::uint64_t key = mixed((pixel << 4) + static_cast<std::uint64_t>(what));
  return {static_cast<double>(key & 0xffffff) / 16777216.0, static_cast<double>((key >> 24) & 0xffffff) / 16777216.0};
}

/// A direction about the z axis, as often as its cosine.
Vec3d about_z(Spread at);

}  // namespace witnessline::view
