#include "history/fine_lines.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <functional>
#include <numbers>
#include <optional>

#include "base/parallel.h"
#include "colour/colour.h"

namespace witnessline::history {

namespace {

constexpr double pi = std::numbers::pi;
constexpr int directions = 16;
constexpr std::array<double, 2> scales_px{1.0, 2.0};
constexpr int reach_px = 10;          // half the way a line is averaged over
constexpr int gap_px = 8;             // a break no longer than this is the same line
constexpr float high = 6, low = 3.5;  // ESTIMATE: in scatters
constexpr double least_contrast =
    0.04;  // ESTIMATE: of a line one pixel wide; fainter ones drown in steps of 8 bits and JPEG
constexpr double ground_px = 12;
constexpr int rows_a_chunk = 16;

using Kernel = std::vector<float>;
enum class Derivative { none, first, second };

Kernel kernel(double sigma_px, Derivative of) {
  const int r = static_cast<int>(std::ceil(3.5 * sigma_px));
  Kernel k;
  double sum = 0;
  for (int i = -r; i <= r; ++i) sum += std::exp(-0.5 * i * i / (sigma_px * sigma_px));
  for (int i = -r; i <= r; ++i) {
    const double u = i / sigma_px, g = std::exp(-0.5 * u * u) / sum;
    k.push_back(static_cast<float>(of == Derivative::none    ? g
                                   : of == Derivative::first ? u / sigma_px * g
                                                             : (u * u - 1) / (sigma_px * sigma_px) * g));
  }
  return k;
}

void over_rows(int height, const std::function<void(int)>& row) {
  for_chunks(static_cast<std::size_t>(height), rows_a_chunk, [&](std::size_t begin, std::size_t end) {
    for (std::size_t y = begin; y < end; ++y) row(static_cast<int>(y));
  });
}

Plane empty_like(const Plane& p) { return {p.width, p.height, std::vector<float>(p.at.size(), 0.0f)}; }

/// Along rows, then down columns; the rim repeats the last pixel.
Plane filtered(const Plane& in, const Kernel& across, const Kernel& down) {
  Plane half = empty_like(in), out = empty_like(in);
  const int w = in.width, h = in.height;
  const int ra = static_cast<int>(across.size()) / 2, rd = static_cast<int>(down.size()) / 2;
  over_rows(h, [&](int y) {
    std::vector<float> padded(static_cast<std::size_t>(w + 2 * ra));
    for (int x = -ra; x < w + ra; ++x) padded[static_cast<std::size_t>(x + ra)] = in(std::clamp(x, 0, w - 1), y);
    float* to = half.row(y);
    for (std::size_t k = 0; k < across.size(); ++k)
      for (int x = 0; x < w; ++x) to[x] += across[k] * padded[static_cast<std::size_t>(x) + k];
  });
  over_rows(h, [&](int y) {
    float* to = out.row(y);
    for (int k = -rd; k <= rd; ++k) {
      const float* from = half.row(std::clamp(y + k, 0, h - 1));
      const float weight = down[static_cast<std::size_t>(k + rd)];
      for (int x = 0; x < w; ++x) to[x] += weight * from[x];
    }
  });
  return out;
}

/// Standard deviation of most of a plane, whatever lines stand in it.
double scatter(const Plane& p, int margin) {
  std::vector<float> sample;
  const std::size_t step = std::max<std::size_t>(1, p.at.size() / 40000);
  std::size_t n = 0;
  for (int y = margin; y < p.height - margin; ++y)
    for (int x = margin; x < p.width - margin; ++x)
      if (n++ % step == 0) sample.push_back(std::abs(p(x, y)));
  if (sample.empty()) return 0;
  std::nth_element(sample.begin(), sample.begin() + static_cast<long>(sample.size() / 2), sample.end());
  return static_cast<double>(sample[sample.size() / 2]) / 0.6745;
}

/// How far each pixel stands out as part of a line, in scatters, and which way that line goes.
struct Standing {
  Plane out;
  std::vector<std::uint8_t> way;
};
struct Standings {
  Standing dark, pale;
  int margin = 0;
  double least_dark_px = 1e300;
};

Standings standings_of(const Plane& in) {
  const Standing none{empty_like(in), std::vector<std::uint8_t>(in.at.size(), 0)};
  Standings s{none, none, reach_px + 1};
  const int w = in.width, h = in.height, m = s.margin;
  Plane bent = empty_like(in), mean = empty_like(in);
  for (const double sigma : scales_px) {
    const Kernel g = kernel(sigma, Derivative::none), g1 = kernel(sigma, Derivative::first),
                 g2 = kernel(sigma, Derivative::second);
    const Plane xx = filtered(in, g2, g), xy = filtered(in, g1, g1), yy = filtered(in, g, g2);
    const double of_thin = std::sqrt(2 * pi) * sigma * sigma * sigma;  // contrast x width over the second derivative
    double mean_scatter = 0;
    for (int d = 0; d < directions; ++d) {
      const double c = std::cos(pi * d / directions), sn = std::sin(pi * d / directions);
      over_rows(h, [&](int y) {
        const auto a = static_cast<float>(sn * sn), b = static_cast<float>(-2 * sn * c), e = static_cast<float>(c * c);
        float* to = bent.row(y);
        const float *x2 = xx.row(y), *x1 = xy.row(y), *y2 = yy.row(y);
        for (int x = 0; x < w; ++x) to[x] = a * x2[x] + b * x1[x] + e * y2[x];
      });
      over_rows(h, [&](int y) {
        if (y < m || y >= h - m) return;
        float* to = mean.row(y) + m;
        constexpr float share = 1.0f / (2 * reach_px + 1);
        std::fill(to, to + (w - 2 * m), 0.0f);
        for (int t = -reach_px; t <= reach_px; ++t) {
          const float* from = bent.row(y + static_cast<int>(std::lround(t * sn))) + m + std::lround(t * c);
          for (int x = 0; x < w - 2 * m; ++x) to[x] += share * from[x];
        }
      });
      const double spread = std::max(scatter(mean, m), least_contrast / (static_cast<double>(high) * of_thin));
      mean_scatter += spread / directions;
      const auto per = static_cast<float>(1 / spread);
      const auto way = static_cast<std::uint8_t>(d);
      over_rows(h, [&](int y) {
        const float* from = mean.row(y);
        const std::size_t start = static_cast<std::size_t>(y) * static_cast<std::size_t>(w);
        const auto keep = [&](Standing& of, float sign) {
          float* most = of.out.row(y);
          std::uint8_t* ways = &of.way[start];
          for (int x = 0; x < w; ++x) {
            const float out = sign * from[x];
            ways[x] = out > most[x] ? way : ways[x];
            most[x] = std::max(most[x], out);
          }
        };
        keep(s.dark, per), keep(s.pale, -per);
      });
    }
    s.least_dark_px = std::min(s.least_dark_px, static_cast<double>(high) * mean_scatter * of_thin);
  }
  return s;
}

double bilinear(const Plane& p, double x, double y) {
  x = std::clamp(x, 0.0, p.width - 1.001), y = std::clamp(y, 0.0, p.height - 1.001);
  const int i = static_cast<int>(x), j = static_cast<int>(y);
  const auto u = static_cast<float>(x - i), v = static_cast<float>(y - j);
  return static_cast<double>((1 - v) * ((1 - u) * p(i, j) + u * p(i + 1, j)) +
                             v * ((1 - u) * p(i, j + 1) + u * p(i + 1, j + 1)));
}

class Tracing {
 public:
  Tracing(const Standing& s, int margin)
      : s_(s), margin_(margin), crest_(s.out.at.size(), 0), taken_(s.out.at.size(), 0) {
    const Plane& out = s.out;
    over_rows(out.height, [&](int y) {
      if (y < margin_ || y >= out.height - margin_) return;
      for (int x = margin_; x < out.width - margin_; ++x) {
        const float here = out(x, y);
        if (here < low) continue;
        const double a = angle(x, y), nx = -std::sin(a), ny = std::cos(a);
        crest_[index(x, y)] = static_cast<double>(here) > bilinear(out, x + nx, y + ny) &&
                              static_cast<double>(here) >= bilinear(out, x - nx, y - ny);
      }
    });
  }

