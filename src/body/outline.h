// The analytic signed distance to a traced loop: nearest point on its curves, found by Newton's method.
#pragma once

#include <memory>
#include <vector>

#include "body/svg.h"

namespace witnessline::body {

struct OutlineSample {
  double distance_m = 0;  ///< negative inside; not below minus the depth asked for
  Vec2d outward{1, 0};    ///< gradient of the distance
};

class Outline {
 public:
  /// Distances are exact down to `depth_m` inside the loop.
  Outline(const Loop& loop, double depth_m);

  OutlineSample at(Vec2d p) const;
  Vec2d low() const { return low_; }
  Vec2d high() const { return high_; }
  double area_m2() const { return area_m2_; }

 private:
  struct Piece {
    Cubic curve;
    double bulge = 0;               ///< how far the curve may leave its chord
    Vec2d tangent_in, tangent_out;  ///< at the joints, shared by both neighbours
    bool corner_in = false, corner_out = false;
  };
  struct Nearest {
    double squared = 1e300;
    double t = 0;
    const Piece* piece = nullptr;
  };
  void improve(Nearest&, const Piece&, Vec2d p) const;
  OutlineSample sample(const Nearest&, Vec2d p) const;

  std::vector<Piece> pieces_;
  Vec2d low_, high_, grid_low_;
  double area_m2_ = 0, depth_m_ = 0, cell_m_ = 0.006;
  int nx_ = 0, ny_ = 0;
  std::vector<std::uint32_t> first_;       ///< of each cell's candidates
  std::vector<std::uint32_t> candidates_;  ///< pieces that may be nearest somewhere in the cell
  std::vector<std::uint8_t> deep_;         ///< cell lies deeper than depth_m_ throughout
};

}  // namespace witnessline::body
