#include "view/canvas.h"

#include <algorithm>
#include <cmath>

#include "base/random.h"
#include "view/studio.h"

namespace witnessline::view {

void Canvas::add(std::size_t pixel, const LinearRgb& light, int samples) {
  Pixel& p = pixels_[pixel];
  const float share = static_cast<float>(samples) / static_cast<float>(size_.samples);
  for (std::size_t c = 0; c < 3; ++c) p.light[c] += share * light[c];
  p.covered += share;
}

void Canvas::fill(std::size_t pixel, const LinearRgb& behind) {
  Pixel& p = pixels_[pixel];
  const float left = std::max(0.0f, 1 - p.covered);
  for (std::size_t c = 0; c < 3; ++c) p.light[c] += left * behind[c];
  p.covered = 1;
}

Image Canvas::image() const {
  constexpr double steps = 16384;
  static const auto table = [] {
    std::vector<float> t(static_cast<std::size_t>(steps) + 1);
    for (std::size_t i = 0; i < t.size(); ++i)
      t[i] = static_cast<float>(255 * srgb_encode(static_cast<double>(i) / steps));
    return t;
  }();
  Image image{size_.width, size_.height, {}};
  image.rgb.reserve(3 * pixels_.size());
  for (std::size_t i = 0; i < pixels_.size(); ++i) {
    // Rounded up or down by chance, the same at every run: smooth card and dark finish do not band.
    const double chance = uniform(Key{}.with("dither").with(i));
    for (const float c : pixels_[i].light) {
      const float shown = table[static_cast<std::size_t>(std::clamp(shoulder(c), 0.0, 1.0) * steps)];
      image.rgb.push_back(static_cast<std::uint8_t>(std::min(255.0, std::floor(shown + chance))));
    }
  }
  return image;
}

}  // namespace witnessline::view
