#include "view/camera.h"

namespace witnessline::view {
namespace {

constexpr double margin = 0.07;       // of the picture, on every side
constexpr double distance_sizes = 4;  // how far the camera stands, in lengths of the body: a long lens

}  // namespace

Camera::Camera(const Body& body, Face face, const StillSize& size) : width_px_(size.width), height_px_(size.height) {
  towards_ = face == Face::front  ? Vec3d{0, 0, 1}
             : face == Face::back ? Vec3d{0, 0, -1}
             : face == Face::side ? Vec3d{1, 0, 0}
                                  : unit_of({0.40, -0.13, 0.91});
  right_ = unit_of(cross(Vec3d{0, 1, 0}, towards_));
  up_ = cross(towards_, right_);
  Box3 box;
  for (const Vec3& p : body.positions()) box.add(into_frame(p));
  const Vec3d extent = box.size();
  // A long body in a wide picture lies on its side, neck to the right.
  if ((extent.y > extent.x) != (height_px_ > width_px_)) {
    const Vec3d old_right = right_;
    right_ = up_;
    up_ = -1.0 * old_right;
    box = {};
    for (const Vec3& p : body.positions()) box.add(into_frame(p));
  }
  middle_ = from_frame(0.5 * (box.low + box.high));
  distance_m_ = distance_sizes * std::max({extent.x, extent.y, extent.z});
  eye_ = middle_ + distance_m_ * towards_;
  size_m_ = std::max({extent.x, extent.y, extent.z});
  lowest_m_ = box.low.z - into_frame(middle_).z;
  double widest = 0, tallest = 0;
  for (const Vec3& p : body.positions()) {
    const Vec3d at = into_frame(Vec3d(p) - middle_);
    const double scale = distance_m_ / (distance_m_ - at.z);
    widest = std::max(widest, std::abs(at.x) * scale);
    tallest = std::max(tallest, std::abs(at.y) * scale);
  }
  pixel_m_ = std::max(2 * widest / (width_px_ * (1 - 2 * margin)), 2 * tallest / (height_px_ * (1 - 2 * margin)));
  pixel_right_ = pixel_m_ * right_;
  pixel_down_ = -pixel_m_ * up_;
  corner_ = -distance_m_ * towards_ - 0.5 * width_px_ * pixel_right_ - 0.5 * height_px_ * pixel_down_;
}

Ray Camera::ray(double x_px, double y_px) const {
  const Vec3d through = corner_ + x_px * pixel_right_ + y_px * pixel_down_;
  return {static_cast<Vec3>(eye_), static_cast<Vec3>((1 / length(through)) * through)};
}

}  // namespace witnessline::view