  std::vector<std::vector<Vec2d>> all() {
    std::vector<std::uint32_t> seeds;
    for (std::uint32_t i = 0; i < crest_.size(); ++i)
      if (crest_[i] && s_.out.at[i] > high) seeds.push_back(i);
    std::stable_sort(seeds.begin(), seeds.end(),
                     [&](std::uint32_t a, std::uint32_t b) { return s_.out.at[a] > s_.out.at[b]; });
    std::vector<std::vector<Vec2d>> paths;
    const auto w = static_cast<std::uint32_t>(s_.out.width);
    for (const std::uint32_t seed : seeds) {
      if (taken_[seed]) continue;
      const Vec2d start{static_cast<double>(seed % w), static_cast<double>(seed / w)};
      const double a = angle(static_cast<int>(start.x), static_cast<int>(start.y));
      std::vector<Vec2d> back = followed(start, {-std::cos(a), -std::sin(a)});
      const std::vector<Vec2d> on = followed(start, {std::cos(a), std::sin(a)});
      std::reverse(back.begin(), back.end());
      back.push_back(start);
      back.insert(back.end(), on.begin(), on.end());
      for (const Vec2d& p : back)  // one pixel to each side is the same line
        for (int dy = -1; dy <= 1; ++dy)
          for (int dx = -1; dx <= 1; ++dx) taken_[index(static_cast<int>(p.x) + dx, static_cast<int>(p.y) + dy)] = 1;
      paths.push_back(std::move(back));
    }
    return paths;
  }

