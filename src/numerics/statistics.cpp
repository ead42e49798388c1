#include "numerics/statistics.h"

#include <algorithm>
#include <cmath>

#include "base/result.h"

namespace witnessline::numerics {

double quantile(std::span<const double> sorted, double share) {
  expects(!sorted.empty() && share >= 0 && share <= 1, "a share of some draws");
  const double rank = share * static_cast<double>(sorted.size() - 1);
  const auto below = static_cast<std::size_t>(rank);
  const double low = sorted[below], high = sorted[std::min(below + 1, sorted.size() - 1)];
  const double way = rank - static_cast<double>(below);
  return way == 0 || low == high ? low : low + way * (high - low);
}

Band central_band(std::vector<double> draws, double share) {
  std::sort(draws.begin(), draws.end());
  return {quantile(draws, 0.5 * (1 - share)), quantile(draws, 0.5 * (1 + share))};
}

}  // namespace witnessline::numerics
