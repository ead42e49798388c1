// Compact areas of even colour in a picture: what patches of a chart look like before anything is known of them.
#pragma once

#include <vector>

#include "image/image.h"
#include "match/chart_photo.h"

namespace witnessline::match {

struct EvenArea {
  PixelPoint centre;
  double area_px = 0;  ///< pixels in it
};

/// Areas without a slope over `steepest` (8-bit steps over two pixels) that fill a parallelogram or an ellipse, no
/// larger than a chart's patch can be. Coordinates of the whole picture, whatever size it was looked at.
std::vector<EvenArea> even_areas(const Image&, double steepest);

}  // namespace witnessline::match
