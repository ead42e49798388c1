// A long lens in front of one face, far enough off that the whole body is in the picture.
#pragma once

#include "body/vec.h"
#include "view/pictures.h"

namespace witnessline::view {

class Camera {
 public:
  Camera(const Body&, Face, const StillSize&);

  Ray ray(double x_px, double y_px) const;
  double pixel_m() const { return pixel_m_; }    ///< size of a pixel at the middle of the body
  double size_m() const { return size_m_; }      ///< of the body: its longest side
  double lowest_m() const { return lowest_m_; }  ///< z of what lies farthest from the camera, from the middle
  Vec3d middle() const { return middle_; }

  Vec3d into_frame(Vec3d v) const { return {dot(v, right_), dot(v, up_), dot(v, towards_)}; }
  Vec3d from_frame(Vec3d v) const { return v.x * right_ + v.y * up_ + v.z * towards_; }

 private:
  Vec3d right_, up_, towards_, middle_, eye_, corner_, pixel_right_, pixel_down_;
  double distance_m_ = 1, pixel_m_ = 1, width_px_ = 1, height_px_ = 1, size_m_ = 1, lowest_m_ = 0;
};

}  // namespace witnessline::view
