#include <cmath>
#include <numbers>

#include "colour/colour.h"

namespace witnessline::colour {

double delta_e_2000(const Lab& one, const Lab& two) {
  constexpr double degree = std::numbers::pi / 180;
  constexpr double c_25_7 = 6103515625.0;
  const auto to_7 = [](double v) { return std::pow(v, 7); };

  const double c_mean = (std::hypot(one.a, one.b) + std::hypot(two.a, two.b)) / 2;
  const double g = 0.5 * (1 - std::sqrt(to_7(c_mean) / (to_7(c_mean) + c_25_7)));
  const double a1 = (1 + g) * one.a, a2 = (1 + g) * two.a;
  const double c1 = std::hypot(a1, one.b), c2 = std::hypot(a2, two.b);
  const auto hue = [&](double a, double b) {
    if (a == 0 && b == 0) return 0.0;
    const double h = std::atan2(b, a) / degree;
    return h < 0 ? h + 360 : h;
  };
  const double h1 = hue(a1, one.b), h2 = hue(a2, two.b);

  // Hues exactly opposite belong to the first branch; rounding of atan2 must not push them out of it (pair 14).
  constexpr double opposite = 180 + 1e-9;
  const bool grey = c1 * c2 == 0;
  const double apart = std::abs(h1 - h2);
  double dh = h2 - h1;
  if (grey)
    dh = 0;
  else if (dh > opposite)
    dh -= 360;
  else if (dh < -opposite)
    dh += 360;
  double h_mean = h1 + h2;
  if (!grey) {
    if (apart <= opposite)
      h_mean /= 2;
    else
      h_mean = (h_mean + (h_mean < 360 ? 360 : -360)) / 2;
  }

  const double dl = two.l - one.l, dc = c2 - c1, d_big_h = 2 * std::sqrt(c1 * c2) * std::sin(dh / 2 * degree);
  const double l_mean = (one.l + two.l) / 2, cp_mean = (c1 + c2) / 2;
  const double t = 1 - 0.17 * std::cos((h_mean - 30) * degree) + 0.24 * std::cos(2 * h_mean * degree) +
                   0.32 * std::cos((3 * h_mean + 6) * degree) - 0.20 * std::cos((4 * h_mean - 63) * degree);
  const double l_50 = (l_mean - 50) * (l_mean - 50);
  const double sl = 1 + 0.015 * l_50 / std::sqrt(20 + l_50);
  const double sc = 1 + 0.045 * cp_mean, sh = 1 + 0.015 * cp_mean * t;
  const double turn = (h_mean - 275) / 25;
  const double rc = 2 * std::sqrt(to_7(cp_mean) / (to_7(cp_mean) + c_25_7));
  const double rt = -std::sin(60 * std::exp(-turn * turn) * degree) * rc;
  const double l = dl / sl, c = dc / sc, h = d_big_h / sh;
  return std::sqrt(std::max(0.0, l * l + c * c + h * h + rt * c * h));
}

}  // namespace witnessline::colour
