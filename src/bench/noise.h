// Smooth randomness over a surface: standard normal at every place, alike within a length, keyed by step and position.
#pragma once

#include <limits>
#include <optional>
#include <vector>

#include "base/random.h"
#include "body/body.h"

namespace witnessline::bench {

class SmoothNoise {
 public:
  /// Varies over about `length_m`; the box of `body` only decides what is worked out beforehand, never a value.
  SmoothNoise(Key key, double length_m, const Body& body);
  /// Exactly standard normal at each place: lattice normals under quadratic B-spline weights,
  /// divided by the root of the weights' squared sum.
  double operator()(Vec3 place) const;

 private:
  // Nodes are kept in bricks, each with one row more all round, so that a place needs one brick only.
  static constexpr long brick_nodes = 8;
  static constexpr std::size_t brick_row = brick_nodes + 2, brick_size = brick_row * brick_row * brick_row;
  static constexpr std::uint32_t not_kept = std::numeric_limits<std::uint32_t>::max();
  struct InBrick {
    std::size_t brick, node;
  };
  long nearest_node(double at_m) const;
  std::optional<InBrick> in_brick(long x, long y, long z) const;  ///< none: not kept
  float drawn(long x, long y, long z) const;
  Key key_;
  double per_m_;                                    ///< lattice nodes in a metre
  long low_[3] = {0, 0, 0}, count_[3] = {0, 0, 0};  ///< first node, bricks along each axis
  std::vector<std::uint32_t> start_;                ///< place of a brick among those kept
  std::vector<float> nodes_;                        ///< what is not kept is drawn when asked
};

}  // namespace witnessline::bench
