// The room the pictures are taken in, in the camera's own frame (x right, y up, z towards the camera).
#pragma once

#include <array>

#include "body/vec.h"

namespace witnessline {

/// What the light meets at one place.
struct Glint {
  Vec3d normal, to_camera;
  double roughness_m = 0;  ///< rms height of the air face [m]
  double wetted = 1;       ///< share of the place that has an air face of its own
  double window_seen = 1;  ///< share of the window that nothing stands in front of
  double open_around = 1;  ///< share of the room that nothing stands in front of
};

/// Light on the surface from window and room, over what falls on a perfectly lit card [1].
double illumination(const Glint&);

/// Brightness of the air face's mirror image of the room, over a white card's [1].
/// Law: (1 - s) F(theta) L(mirror direction), s by bennett1961 at 550 nm, F Fresnel's for n = 1.5.
/// Source: bennett1961 eq. 5, born1999 1.5.2; the room is our own invention (picture only).
double mirror_image(const Glint&);

/// A direction into the window, for places u, v in [0, 1) across it.
Vec3d window_direction(double u, double v);

/// The card behind the instrument, `across`, `up` in [0, 1] of the picture.
double backdrop(double across, double up);

/// Linear light to what is shown: straight up to 0.75, then a shoulder instead of a cut.
double shoulder(double linear);

}  // namespace witnessline