 private:
  std::size_t index(int x, int y) const {
    return static_cast<std::size_t>(y) * static_cast<std::size_t>(s_.out.width) + static_cast<std::size_t>(x);
  }
  double angle(int x, int y) const { return pi * s_.way[index(x, y)] / directions; }

  std::vector<Vec2d> followed(Vec2d from, Vec2d ahead) {
    std::vector<Vec2d> path;
    constexpr std::size_t heading_points = 6;
    const double most_turn = std::cos(35 * pi / 180);
    std::vector<std::size_t> mine;
    for (Vec2d at = from;;) {
      std::optional<Vec2d> next;
      for (int r = 1; r <= gap_px && !next; ++r) {
        float best = low;
        const int aside = std::max(1, static_cast<int>(0.36 * r));
        for (int l = -aside; l <= aside; ++l) {
          const int x = static_cast<int>(std::lround(at.x + r * ahead.x - l * ahead.y));
          const int y = static_cast<int>(std::lround(at.y + r * ahead.y + l * ahead.x));
          if (x < margin_ || y < margin_ || x >= s_.out.width - margin_ || y >= s_.out.height - margin_) continue;
          const std::size_t i = index(x, y);
          if (!crest_[i] || taken_[i] || s_.out.at[i] <= best) continue;
          const double a = angle(x, y);
          if (std::abs(std::cos(a) * ahead.x + std::sin(a) * ahead.y) < most_turn) continue;
          best = s_.out.at[i], next = Vec2d{static_cast<double>(x), static_cast<double>(y)};
        }
      }
      if (!next) break;
      taken_[index(static_cast<int>(next->x), static_cast<int>(next->y))] = 1;
      path.push_back(*next);
      at = *next;
      const Vec2d behind = path.size() > heading_points ? path[path.size() - 1 - heading_points] : from;
      const Vec2d run = at - behind;
      if (path.size() >= 3 && length(run) > 0) ahead = 1 / length(run) * run;
    }
    return path;
  }

