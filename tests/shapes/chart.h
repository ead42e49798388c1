// The chart as published, and pictures of it drawn for the tests.
#pragma once

#include <cmath>
#include <fstream>
#include <iterator>
#include <string>

#include "base/random.h"
#include "match/chart_photo.h"
#include "materials/csv.h"

namespace witnessline::match {

inline ChartAim published_chart() {
  ChartAim chart;
  const auto table = read_csv(PROJECT_FOLDER "/data/spectra/colour_chart.csv");
  for (std::size_t p = 0; p < 24; ++p)
    for (int b = 0; b < bands; ++b) chart[p][b] = *number_in((*table).rows[p].cells[static_cast<std::size_t>(b) + 2]);
  return chart;
}

inline std::string bytes_of(const std::string& path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

/// How a picture of the chart is taken.
struct Shot {
  int width = 640, height = 480;
  /// Pixels to lattice (patch 1 at 0,0; 24 at 5,3), as rows of a matrix.
  std::array<double, 9> lattice_of_pixel{};
  double exposure = 0.8;
  std::array<double, 3> gain{1, 1, 1};
  double noise = 1.0;           ///< 8-bit steps, standard deviation
  double falls_off_per_px = 0;  ///< of ln light, to the right
  double around = 0.35;         ///< reflectance round the chart
};

/// Lattice from pixels for the chart turned by `turn_deg` about a point, `pitch_px` wide, tilted by `tilt_per_px`.
inline std::array<double, 9> placed(double x_px, double y_px, double pitch_px, double turn_deg, double tilt_x_per_px,
                                    double tilt_y_per_px, bool mirrored = false) {
  const double t = turn_deg * 3.14159265358979 / 180, c = std::cos(t) / pitch_px, s = std::sin(t) / pitch_px;
  const double m = mirrored ? -1 : 1;
  // w = 1 + tilt (p - middle); lattice = (rotation (p - middle) + w (2.5, 1.5)) / w
  const double w0 = 1 - tilt_x_per_px * x_px - tilt_y_per_px * y_px;
  return {m * c + 2.5 * tilt_x_per_px,
          m * s + 2.5 * tilt_y_per_px,
          m * (-c * x_px - s * y_px) + 2.5 * w0,
          -s + 1.5 * tilt_x_per_px,
          c + 1.5 * tilt_y_per_px,
          s * x_px - c * y_px + 1.5 * w0,
          tilt_x_per_px,
          tilt_y_per_px,
          w0};
}

inline PixelPoint lattice_at(const Shot& shot, double x, double y) {
  const auto& h = shot.lattice_of_pixel;
  const double w = h[6] * x + h[7] * y + h[8];
  return {(h[0] * x + h[1] * y + h[2]) / w, (h[3] * x + h[4] * y + h[5]) / w};
}

/// The pixel of a lattice place, by Newton's rule on the map drawn.
inline PixelPoint pixel_of(const Shot& shot, double column, double row) {
  PixelPoint p{shot.width / 2.0, shot.height / 2.0};
  for (int round = 0; round < 50; ++round) {
    const PixelPoint at = lattice_at(shot, p.x_px, p.y_px);
    const PixelPoint dx = lattice_at(shot, p.x_px + 0.01, p.y_px), dy = lattice_at(shot, p.x_px, p.y_px + 0.01);
    const double a = (dx.x_px - at.x_px) * 100, b = (dy.x_px - at.x_px) * 100, c = (dx.y_px - at.y_px) * 100,
                 d = (dy.y_px - at.y_px) * 100, e = column - at.x_px, f = row - at.y_px;
    p.x_px += (d * e - b * f) / (a * d - b * c), p.y_px += (a * f - c * e) / (a * d - b * c);
  }
  return p;
}

inline Image picture(const ChartAim& chart, const Shot& shot) {
  Image image{shot.width, shot.height, {}};
  image.rgb.resize(static_cast<std::size_t>(3 * shot.width * shot.height));
  std::array<std::array<double, 3>, 24> linear{};
  const Xyz white = white_point(Lamp::D50, Observer::deg2);
  const auto m = linear_srgb_from_xyz(white);
  for (std::size_t p = 0; p < 24; ++p) {
    const Xyz xyz = to_xyz(chart[p], Lamp::D50, Observer::deg2);
    for (std::size_t c = 0; c < 3; ++c) linear[p][c] = m[c][0] * xyz.x + m[c][1] * xyz.y + m[c][2] * xyz.z;
  }
  for (int y = 0; y < shot.height; ++y)
    for (int x = 0; x < shot.width; ++x) {
      std::array<double, 3> sum{};
      for (int s = 0; s < 9; ++s) {  // each pixel a mean of nine places
        const PixelPoint at = lattice_at(shot, x + (s % 3 - 1) / 3.0, y + (s / 3 - 1) / 3.0);
        const double column = std::round(at.x_px), row = std::round(at.y_px);
        const bool on_patch = column >= 0 && column <= 5 && row >= 0 && row <= 3 && std::abs(at.x_px - column) < 0.42 &&
                              std::abs(at.y_px - row) < 0.42;
        const bool on_frame = at.x_px > -0.75 && at.x_px < 5.75 && at.y_px > -0.75 && at.y_px < 3.75;
        for (std::size_t c = 0; c < 3; ++c)
          sum[c] += (on_patch   ? linear[static_cast<std::size_t>(row) * 6 + static_cast<std::size_t>(column)][c]
                     : on_frame ? 0.03
                                : shot.around * (1 + 0.3 * std::sin(x / 23.0) * std::sin(y / 31.0))) /
                    9;
      }
      for (std::size_t c = 0; c < 3; ++c) {
        const auto at = 3 * static_cast<std::size_t>(y * shot.width + x) + c;
        const double light = shot.exposure * shot.gain[c] * std::exp(-shot.falls_off_per_px * x);
        const double value =
            255 * srgb_encode(std::clamp(sum[c] * light, 0.0, 1.0)) + shot.noise * normal(Key{17}.with(at));
        image.rgb[at] = static_cast<std::uint8_t>(std::clamp(std::lround(value), 0L, 255L));
      }
    }
  return image;
}

}  // namespace witnessline::match
