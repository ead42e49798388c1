// A colour difference in three parts, with slopes: Delta E 2000 as a sum of squares.
#pragma once

#include <array>

#include "colour/colour.h"

namespace witnessline::match {

struct ColourGap {
  std::array<float, 3> part;                   ///< lightness, chroma, hue; their squares sum to Delta E 2000 squared
  std::array<std::array<float, 3>, 3> on_lab;  ///< [part][L*, a*, b*]
  float squared() const { return part[0] * part[0] + part[1] * part[1] + part[2] * part[2]; }
};

/// From `aim` to a colour.
/// Law: Delta E 2000, its rotation term shared out between chroma and hue so that three squares sum to it.
/// Source: sharma2005. Valid: within 2e-3 of delta_e_2000, but at hues exactly opposite (tests/unit/match).
/// Departs: in the slopes the weights SL, SC, SH and the mean hue are taken as still.
ColourGap colour_gap(const Lab& aim, float l, float a, float b);

}  // namespace witnessline::match
