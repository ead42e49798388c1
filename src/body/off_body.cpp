#include "body/off_body.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "body/vec.h"

namespace witnessline::body {

std::optional<Error> off_body(const Patch& p, const Body& body, const std::string& key) {
  Box3 box;
  for (const Vec3 v : body.positions()) box.add(v);
  const double to_x = p.to_x_m.value_or(p.x_m), to_y = p.to_y_m.value_or(p.y_m);
  const double beside = std::max({std::min(p.x_m, to_x) - box.high.x, box.low.x - std::max(p.x_m, to_x),
                                  std::min(p.y_m, to_y) - box.high.y, box.low.y - std::max(p.y_m, to_y)});
  if (beside <= p.radius_m) return std::nullopt;
  const auto mm = [](float m) { return std::round(static_cast<double>(m) * 1e3) + 0.0; };  // never "-0"
  return Error{
      fmt::format("x {:.0f} mm, y {:.0f} mm is {:.0f} mm off the body", p.x_m * 1e3, p.y_m * 1e3, beside * 1e3),
      {"", 0, 0, key},
      fmt::format("x {:.0f} to {:.0f} mm, y {:.0f} to {:.0f} mm", mm(box.low.x), mm(box.high.x), mm(box.low.y),
                  mm(box.high.y)),
      "x counts from the centreline, y from the tail end"};
}

}  // namespace witnessline::body
