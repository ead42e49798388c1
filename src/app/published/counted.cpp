// Lines counted by test lines, against integral geometry.
#include <cmath>
#include <numbers>

#include "app/published/published.h"
#include "history/crossings.h"

namespace witnessline::app {

namespace {

constexpr int ways = 90;
constexpr double side_px = 1000;

/// Mean over directions of what test lines of each meet.
template <class Of>
double over_all_ways(const std::vector<const FineLine*>& lines, const Of& of) {
  double sum = 0;
  for (int i = 0; i < ways; ++i) {
    const double angle = std::numbers::pi * (i + 0.5) / ways;
    sum += of(cross(lines, {std::cos(angle), std::sin(angle)}, 1, {0, 0}, {side_px, side_px})) / ways;
  }
  return sum;
}

}  // namespace

void add_counted_checks(Registry& registry) {
  registry.add("crossings_of_ruled", {"apart_px"}, [](const Numbers& in) {
    std::vector<FineLine> ruled;
    for (double y = 0.5 * in["apart_px"]; y < side_px; y += in["apart_px"])
      ruled.push_back({{{0, y}, {side_px, y}}, side_px, 0, 0});
    std::vector<const FineLine*> lines;
    for (const FineLine& line : ruled) lines.push_back(&line);
    return over_all_ways(lines, [&](const Crossings& c) { return c.count / c.test_px * in["apart_px"]; });
  });
  registry.add("crossings_of_circle", {"radius_px"}, [](const Numbers& in) {
    FineLine circle;
    constexpr int corners = 720;
    for (int i = 0; i <= corners; ++i) {
      const double angle = 2 * std::numbers::pi * i / corners;
      circle.path.push_back(
          {side_px / 2 + in["radius_px"] * std::cos(angle), side_px / 2 + in["radius_px"] * std::sin(angle)});
    }
    return over_all_ways({&circle}, [](const Crossings& c) { return std::numbers::pi / 2 * c.count; });
  });
}

}  // namespace witnessline::app
