#include "view/wood_figure.h"

#include <array>
#include <cmath>

#include "base/random.h"

namespace witnessline::view {
namespace {

constexpr int tile = 128;

/// Even noise, 0..1, that goes round every 128 cells.
double noise(double x, double y) {
  static const auto values = [] {
    std::array<float, tile * tile> v{};
    for (std::size_t i = 0; i < v.size(); ++i) v[i] = static_cast<float>(uniform(Key{}.with("figure").with(i)));
    return v;
  }();
  const double x0 = std::floor(x), y0 = std::floor(y);
  const auto i = static_cast<std::int64_t>(x0), j = static_cast<std::int64_t>(y0);
  const auto at = [&](std::int64_t a, std::int64_t b) {
    return static_cast<double>(values[static_cast<std::size_t>((b & (tile - 1)) * tile + (a & (tile - 1)))]);
  };
  double s = x - x0, t = y - y0;
  s = s * s * (3 - 2 * s), t = t * t * (3 - 2 * t);
  return (at(i, j) * (1 - s) + at(i + 1, j) * s) * (1 - t) + (at(i, j + 1) * (1 - s) + at(i + 1, j + 1) * s) * t;
}

}  // namespace

WoodFigure::WoodFigure(const Material& wood, Vec3d mean_grain) : style_(wood.growth_lines) {
  bent_ = length(mean_grain) < 0.8;
  axis_ = unit_of(mean_grain, {0, 1, 0});
  through_ = unit_of(Vec3d{0, 0, 1} - dot(Vec3d{0, 0, 1}, axis_) * axis_, across(axis_));
  side_ = cross(axis_, through_);
  shift_ = 97 * uniform(Key{}.with("board").with(wood.id));
}

double WoodFigure::at(Vec3d place, Vec3d along, Vec3d normal) const {
  double x, y, z;
  if (bent_) {  // a strip bent round: its own width is the board's
    const Vec3d side = unit_of(cross(along, normal), {1, 0, 0});
    x = dot(place, side) * 1e3, y = 1e3 * (place.x + place.y), z = 0;
  } else {
    x = dot(place, side_) * 1e3, y = dot(place, axis_) * 1e3, z = dot(place, through_) * 1e3;
  }
  double years;
  if (style_.quarter_sawn || bent_) {
    // Wider years towards the rim, as a top is joined with its oldest wood outside.
    const double from_seam = style_.quarter_sawn && !bent_ ? std::abs(x) : x + 300;
    years = from_seam / style_.ring_mm * (1 - 0.0009 * from_seam) + 0.05 * z +
            1.6 * noise(from_seam / 37 + shift_, y / 260) + 0.35 * noise(from_seam / 6, y / 90 + shift_);
  } else {
    // A board cut beside the heart, which runs a little askew: arches where the cut leaves a ring.
    const double from_heart = x - 24 - 0.02 * y + 16 * noise(shift_, y / 210), below = z + 46;
    years = (std::sqrt(from_heart * from_heart + below * below) - 0.045 * y) / style_.ring_mm +
            2.4 * noise(x / 46 + shift_, y / 230) + 0.45 * noise(x / 9, y / 80 + shift_);
  }
  const double year = std::floor(years), phase = years - year;
  const double strength = (0.35 + 1.1 * noise(year * 0.73 + shift_, 3.5)) * (0.6 + 0.7 * noise(year / 9 + shift_, 7.5));
  const double late = style_.late_share;
  const double ring =
      strength * (phase < 1 - late ? std::pow(phase / (1 - late), 2.2) : 1 - std::pow((phase - 1 + late) / late, 1.5));
  const double fibres = noise(x / 0.45 + 5 * z, y / 11 + shift_) * 0.6 + noise(x / 1.9, y / 42 + z) * 0.4;
  double dark = 0.62 * ring + 0.38 * fibres;
  if (style_.pores > 0) {
    const double pore = noise(x / 0.33 + 3.1 * z, y / 3.2 + 11);
    const double crowd = 0.35 + 0.65 * ring;
    dark = (1 - style_.pores) * dark + style_.pores * std::clamp(6 * (pore - 0.95 + 0.42 * crowd), 0.0, 1.0);
  }
  if (style_.curl > 0)
    dark += style_.curl / style_.contrast * (noise(x / 55, y / 7.5 + 0.6 * noise(x / 21, y / 30) + shift_) - 0.5);
  return std::clamp(dark, 0.0, 1.0);
}

}  // namespace witnessline::view
