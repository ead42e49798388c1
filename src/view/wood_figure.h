// The figure of the wood as it is drawn in pictures: decoration that no reading sees.
#pragma once

#include <string>
#include <vector>

#include "body/vec.h"

namespace witnessline::view {

/// How a wood's growth lines are drawn. Every number is an ESTIMATE for the eye (docs/estimates.md).
struct FigureStyle {
  double ring_mm = 2.5;       ///< usual width of a year's growth
  double contrast = 0.12;     ///< how much darker the darkest is drawn than the palest, over the mean
  double late_share = 0.2;    ///< of a year's growth that ends it sharply
  double pores = 0;           ///< 0..1: how much of the contrast stands in pores drawn as short dark streaks
  double curl = 0;            ///< contrast of the bands across the fibres
  bool quarter_sawn = false;  ///< upright rings, matched at the middle, in place of a board cut through the rings
};
FigureStyle figure_style(const std::string& wood_id);

/// One wood's figure on one body: growth lines about a heart of the tree that lies outside it.
class WoodFigure {
 public:
  WoodFigure(const std::string& wood_id, Vec3d board_axis);
  /// 0 palest to 1 darkest at a place [m] whose fibres run `along` in a surface with `normal`.
  double at(Vec3d place, Vec3d along, Vec3d normal) const;
  double contrast() const { return style_.contrast; }

 private:
  FigureStyle style_;
  Vec3d axis_, side_, through_;
  bool bent_ = false;
  double shift_ = 0;
};

}  // namespace witnessline::view
