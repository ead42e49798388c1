#include "history/crossings.h"

#include <algorithm>
#include <cmath>

namespace witnessline::history {

Crossings cross(const std::vector<const FineLine*>& lines, Vec2d direction, double apart_px, Vec2d low_corner,
                Vec2d high_corner) {
  Crossings sum;
  const Vec2d along = 1 / length(direction) * direction, aside{-along.y, along.x};
  double from = 1e300, to = -1e300;
  for (const Vec2d corner :
       {low_corner, high_corner, Vec2d{low_corner.x, high_corner.y}, Vec2d{high_corner.x, low_corner.y}})
    from = std::min(from, dot(corner, aside)), to = std::max(to, dot(corner, aside));
  const auto rows = static_cast<std::size_t>(std::max(0.0, std::floor((to - from) / apart_px - 0.5) + 1));
  const auto offset = [&](std::size_t r) { return from + (static_cast<double>(r) + 0.5) * apart_px; };
  // What of each test line lies in the box.
  std::vector<std::pair<double, double>> inside(rows, {-1e300, 1e300});
  for (std::size_t r = 0; r < rows; ++r) {
    double &begin = inside[r].first, &end = inside[r].second;
    const auto clip = [&](double a, double o, double lowest, double highest) {
      // o + t a between the two
      if (std::abs(a) < 1e-12) return;
      const double t0 = (lowest - o) / a, t1 = (highest - o) / a;
      begin = std::max(begin, std::min(t0, t1)), end = std::min(end, std::max(t0, t1));
    };
    clip(along.x, offset(r) * aside.x, low_corner.x, high_corner.x);
    clip(along.y, offset(r) * aside.y, low_corner.y, high_corner.y);
    if (end > begin) sum.test_px += end - begin;
  }
  std::vector<std::vector<double>> at(rows);
  for (const FineLine* line : lines)
    for (std::size_t i = 0; i + 1 < line->path.size(); ++i) {
      const Vec2d a = line->path[i], b = line->path[i + 1];
      const double u = dot(a, aside), v = dot(b, aside);
      if (u == v) continue;
      const double first = (std::min(u, v) - from) / apart_px - 0.5;
      for (auto r = static_cast<std::size_t>(std::max(0.0, std::ceil(first))); r < rows; ++r) {
        const double o = offset(r);
        if (o < std::min(u, v)) continue;
        if (o >= std::max(u, v)) break;
        const double t = dot(a + (o - u) / (v - u) * (b - a), along);
        if (t >= inside[r].first && t < inside[r].second) at[r].push_back(t);
      }
    }
  for (std::vector<double>& row : at) {
    std::sort(row.begin(), row.end());
    sum.count += static_cast<double>(row.size());
    for (std::size_t i = 1; i < row.size(); ++i) sum.gaps_px.push_back(row[i] - row[i - 1]);
  }
  return sum;
}

}  // namespace witnessline::history
