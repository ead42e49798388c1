// Fine lines: thin dark lines of a picture on an uneven ground, found and traced.
#pragma once

#include <vector>

#include "body/vec.h"
#include "image/image.h"

namespace witnessline::history {

/// One number a pixel, rows from the top.
struct Plane {
  int width = 0, height = 0;
  std::vector<float> at;
  float* row(int y) { return at.data() + static_cast<std::size_t>(y) * static_cast<std::size_t>(width); }
  const float* row(int y) const { return at.data() + static_cast<std::size_t>(y) * static_cast<std::size_t>(width); }
  float& operator()(int x, int y) { return row(y)[x]; }
  float operator()(int x, int y) const { return row(y)[x]; }
};

/// Natural logarithm of the light of every pixel over that of the ground about it: uneven light and soft shades go,
/// fine lines stay. Law: luminance of sRGB decoded, over its mean in a Gaussian of 12 px. Source: iec61966_2_1.
Plane ground_evened(const Image&);

struct FineLine {
  std::vector<Vec2d> path;  ///< pixels, from the middle of the top left one; a point every few
  double length_px = 0;
  double contrast = 0;  ///< logarithm of ground over line, at its middle
  double width_px = 0;  ///< width of an even line as deep that takes as much light
};

struct FineLines {
  std::vector<FineLine> dark;  ///< strongest first
  std::vector<FineLine> pale;  ///< lighter than their ground instead; their contrast is ground's under line's
  double margin_px = 0;        ///< nothing is found nearer to the rim than this
  double least_dark_px = 0;    ///< contrast times width a line needs to be found, where the ground is as elsewhere
};

/// Every line darker than its ground, and every one lighter.
/// Law: second derivative across the line of a Gaussian of 1 and of 2 px, its mean over some 20 px along it, in 16
/// directions, each over its own scatter (median of the picture); a line is a crest of the largest of these, followed
/// from where it is six scatters high to where it falls below three and a half, over gaps of up to 8 px.
/// Source: steger1998 (crests of the second derivative), freeman1991 (second derivatives turn). Valid: lines of 1 to
/// about 6 px. Departs: lines nearer than 5 px to each other merge; a bend sharper than 35 degrees ends a line.
FineLines fine_lines(const Plane&, double least_length_px);

/// Lays lines into a picture, with a Gaussian profile of their own contrast and width.
void lay_into(Plane&, const FineLine&);

}  // namespace witnessline::history
