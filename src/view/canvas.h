// The picture while it is made: linear light by pixel, and how much of each pixel the instrument covers.
#pragma once

#include <array>
#include <vector>

#include "view/pictures.h"

namespace witnessline::view {

using LinearRgb = std::array<float, 3>;

class Canvas {
 public:
  explicit Canvas(const StillSize& size)
      : size_(size), pixels_(static_cast<std::size_t>(size.width) * static_cast<std::size_t>(size.height)) {}

  const StillSize& size() const { return size_; }
  /// So many samples' worth of one light; different threads may add to different pixels.
  void add(std::size_t pixel, const LinearRgb& light, int samples);
  double covered(std::size_t pixel) const { return pixels_[pixel].covered; }
  const LinearRgb& light(std::size_t pixel) const { return pixels_[pixel].light; }
  /// Fills what is left of a pixel with what lies behind.
  void fill(std::size_t pixel, const LinearRgb& behind);
  Image image() const;

 private:
  struct Pixel {
    LinearRgb light{};
    float covered = 0;
  };
  StillSize size_;
  std::vector<Pixel> pixels_;
};

}  // namespace witnessline::view
