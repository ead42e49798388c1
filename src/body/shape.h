// Shape: a solid known by its signed distance.
#pragma once

#include "body/vec.h"

namespace witnessline::body {

/// Distance to the surface [m], negative inside, and its gradient (unit outward normal on the surface).
struct Sample {
  double distance_m = 0;
  Vec3d gradient{0, 0, 1};
};

/// A solid; `at` is called from several threads at once. Near the surface the distance is exact to first order;
/// further off it may fall short of the true distance, never exceed it by more than a fifth.
class Shape {
 public:
  virtual ~Shape() = default;
  virtual Sample at(Vec3d p) const = 0;
  virtual Box3 bounds() const = 0;
};

}  // namespace witnessline::body
