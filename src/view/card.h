// The card behind the instrument, with its soft shadow.
#pragma once

#include "body/ray_scene.h"
#include "view/camera.h"
#include "view/still.h"

namespace witnessline {

/// The card's light, worked out on a coarse net over the picture and smooth between: shadows of wide lights are.
/// `white_of`: linear colour of a white card under each of the room's lights, and under its air, last.
void lay_on_card(Canvas&, const Camera&, const Room&, const std::vector<LinearRgb>& white_of, const RayScene&,
                 const RaysSeen&);

/// Evenly spread points (the R2 sequence: Roberts 2018), shifted by a key.
struct Spread {
  double u, v;
};
inline Spread spread(int index, std::uint64_t key) {
  const double u = 0.7548776662466927 * index + static_cast<double>(key & 0xffffff) / 16777216.0,
               v = 0.5698402909980532 * index + static_cast<double>((key >> 24) & 0xffffff) / 16777216.0;
  return {u - static_cast<double>(static_cast<std::int64_t>(u)), v - static_cast<double>(static_cast<std::int64_t>(v))};
}

/// A direction about `normal`, as often as its cosine.
Vec3d around(Vec3d normal, Spread at);

}  // namespace witnessline
