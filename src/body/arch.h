// The arch of a carved plate: a smooth height over an outline, zero and level at the edge, one at its summit.
#pragma once

#include <vector>

#include "body/outline.h"

namespace witnessline::body {

/// Height 0..1 of the arch and its slope [1/m].
struct ArchSample {
  double height = 0;
  Vec2d slope;
};

class Arch {
 public:
  /// The arch starts `margin_m` inside the outline.
  Arch(const Outline& outline, double margin_m);
  ArchSample at(Vec2d p) const;

 private:
  Vec2d low_;
  double step_m_ = 0.002, summit_ = 1;
  int nx_ = 0, ny_ = 0;
  std::vector<double> sag_;  ///< membrane under even pressure, at the nodes
};

}  // namespace witnessline::body
