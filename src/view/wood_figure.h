// The figure of the wood as it is drawn in pictures: decoration that no reading sees.
#pragma once

#include "body/vec.h"
#include "materials/material.h"

namespace witnessline::view {

/// One wood's figure on one body: growth lines about a heart of the tree that lies outside it.
class WoodFigure {
 public:
  WoodFigure(const Material& wood, Vec3d board_axis);
  /// 0 palest to 1 darkest at a place [m] whose fibres run `along` in a surface with `normal`.
  double at(Vec3d place, Vec3d along, Vec3d normal) const;
  double contrast() const { return style_.contrast; }

 private:
  GrowthLines style_;
  Vec3d axis_, side_, through_;
  bool bent_ = false;
  double shift_ = 0;
};

}  // namespace witnessline::view
