// From bands to the screen: the linear part, once for a lamp.
#pragma once

#include <cmath>
#include <cstdint>

#include "view/columns.h"

namespace witnessline {

/// Linear sRGB of a reflectance, adapted to the screen's white: a 3 x 36 matrix. Out-of-gamut values are not clipped.
class Screen {
 public:
  Screen(Lamp lamp, Observer observer) {
    const Weights& w = weights(lamp, observer);
    const auto m = linear_srgb_from_xyz(white_point(lamp, observer));
    for (std::size_t c = 0; c < 3; ++c)
      for (std::size_t b = 0; b < bands; ++b)
        row_[c][b] = static_cast<float>((m[c][0] * w.x[b] + m[c][1] * w.y[b] + m[c][2] * w.z[b]));
    // Scaled to the screen itself, so that the perfect diffuser is (1, 1, 1) whatever linear_srgb_from_xyz calls white.
    for (auto& row : row_) {
      double sum = 0;
      for (const float v : row) sum += v;
      for (float& v : row) v = static_cast<float>(v / sum);
    }
  }

  /// The first `count` columns of a block.
  void linear(const BlockReflectance& r, std::array<std::array<float, block>, 3>& rgb) const {
    for (std::size_t c = 0; c < 3; ++c) {
      rgb[c].fill(0);
      for (std::size_t b = 0; b < bands; ++b)
        for (std::size_t i = 0; i < block; ++i) rgb[c][i] += row_[c][b] * r[b][i];
    }
  }

 private:
  std::array<std::array<float, bands>, 3> row_{};
};

/// Encoded byte of a linear value, by table: rounding of srgb_encode to within one step of 255.
inline std::uint8_t encoded_byte(float linear) {
  static const auto table = [] {
    std::array<std::uint8_t, 16385> t{};
    for (std::size_t i = 0; i < t.size(); ++i)
      t[i] = static_cast<std::uint8_t>(std::lround(255 * srgb_encode(static_cast<double>(i) / 16384)));
    return t;
  }();
  const float clipped = linear < 0 ? 0 : linear > 1 ? 1 : linear;
  return table[static_cast<std::size_t>(clipped * 16384 + 0.5f)];
}

}  // namespace witnessline
