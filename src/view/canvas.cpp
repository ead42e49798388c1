#include "view/canvas.h"

#include <algorithm>
#include <cmath>

#include "view/studio.h"

namespace witnessline {
namespace {

constexpr double in_front_m = 1.5e-3;  // a mark this far behind the surface seen is hidden

/// Three passes of a running mean come close to a bell.
void blur(std::vector<float>& values, int width, int height, int reach) {
  std::vector<float> line;
  const auto pass = [&](int count, int stride, std::size_t start) {
    line.resize(static_cast<std::size_t>(count));
    for (int i = 0; i < count; ++i)
      line[static_cast<std::size_t>(i)] = values[start + static_cast<std::size_t>(i * stride)];
    double sum = 0;
    for (int i = -reach; i <= reach; ++i) sum += line[static_cast<std::size_t>(std::clamp(i, 0, count - 1))];
    for (int i = 0; i < count; ++i) {
      values[start + static_cast<std::size_t>(i * stride)] = static_cast<float>(sum / (2 * reach + 1));
      sum += line[static_cast<std::size_t>(std::min(i + reach + 1, count - 1))] -
             line[static_cast<std::size_t>(std::max(i - reach, 0))];
    }
  };
  for (int times = 0; times < 3; ++times) {
    for (int y = 0; y < height; ++y) pass(width, 1, static_cast<std::size_t>(y * width));
    for (int x = 0; x < width; ++x) pass(height, width, static_cast<std::size_t>(x));
  }
}

}  // namespace

Canvas::Canvas(const StillSize& size) : size_(size), pixels_(static_cast<std::size_t>(size.width) * size.height) {}

void Canvas::add(std::size_t pixel, const std::array<float, 3>& linear, float distance_m) {
  Pixel& p = pixels_[pixel];
  const float share = 1.0f / static_cast<float>(size_.samples);
  for (std::size_t c = 0; c < 3; ++c) p.linear[c] += share * linear[c];
  p.covered += share;
  p.distance_m = p.distance_m == 0 ? distance_m : std::min(p.distance_m, distance_m);
}

std::vector<float> Canvas::shadow() const {
  const int shrink = 4, width = (size_.width + shrink - 1) / shrink, height = (size_.height + shrink - 1) / shrink;
  std::vector<float> near(static_cast<std::size_t>(width) * height);
  for (int y = 0; y < height; ++y)
    for (int x = 0; x < width; ++x) {
      const int px = std::min(x * shrink + 2, size_.width - 1), py = std::min(y * shrink + 2, size_.height - 1);
      near[static_cast<std::size_t>(y * width + x)] = pixels_[static_cast<std::size_t>(py * size_.width + px)].covered;
    }
  std::vector<float> wide = near;
  const double unit = std::max(width, height) / 300.0;
  blur(near, width, height, std::max(1, static_cast<int>(2 * unit)));
  blur(wide, width, height, std::max(2, static_cast<int>(9 * unit)));
  const auto at = [&](const std::vector<float>& v, double x, double y) {
    x = std::clamp(x, 0.0, width - 1.001), y = std::clamp(y, 0.0, height - 1.001);
    const int i = static_cast<int>(x), j = static_cast<int>(y);
    const double s = x - i, t = y - j;
    const auto value = [&](int a, int b) {
      return v[static_cast<std::size_t>(std::min(b, height - 1) * width + std::min(a, width - 1))];
    };
    return (value(i, j) * (1 - s) + value(i + 1, j) * s) * (1 - t) +
           (value(i, j + 1) * (1 - s) + value(i + 1, j + 1) * s) * t;
  };
  std::vector<float> shade(pixels_.size());
  for (int y = 0; y < size_.height; ++y)
    for (int x = 0; x < size_.width; ++x) {
      const double sx = (x - 1.5) / shrink, sy = (y - 1.5) / shrink;
      const double dark =
          0.26 * at(near, sx - 1.2 * unit, sy - 2.2 * unit) + 0.40 * at(wide, sx - 5 * unit, sy - 8 * unit);
      shade[static_cast<std::size_t>(y * size_.width + x)] = static_cast<float>(1 - dark);
    }
  return shade;
}

void Canvas::lay_on_backdrop() {
  const std::vector<float> shade = shadow();
  for (int y = 0; y < size_.height; ++y)
    for (int x = 0; x < size_.width; ++x) {
      const auto i = static_cast<std::size_t>(y * size_.width + x);
      Pixel& p = pixels_[i];
      if (p.covered >= 0.9999f) continue;
      const auto card = static_cast<float>(backdrop((x + 0.5) / size_.width, 1 - (y + 0.5) / size_.height)) * shade[i];
      for (float& c : p.linear) c += (1 - p.covered) * card;
    }
}

void Canvas::draw_line(const Camera::Seen& from, const Camera::Seen& to, double width_px, double gain) {
  const double length_px = std::hypot(to.x_px - from.x_px, to.y_px - from.y_px);
  // Half-pixel dabs; a line thinner than a pixel is as much fainter as it is thinner.
  const int dabs = std::max(1, static_cast<int>(std::ceil(length_px * 2)));
  const double reach = std::max(0.6, width_px / 2), strength = std::min(1.0, std::max(width_px, 0.25)) * 0.5;
  for (int d = 0; d < dabs; ++d) {
    const double s = (d + 0.5) / dabs, x = from.x_px + s * (to.x_px - from.x_px),
                 y = from.y_px + s * (to.y_px - from.y_px);
    const double distance_m = from.distance_m + s * (to.distance_m - from.distance_m);
    for (int py = static_cast<int>(std::floor(y - reach)); py <= static_cast<int>(std::floor(y + reach)); ++py)
      for (int px = static_cast<int>(std::floor(x - reach)); px <= static_cast<int>(std::floor(x + reach)); ++px) {
        if (px < 0 || py < 0 || px >= size_.width || py >= size_.height) continue;
        Pixel& p = pixels_[static_cast<std::size_t>(py * size_.width + px)];
        if (p.covered < 0.5f || distance_m > p.distance_m + in_front_m) continue;
        const double away = std::hypot(px + 0.5 - x, py + 0.5 - y);
        const double cover = std::clamp(reach + 0.5 - away, 0.0, 1.0) * strength;
        for (float& c : p.linear) c = static_cast<float>(c * (1 - cover + cover * gain));
      }
  }
}

void Canvas::draw_marks(const Film& film, const Body& body, const Camera& camera) {
  for (const Mark& mark : *film.marks) {
    std::vector<Camera::Seen> seen;
    for (const SurfacePoint& point : mark.path) seen.push_back(camera.project(body.position(point)));
    if (seen.empty()) continue;
    if (seen.size() == 1) seen.push_back(seen.front());
    const double width_px = mark.width_m / camera.pixel_m();
    // A cut holds dirt and shadow; a ridge catches the window on one side and shades the other.
    const double gain = mark.kind == MarkKind::check ? 0.45 : mark.kind == MarkKind::scratch ? 0.7 : 0.6;
    for (std::size_t i = 0; i + 1 < seen.size(); ++i) {
      if (mark.kind != MarkKind::tape_ridge) {
        draw_line(seen[i], seen[i + 1], width_px, gain);
        continue;
      }
      const double off = std::max(0.5, width_px / 2);
      Camera::Seen a = seen[i], b = seen[i + 1];
      draw_line({a.x_px - 0.7 * off, a.y_px - 0.7 * off, a.distance_m},
                {b.x_px - 0.7 * off, b.y_px - 0.7 * off, b.distance_m}, width_px, 1.25);
      draw_line({a.x_px + 0.7 * off, a.y_px + 0.7 * off, a.distance_m},
                {b.x_px + 0.7 * off, b.y_px + 0.7 * off, b.distance_m}, width_px, 0.7);
    }
  }
}

Image Canvas::image() const {
  static const auto table = [] {
    std::vector<std::uint8_t> t(8193);
    for (std::size_t i = 0; i < t.size(); ++i)
      t[i] = static_cast<std::uint8_t>(std::lround(255 * srgb_encode(static_cast<double>(i) / 8192)));
    return t;
  }();
  Image image{size_.width, size_.height, {}};
  image.rgb.reserve(3 * pixels_.size());
  for (const Pixel& p : pixels_)
    for (const float c : p.linear)
      image.rgb.push_back(table[static_cast<std::size_t>(std::clamp(c, 0.0f, 1.0f) * 8192 + 0.5f)]);
  return image;
}

}  // namespace witnessline
