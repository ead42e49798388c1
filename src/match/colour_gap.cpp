#include "match/colour_gap.h"

#include <cmath>

namespace witnessline::match {

ColourGap colour_gap(const Lab& aim, float l, float a, float b) {
  constexpr float c_25_7 = 6103515625.0f;
  const auto share_of_7 = [](float c) {
    const float c2 = c * c, c7 = c2 * c2 * c2 * c;
    return std::sqrt(c7 / (c7 + c_25_7));
  };
  const auto l1 = static_cast<float>(aim.l), a1_star = static_cast<float>(aim.a), b1 = static_cast<float>(aim.b);
  const float c_mean = 0.5f * (std::sqrt(a1_star * a1_star + b1 * b1) + std::sqrt(a * a + b * b));
  const float stretch = 1 + 0.5f * (1 - share_of_7(c_mean));
  const float a1 = stretch * a1_star, a2 = stretch * a, b2 = b;
  const float c1 = std::sqrt(a1 * a1 + b1 * b1), c2 = std::sqrt(a2 * a2 + b2 * b2);
  constexpr float grey = 1e-6f;
  const float over1 = c1 > grey ? 1 / c1 : 0, over2 = c2 > grey ? 1 / c2 : 0;

  // Mean hue as a direction: the two unit vectors' sum, which runs the short way round.
  float x = a1 * over1 + a2 * over2, y = b1 * over1 + b2 * over2;
  const float length = std::sqrt(x * x + y * y);
  if (length > 1e-6f)
    x /= length, y /= length;
  else
    x = 1, y = 0;
  const float da = a2 - a1, db = b2 - b1;
  const float dc = c1 + c2 > grey ? (da * (a1 + a2) + db * (b1 + b2)) / (c1 + c2) : 0;
  // 2 sqrt(c1 c2) sin(dh / 2) = cross product / (sqrt(c1 c2) cos(dh / 2)), and cos(dh / 2) is half the sum's length.
  const float dh =
      c1 > grey && c2 > grey && length > 1e-6f ? (a1 * db - b1 * da) * std::sqrt(over1 * over2) / (0.5f * length) : 0;

  const float cos2 = 2 * x * x - 1, sin2 = 2 * x * y;
  const float cos3 = x * (4 * x * x - 3), sin3 = y * (3 - 4 * y * y);
  const float cos4 = 2 * cos2 * cos2 - 1, sin4 = 2 * sin2 * cos2;
  const float t = 1 - 0.17f * (0.8660254f * x + 0.5f * y) + 0.24f * cos2 +
                  0.32f * (0.9945219f * cos3 - 0.1045285f * sin3) - 0.20f * (0.4539905f * cos4 + 0.8910065f * sin4);
  const float l_mean = 0.5f * (l1 + l), l_50 = (l_mean - 50) * (l_mean - 50), cp_mean = 0.5f * (c1 + c2);
  const float over_sl = 1 / (1 + 0.015f * l_50 / std::sqrt(20 + l_50));
  const float over_sc = 1 / (1 + 0.045f * cp_mean), over_sh = 1 / (1 + 0.015f * cp_mean * t);
  float rt = 0;
  if (y < 0) {  // the rotation lives in the blues; elsewhere it is below 1e-5
    const float hue_deg = std::atan2(y, x) * 57.29577951f + 360, turn = (hue_deg - 275) / 25;
    rt = -2 * share_of_7(cp_mean) * std::sin(1.04719755f * std::exp(-turn * turn));
  }

  const float c = dc * over_sc, h = dh * over_sh, lean = 0.5f * rt, rest = std::sqrt(1 - lean * lean);
  ColourGap gap;
  gap.part = {(l - l1) * over_sl, c + lean * h, rest * h};
  const float ca = x * over_sc * stretch, cb = y * over_sc, ha = -y * over_sh * stretch, hb = x * over_sh;
  gap.on_lab = {{{over_sl, 0, 0}, {0, ca + lean * ha, cb + lean * hb}, {0, rest * ha, rest * hb}}};
  return gap;
}

}  // namespace witnessline::match
