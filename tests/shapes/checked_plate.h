// A photograph of a finish that never was: lines of known place drawn on a plate with figure, uneven light, blur,
// noise.
#pragma once

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

#include "base/random.h"
#include "body/vec.h"
#include "image/image.h"

namespace witnessline::shapes {

using namespace body;
using namespace image;

using PixelPath = std::vector<Vec2d>;

struct PlateShot {
  int width = 900, height = 700;
  double ground[3] = {196, 150, 88};  ///< 8-bit, amber over pale wood
  double dark = 0.25;                 ///< share of the light a line takes where it fills a pixel
  double line_px = 1.2;               ///< its width
  double blur_px = 0.7;               ///< of the lens and the sensor, one standard deviation
  double noise = 2;                   ///< 8-bit steps, one standard deviation
  double fall = 0.3;                  ///< how much darker the far corner is
  double figure = 0.04;               ///< how much late wood darkens, bands along the grain
  double figure_px = 40;              ///< from band to band, about
  double grain_rad = 0;
};

/// Parallel lines from rim to rim, `apart_px` from each other, at an angle counted against the clock as seen.
inline std::vector<PixelPath> ruled(const PlateShot& shot, double apart_px, double angle_rad) {
  const Vec2d way{std::cos(angle_rad), -std::sin(angle_rad)}, aside{-way.y, way.x};
  const Vec2d middle{0.5 * shot.width, 0.5 * shot.height};
  const double half = 0.5 * std::hypot(shot.width, shot.height);
  std::vector<PixelPath> lines;
  for (double o = -half + 0.37 * apart_px; o < half; o += apart_px) {
    const Vec2d on = middle + o * aside;
    lines.push_back({on - half * way, on + half * way});
  }
  return lines;
}

inline Image plate_shot(const PlateShot& shot, const std::vector<PixelPath>& lines, Key key) {
  const auto pixels = static_cast<std::size_t>(shot.width) * static_cast<std::size_t>(shot.height);
  std::vector<float> taken(pixels, 0.0f);  // share of a pixel's light a line takes, after blur
  const double sigma = std::hypot(shot.blur_px, 1 / std::sqrt(12.0)), reach = 4 * sigma + shot.line_px;
  for (const PixelPath& path : lines)
    for (std::size_t i = 0; i + 1 < path.size(); ++i) {
      const Vec2d a = path[i], run = path[i + 1] - a;
      const double l2 = dot(run, run);
      const int y0 = std::max(0, static_cast<int>(std::min(a.y, a.y + run.y) - reach)),
                y1 = std::min(shot.height - 1, static_cast<int>(std::max(a.y, a.y + run.y) + reach));
      for (int y = y0; y <= y1; ++y) {
        // The part of the row within reach of the segment's line, so that long slanted lines stay cheap.
        double from = std::min(a.x, a.x + run.x) - reach, to = std::max(a.x, a.x + run.x) + reach;
        if (std::abs(run.y) > 1e-9) {
          const double x = a.x + (y - a.y) * run.x / run.y, wide = reach * std::sqrt(l2) / std::abs(run.y);
          from = std::max(from, x - wide), to = std::min(to, x + wide);
        }
        for (int x = std::max(0, static_cast<int>(from)); x <= std::min(shot.width - 1, static_cast<int>(to)); ++x) {
          const Vec2d d = Vec2d{static_cast<double>(x), static_cast<double>(y)} - a;
          const double t = l2 > 0 ? std::clamp(dot(d, run) / l2, 0.0, 1.0) : 0;
          const double off = length(d - t * run);
          const double s = sigma * std::numbers::sqrt2, half = 0.5 * shot.line_px;
          const double share = 0.5 * (std::erf((off + half) / s) - std::erf((off - half) / s));
          float& most =
              taken[static_cast<std::size_t>(y) * static_cast<std::size_t>(shot.width) + static_cast<std::size_t>(x)];
          most = std::max(most, static_cast<float>(shot.dark * share));
        }
      }
    }
  Image image{shot.width, shot.height, std::vector<std::uint8_t>(3 * pixels)};
  const double c = std::cos(shot.grain_rad), s = std::sin(shot.grain_rad);
  for (int y = 0; y < shot.height; ++y)
    for (int x = 0; x < shot.width; ++x) {
      const auto i = static_cast<std::size_t>(y) * static_cast<std::size_t>(shot.width) + static_cast<std::size_t>(x);
      const double across = x * s + y * c, along = x * c - y * s;
      const double wave = across / shot.figure_px + 0.4 * std::sin(along / (8 * shot.figure_px) + across / 300) +
                          1.3 * std::sin(across / (2.9 * shot.figure_px)) +
                          0.1 * std::sin(across / (0.7 * shot.figure_px) + 2);
      const double late = std::pow(0.5 + 0.5 * std::sin(2 * std::numbers::pi * wave), 3);
      const double lit =
          1 - shot.fall * (static_cast<double>(x) / shot.width + static_cast<double>(y) / shot.height) / 2;
      const double light = lit * (1 - shot.figure * late) * (1 - static_cast<double>(taken[i]));
      for (std::size_t k = 0; k < 3; ++k) {
        // Light falls off in linear light; 2.2 is near enough to sRGB's curve for a picture drawn here.
        const double level = shot.ground[k] * std::pow(light, 1 / 2.2) + shot.noise * normal(key.with(i).with(k));
        image.rgb[3 * i + k] = static_cast<std::uint8_t>(std::clamp(std::lround(level), 0L, 255L));
      }
    }
  return image;
}

}  // namespace witnessline::shapes
