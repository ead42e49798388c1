#include "example_photograph.h"

#include "shapes/bench_checks.h"

namespace witnessline::app {

using namespace shapes;

namespace {
constexpr double example_m_per_px = 0.06e-3;
constexpr int rule_px = 96;  ///< height of the rule along the bottom

}  // namespace

Image example_photograph() {
  PlateShot shot;
  shot.width = 1440, shot.height = 1000, shot.line_px = 0.8, shot.dark = 0.45, shot.noise = 2.2, shot.fall = 0.4;
  shot.figure = 0.07, shot.figure_px = 60;
  Image image = plate_shot(shot, checks_of_the_bench(shot, example_m_per_px, 120e-6, -25), Key{1962});
  for (int y = shot.height - rule_px; y < shot.height; ++y)
    for (int x = 0; x < shot.width; ++x) {
      const double mm = (x - 30) * example_m_per_px * 1e3,
                   off = std::abs(mm - std::round(mm)) / (example_m_per_px * 1e3);
      const int nearest = static_cast<int>(std::lround(mm)), down = y - (shot.height - rule_px);
      const int tall = nearest % 10 == 0 ? 60 : nearest % 5 == 0 ? 44 : 28;
      const bool mark = off < 1 && nearest >= 0 && nearest <= 80 && down < tall;
      for (std::size_t k = 0; k < 3; ++k)
        image.rgb[3 * (static_cast<std::size_t>(y) * static_cast<std::size_t>(shot.width) +
                       static_cast<std::size_t>(x)) +
                  k] = static_cast<std::uint8_t>((mark ? 40 : 205) + (x * 7 + y * 13) % 5);
    }
  return image;
}
}  // namespace witnessline::app