  const Standing& s_;
  int margin_;
  std::vector<std::uint8_t> crest_, taken_;
};

/// A path on pixels made smooth: the mean of seven, one of four kept, so that its steps do not add to its length.
std::vector<Vec2d> smooth(const std::vector<Vec2d>& path) {
  std::vector<Vec2d> out;
  const int n = static_cast<int>(path.size());
  for (int i = 0; i < n; i += (i + 4 < n || i == n - 1) ? 4 : n - 1 - i) {
    const int r = std::min({3, i, n - 1 - i});
    Vec2d sum;
    for (int k = i - r; k <= i + r; ++k) sum = sum + path[static_cast<std::size_t>(k)];
    out.push_back(1.0 / (2 * r + 1) * sum);
    if (i == n - 1) break;
  }
  return out;
}

/// Contrast and width, from the mean profile across the line.
void measure(FineLine& line, const Plane& in) {
  constexpr int wide = 8, rim = 6;
  std::array<double, 2 * wide + 1> profile{};
  double n = 0;
  for (std::size_t i = 0; i + 1 < line.path.size(); ++i) {
    const Vec2d a = line.path[i], run = line.path[i + 1] - a;
    const double l = length(run);
    line.length_px += l;
    if (!(l > 0)) continue;
    const Vec2d across{-run.y / l, run.x / l};
    // Whole pixels off, the crest is found anew on the profile: a mean over unaligned ones would be too wide.
    const Vec2d middle = a + 0.5 * run;
    double low_at = 0, lowest = 1e300;
    for (int k = -2; k <= 2; ++k)
      if (const double v = bilinear(in, middle.x + 0.5 * k * across.x, middle.y + 0.5 * k * across.y); v < lowest)
        lowest = v, low_at = 0.5 * k;
    for (int k = -wide; k <= wide; ++k)
      profile[static_cast<std::size_t>(k + wide)] +=
          bilinear(in, middle.x + (low_at + k) * across.x, middle.y + (low_at + k) * across.y);
    ++n;
  }
  if (!(n > 0)) return;
  double ground = 0;
  for (int k = rim; k <= wide; ++k)
    ground += (profile[static_cast<std::size_t>(wide + k)] + profile[static_cast<std::size_t>(wide - k)]) /
              (2 * (wide - rim + 1));
  line.contrast = std::max(0.0, (ground - profile[wide]) / n);
  double area = 0;
  for (int k = -rim; k <= rim; ++k) area += (ground - profile[static_cast<std::size_t>(wide + k)]) / n;
  line.width_px = line.contrast > 0 ? std::max(0.5, area / line.contrast) : 0;
}

}  // namespace

Plane ground_evened(const Image& image) {
  std::array<float, 256> decoded;
  for (std::size_t i = 0; i < decoded.size(); ++i) decoded[i] = static_cast<float>(srgb_decode(i / 255.0));
  Plane light{image.width, image.height, std::vector<float>(image.rgb.size() / 3)};
  constexpr float dark = 0.002f;  // the noise of the darkest parts is not to be drawn out to lines
  over_rows(image.height, [&](int y) {
    const std::uint8_t* p = &image.rgb[3 * static_cast<std::size_t>(y) * static_cast<std::size_t>(image.width)];
    for (int x = 0; x < image.width; ++x, p += 3)
      light(x, y) = 0.2126f * decoded[p[0]] + 0.7152f * decoded[p[1]] + 0.0722f * decoded[p[2]] + dark;
  });
  const Kernel wide = kernel(ground_px, Derivative::none);
  const Plane ground = filtered(light, wide, wide);
  over_rows(image.height, [&](int y) {
    for (int x = 0; x < image.width; ++x) light(x, y) = std::log(light(x, y) / ground(x, y));
  });
  return light;
}

FineLines fine_lines(const Plane& in, double least_length_px) {
  FineLines found;
  const Standings s = standings_of(in);
  found.margin_px = s.margin, found.least_dark_px = s.least_dark_px;
  if (in.width <= 2 * s.margin || in.height <= 2 * s.margin) return found;
  const auto trace = [&](const Standing& standing, const Plane& dark) {
    std::vector<FineLine> lines;
    for (const std::vector<Vec2d>& path : Tracing(standing, s.margin).all()) {
      if (length(path.back() - path.front()) < 0.5 * least_length_px) continue;
      FineLine line;
      line.path = smooth(path);
      measure(line, dark);
      if (line.length_px >= least_length_px && line.contrast > 0) lines.push_back(std::move(line));
    }
    return lines;
  };
  found.dark = trace(s.dark, in);
  Plane turned = in;
  for (float& v : turned.at) v = -v;
  found.pale = trace(s.pale, turned);
  return found;
}

void lay_into(Plane& p, const FineLine& line) {
  const double sigma = line.width_px / std::sqrt(2 * pi), out = 3.5 * sigma + 1;
  // The deepest of all segments at a pixel, so that joints do not add up.
  std::vector<std::pair<std::size_t, float>> deep;
  for (std::size_t i = 0; i + 1 < line.path.size(); ++i) {
    const Vec2d a = line.path[i], run = line.path[i + 1] - a;
    const double l2 = dot(run, run);
    const int x0 = std::max(0, static_cast<int>(std::min(a.x, a.x + run.x) - out)),
              x1 = std::min(p.width - 1, static_cast<int>(std::max(a.x, a.x + run.x) + out)),
              y0 = std::max(0, static_cast<int>(std::min(a.y, a.y + run.y) - out)),
              y1 = std::min(p.height - 1, static_cast<int>(std::max(a.y, a.y + run.y) + out));
    for (int y = y0; y <= y1; ++y)
      for (int x = x0; x <= x1; ++x) {
        const Vec2d d = Vec2d{static_cast<double>(x), static_cast<double>(y)} - a;
        const double t = l2 > 0 ? std::clamp(dot(d, run) / l2, 0.0, 1.0) : 0;
        const double off = length(d - t * run);
        if (off < out)
          deep.emplace_back(
              static_cast<std::size_t>(y) * static_cast<std::size_t>(p.width) + static_cast<std::size_t>(x),
              static_cast<float>(line.contrast * std::exp(-0.5 * off * off / (sigma * sigma))));
      }
  }
  std::sort(deep.begin(), deep.end(),
            [](const auto& a, const auto& b) { return a.first != b.first ? a.first < b.first : a.second > b.second; });
  for (std::size_t i = 0; i < deep.size(); ++i)
    if (i == 0 || deep[i].first != deep[i - 1].first) p.at[deep[i].first] -= deep[i].second;
}

}  // namespace witnessline::history
