// The rooms the pictures are taken in, in the camera's own frame (x right, y up, z towards the camera), measured in
// sizes of the body from its middle.
#pragma once

#include <array>
#include <vector>

#include "body/vec.h"
#include "colour/colour.h"
#include "view/pictures.h"

namespace witnessline::view {

/// A flat lamp or window that shines evenly from its front.
struct AreaLight {
  Vec3d centre, half_across, half_up;  ///< [body sizes]
  Lamp lamp{};
  double radiance = 0;  ///< over that of a white card in the middle of the room, facing the camera
  bool round = false;   ///< a disc in place of a rectangle
  bool paned = false;   ///< a window with bars
  Vec3d normal() const { return unit_of(cross(half_across, half_up)); }
  double extent() const;
  Vec3d place(double u, double v) const;  ///< u, v in [0, 1), evenly over its area
};

/// What lights a picture. All of it is invented, but for the spectra of the lamps, which are the CIE's.
struct Studio {
  std::vector<AreaLight> lights;
  Lamp air{};           ///< what the walls give back
  double sky = 0;       ///< radiance of the walls, mean over directions
  double floor = 1;     ///< what is below is darker by this
  double camera = 1;    ///< and so is the place where the camera stands
  double sky_lift = 0;  ///< how much brighter than the mean towards `bright_side`, as much darker away from it
  Vec3d bright_side{0, 1, 0};
  double card = 0;             ///< reflectance of the card behind
  Xyz adopted_white;           ///< what the camera takes for white
  double exposure = 1;         ///< linear values are multiplied by this
  double behind_m_frac = .06;  ///< how far the card stands behind the body, in body sizes

  /// The walls in a direction (not the lights).
  double walls(Vec3d direction) const;
  /// What the walls give a small card that faces `normal`, over pi.
  double walls_on(Vec3d normal) const;
  /// Share of a light that a mirror at `from` sees in `direction`, blurred over `blur` [rad, one standard deviation].
  static double seen_in_mirror(const AreaLight&, Vec3d from, Vec3d direction, double blur);
  /// Light falling on a small card at `from` with `normal`, unshadowed, over pi: 1 lights a white card to radiance 1.
  static double falling_on(const AreaLight&, Vec3d from, Vec3d normal);
};

/// The room of a light. A white card in the middle that faces the camera has radiance 1 / exposure.
Studio studio_of(Light, Observer);

/// An even white room without lights, for proving the pictures: everything in it that throws all light back reads 1.
Studio furnace(Observer);

/// Linear light to what is shown: straight up to 0.75, then a shoulder instead of a cut.
double shoulder(double linear);

}  // namespace witnessline::view
