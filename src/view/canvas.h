// The picture while it is made: light by pixel, how much of each is the instrument, and how far off it is.
#pragma once

#include "view/camera.h"

namespace witnessline {

class Canvas {
 public:
  explicit Canvas(const StillSize&);

  /// One sample; different threads may add to different pixels.
  void add(std::size_t pixel, const std::array<float, 3>& linear, float distance_m);
  /// Fills what is left with the card behind and the instrument's soft shadow on it.
  void lay_on_backdrop();
  /// Checks, scratches, chips, dings and tape ridges as fine lines where they can be seen.
  void draw_marks(const Film&, const Body&, const Camera&);
  Image image() const;

 private:
  struct Pixel {
    std::array<float, 3> linear{};
    float covered = 0, distance_m = 0;
  };
  void draw_line(const Camera::Seen& from, const Camera::Seen& to, double width_px, double gain);
  std::vector<float> shadow() const;

  StillSize size_;
  std::vector<Pixel> pixels_;
};

}  // namespace witnessline
