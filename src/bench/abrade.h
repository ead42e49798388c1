// Cutting the surface down: what sanding, levelling, buffing and wear have in common.
#pragma once

#include <functional>

#include "bench/step_context.h"

namespace witnessline::bench {

/// How deep one vertex is cut: (vertex, columns, index in columns) -> depth [m].
using CutDepth = std::function<double(std::size_t v, const Columns&, std::size_t i)>;

enum class Wood { may_be_cut, is_kept };

/// Cuts every vertex under `weights`, keeps the books, warns of dust and notes every coat gone through.
Result<MassBalance> abrade(StepContext&, const std::vector<float>& weights, const CutDepth&, Wood = Wood::may_be_cut);

/// How much more goes at edges, scaled so that the mean over the weighted area is one.
class EdgeGain {
 public:
  EdgeGain(const std::vector<float>& weights, const Body&, double edge_factor);
  double operator()(std::size_t v) const {
    return scale_ * (1.0 + (factor_ - 1.0) * edge_share(static_cast<double>(curvature_per_m_[v])));
  }

 private:
  std::span<const float> curvature_per_m_;
  double factor_, scale_ = 1;
};

/// Height of the surface over the bare wood as made, averaged over the reach of a block: what a flat block rides on.
class BlockLevel {
 public:
  BlockLevel(const Film&, const Body&, const std::vector<float>& weights, double reach_m);
  /// Height of the surface at v over the mean around it [m].
  double above(std::size_t v) const;

 private:
  const Body& body_;
  double per_m_;
  long low_[3], count_[3];
  std::vector<float> height_m_;
  std::vector<double> mean_;
  std::vector<std::int64_t> n_;
};

}  // namespace witnessline::bench
