#include "body/centreline.h"

namespace witnessline::body {

double centreline_x(const std::vector<std::array<Vec2d, 2>>& lines, double tail_y, double neck_y) {
  constexpr int rows = 120;
  const double step = 0.6 * (neck_y - tail_y) / rows;
  std::vector<double> low(rows, 1e300), high(rows, -1e300), middle;
  for (const auto& [a, b] : lines) {
    // Rows lie off the ends of the lines, so that level lines and corners need no rule.
    const auto row = [&](double y) { return static_cast<int>(std::ceil((y - tail_y) / step - 0.4871)); };
    for (int k = std::max(0, row(std::min(a.y, b.y))); k < std::min(rows, row(std::max(a.y, b.y))); ++k) {
      const double x = a.x + (tail_y + (k + 0.4871) * step - a.y) / (b.y - a.y) * (b.x - a.x);
      low[k] = std::min(low[k], x), high[k] = std::max(high[k], x);
    }
  }
  for (int k = 0; k < rows; ++k)
    if (high[k] > low[k]) middle.push_back(0.5 * (low[k] + high[k]));
  if (middle.empty()) return 0;
  std::sort(middle.begin(), middle.end());
  return 0.5 * (middle[(middle.size() - 1) / 2] + middle[middle.size() / 2]);
}

}  // namespace witnessline::body
