// Where the 24 patches of a chart lie in a picture.
#pragma once

#include <array>
#include <string>

#include "image/image.h"
#include "match/chart_photo.h"

namespace witnessline::match {

/// Plane to plane, from the chart's lattice (patch 1 at 0,0; 6 at 5,0; 24 at 5,3; 19 at 0,3) to pixels.
struct Homography {
  std::array<double, 9> h{1, 0, 0, 0, 1, 0, 0, 0, 1};
  PixelPoint operator()(double column, double row) const {
    const double w = h[6] * column + h[7] * row + h[8];
    return {(h[0] * column + h[1] * row + h[2]) / w, (h[3] * column + h[4] * row + h[5]) / w};
  }
};

/// What a patch or a spot holds. Colours encoded, 0..1.
struct PixelSample {
  std::array<double, 3> mean{}, sd{};
  double clipped_high_frac = 0, clipped_low_frac = 0;  ///< share of its pixels with a channel at its end
  bool inside = true;                                  ///< all of it is in the picture
};
/// A square of the lattice, `half` the pitch to each side.
PixelSample sample(const Image&, const Homography&, double column, double row, double half);
/// A square of pixels.
PixelSample sample(const Image&, const PixelPoint& centre, double radius_px);

/// Law: even, compact areas are grown into a lattice, a homography is fitted to their centres, and of all ways to lay
/// 6 by 4 patches on it the one is taken whose colours an affine map brings nearest to the chart's. Errors: no chart;
/// chart partly outside; picture mirrored; two ways to lay it that fit alike.
Result<Homography> find_chart(const Image&, const ChartAim&, const std::string& file);

/// The same with the centres of the four corner patches given, in the order round the chart, from any one.
Result<Homography> chart_at(const Image&, const ChartAim&, const std::array<PixelPoint, 4>& corners,
                            const std::string& file);

}  // namespace witnessline::match
