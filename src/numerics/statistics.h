// What many draws of one quantity say: quantiles and the band between them.
#pragma once

#include <span>
#include <vector>

#include "base/figure.h"
#include "base/modules.h"

namespace witnessline::numerics {

/// The value below which a share of the draws lies; infinite draws may be among them. Valid: `sorted` rises, not empty.
/// Law: straight between the order statistics on either side of share (n - 1). Source: hyndman1996, definition 7.
double quantile(std::span<const double> sorted, double share);

/// The middle share of the draws. Valid: not empty.
Band central_band(std::vector<double> draws, double share = 0.95);

}  // namespace witnessline::numerics
