// Colours for the screen of one reflectance, or of one coat by itself.
#pragma once

#include "view/readings.h"

namespace witnessline::view {

Rgb screen_colour(const Reflectance&, const ViewContext&);

/// A coat by itself: 60 um of it on a white card (picture only), after a light dose.
Rgb own_colour(const Mixture&, double light_lx_s, const ViewContext&);

}  // namespace witnessline::view
