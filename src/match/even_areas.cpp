#include "match/even_areas.h"

#include <algorithm>
#include <cmath>

namespace witnessline::match {

namespace {

constexpr int looked_at_px = 900;  // longest side: patches of a chart a tenth of the picture wide still count 15 pixels

// The picture smaller by a whole factor; each pixel a mean, so that noise falls too.
struct Smaller {
  int width = 0, height = 0, factor = 1;
  std::vector<float> rgb;
  float at(int x, int y, int c) const { return rgb[static_cast<std::size_t>(3 * (y * width + x) + c)]; }
};

Smaller smaller(const Image& image) {
  Smaller s;
  s.factor = std::max(1, (std::max(image.width, image.height) + looked_at_px - 1) / looked_at_px);
  s.width = image.width / s.factor, s.height = image.height / s.factor;
  s.rgb.resize(static_cast<std::size_t>(3 * s.width * s.height));
  for (int y = 0; y < s.height; ++y)
    for (int x = 0; x < s.width; ++x)
      for (int c = 0; c < 3; ++c) {
        int sum = 0;
        for (int dy = 0; dy < s.factor; ++dy)
          for (int dx = 0; dx < s.factor; ++dx)
            sum += image.rgb[3 * (static_cast<std::size_t>(y * s.factor + dy) * static_cast<std::size_t>(image.width) +
                                  static_cast<std::size_t>(x * s.factor + dx)) +
                             static_cast<std::size_t>(c)];
        s.rgb[static_cast<std::size_t>(3 * (y * s.width + x) + c)] =
            static_cast<float>(sum) / static_cast<float>(s.factor * s.factor);
      }
  return s;
}

Smaller smoothed(const Smaller& from) {
  Smaller s = from;
  for (int y = 1; y + 1 < s.height; ++y)
    for (int x = 1; x + 1 < s.width; ++x)
      for (int c = 0; c < 3; ++c) {
        float sum = 0;
        for (int dy = -1; dy <= 1; ++dy)
          for (int dx = -1; dx <= 1; ++dx) sum += from.at(x + dx, y + dy, c);
        s.rgb[static_cast<std::size_t>(3 * (y * s.width + x) + c)] = sum / 9;
      }
  return s;
}

}  // namespace

std::vector<EvenArea> even_areas(const Image& image, double steepest) {
  Smaller s = smaller(image);
  if (std::min(s.width, s.height) < 16) return {};
  if (std::min(s.width, s.height) > 300) s = smoothed(s);
  const auto place = [&](int x, int y) { return static_cast<std::size_t>(y * s.width + x); };
  std::vector<char> even(static_cast<std::size_t>(s.width * s.height), 0);
  for (int y = 1; y + 1 < s.height; ++y)
    for (int x = 1; x + 1 < s.width; ++x) {
      float slope = 0;
      for (int c = 0; c < 3; ++c)
        slope = std::max(
            {slope, std::abs(s.at(x + 1, y, c) - s.at(x - 1, y, c)), std::abs(s.at(x, y + 1, c) - s.at(x, y - 1, c))});
      even[place(x, y)] = slope < steepest;
    }
  std::vector<EvenArea> areas;
  std::vector<std::pair<int, int>> stack;
  const double largest_px2 = s.width * s.height / 24.0;
  for (int y0 = 0; y0 < s.height; ++y0)
    for (int x0 = 0; x0 < s.width; ++x0) {
      if (!even[place(x0, y0)]) continue;
      double n = 0, sx = 0, sy = 0, sxx = 0, sxy = 0, syy = 0;
      stack.assign(1, {x0, y0});
      even[place(x0, y0)] = 0;
      while (!stack.empty()) {
        const auto [x, y] = stack.back();
        stack.pop_back();
        n += 1, sx += x, sy += y, sxx += x * x, sxy += x * y, syy += y * y;
        for (const auto& [dx, dy] : {std::pair{1, 0}, {-1, 0}, {0, 1}, {0, -1}}) {
          const int nx = x + dx, ny = y + dy;
          if (nx < 0 || ny < 0 || nx >= s.width || ny >= s.height || !even[place(nx, ny)]) continue;
          even[place(nx, ny)] = 0;
          stack.push_back({nx, ny});
        }
      }
      if (n < 20 || n > largest_px2) continue;
      const double mx = sx / n, my = sy / n;
      const double cxx = sxx / n - mx * mx + 1.0 / 12, cyy = syy / n - my * my + 1.0 / 12, cxy = sxy / n - mx * my;
      // A filled parallelogram has 12 sqrt(det) of its second moments as area, an ellipse 4 pi; rings and bars do not.
      const double fullness = n / (12 * std::sqrt(std::max(cxx * cyy - cxy * cxy, 1e-9)));
      const double middle = (cxx + cyy) / 2, off = std::hypot((cxx - cyy) / 2, cxy);
      if (fullness < 0.8 || fullness > 1.15 || (middle + off) > 9 * (middle - off)) continue;
      const double f = s.factor;
      areas.push_back({{f * (mx + 0.5) - 0.5, f * (my + 0.5) - 0.5}, n * f * f});
    }
  return areas;
}

}  // namespace witnessline::match
