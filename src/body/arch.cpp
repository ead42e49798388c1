#include "body/arch.h"

namespace witnessline::body {
namespace {

// ESTIMATE: a flange about a tenth as wide as the half width, then an even rise; and a summit ridge that keeps most of
// its height towards the narrower end, as carved plates do.
constexpr double flange = 0.10, fullness = 0.5;

}  // namespace

// Law: the membrane under even pressure, laplacian(u) = -1 with u = 0 on the edge, solved by over-relaxation on a 2 mm
// grid; where the edge passes between nodes the outer node takes the linear ghost value, so u is second order there.
Arch::Arch(const Outline& outline, double margin_m) {
  const double pad = 4 * step_m_;
  low_ = outline.low() - Vec2d{pad, pad};
  const Vec2d span = outline.high() - outline.low();
  nx_ = static_cast<int>((span.x + 2 * pad) / step_m_) + 2;
  ny_ = static_cast<int>((span.y + 2 * pad) / step_m_) + 2;
  const auto n = static_cast<std::size_t>(nx_) * ny_;
  std::vector<double> depth(n);
  for (std::size_t i = 0; i < n; ++i)
    depth[i] =
        -(outline.at(low_ + step_m_ * Vec2d{double(i % nx_), static_cast<double>(i / nx_)}).distance_m + margin_m);
  sag_.assign(n, 0);
  const std::array<std::ptrdiff_t, 4> beside{1, -1, nx_, -nx_};
  struct Node {
    std::size_t at;
    double diagonal;
  };
  std::vector<Node> inside;
  const auto share = [&](std::size_t i, std::size_t j) {  // how far from i towards j the edge lies
    return std::max(0.05, depth[i] / (depth[i] - depth[j]));
  };
  for (std::size_t i = 0; i < n; ++i) {
    if (depth[i] <= 0) continue;
    double diagonal = 0;
    for (const auto step : beside) diagonal += depth[i + step] > 0 ? 1 : 1 / share(i, i + step);
    inside.push_back({i, diagonal});
  }
  const double over = 2 / (1 + 3.14159265358979 / std::min(nx_, ny_));
  for (int sweep = 0; sweep < 4000; ++sweep) {
    double change = 0, most = 0;
    for (const Node& node : inside) {
      double sum = step_m_ * step_m_;
      for (const auto step : beside)
        if (depth[node.at + step] > 0) sum += sag_[node.at + step];
      const double delta = over * (sum / node.diagonal - sag_[node.at]);
      sag_[node.at] += delta;
      change = std::max(change, std::abs(delta));
      most = std::max(most, sag_[node.at]);
    }
    if (change < 1e-9 * most) break;
  }
  // Three rings outside by straight continuation, so that interpolation near the edge sees no kink.
  std::vector<std::uint8_t> known(n, 0);
  for (const Node& node : inside) known[node.at] = 1;
  for (int ring = 0; ring < 3; ++ring) {
    std::vector<std::pair<std::size_t, double>> found;
    for (int y = 2; y < ny_ - 2; ++y)
      for (int x = 2; x < nx_ - 2; ++x) {
        const std::size_t i = static_cast<std::size_t>(y) * nx_ + x;
        if (known[i]) continue;
        double sum = 0;
        int count = 0;
        for (const auto step : beside)
          if (known[i + step] && known[i + 2 * step]) sum += 2 * sag_[i + step] - sag_[i + 2 * step], ++count;
        if (count > 0) found.emplace_back(i, sum / count);
      }
    for (const auto& [i, value] : found) sag_[i] = value, known[i] = 1;
  }
  summit_ = 0;
  for (const Node& node : inside) summit_ = std::max(summit_, sag_[node.at]);
  if (summit_ <= 0) summit_ = 1;
}

ArchSample Arch::at(Vec2d p) const {
  const double gx = (p.x - low_.x) / step_m_, gy = (p.y - low_.y) / step_m_;
  if (!(gx >= 1 && gy >= 1 && gx < nx_ - 2 && gy < ny_ - 2)) return {};
  const int ix = static_cast<int>(gx), iy = static_cast<int>(gy);
  const auto weights = [](double t, double* w, double* d) {  // uniform cubic B-spline and its derivative
    const double s = 1 - t;
    w[0] = s * s * s / 6, w[1] = (4 - 6 * t * t + 3 * t * t * t) / 6;
    w[2] = (4 - 6 * s * s + 3 * s * s * s) / 6, w[3] = t * t * t / 6;
    d[0] = -s * s / 2, d[1] = (-12 * t + 9 * t * t) / 6, d[2] = (12 * s - 9 * s * s) / 6, d[3] = t * t / 2;
  };
  double wx[4], dx[4], wy[4], dy[4];
  weights(gx - ix, wx, dx);
  weights(gy - iy, wy, dy);
  double u = 0, ux = 0, uy = 0;
  for (int j = 0; j < 4; ++j)
    for (int i = 0; i < 4; ++i) {
      const double value = sag_[static_cast<std::size_t>(iy + j - 1) * nx_ + (ix + i - 1)];
      u += wx[i] * wy[j] * value;
      ux += dx[i] * wy[j] * value;
      uy += wx[i] * dy[j] * value;
    }
  const double t = u / summit_;
  if (t <= 0) return {};
  const double full = t * (1 + fullness) / (t + fullness);
  const double full_slope = (1 + fullness) * fullness / ((t + fullness) * (t + fullness));
  const double fall = std::exp(-full / flange), norm = 1 - std::exp(-1 / flange);
  const double slope = (1 - fall + full / flange * fall) / norm * full_slope / (summit_ * step_m_);
  return {full * (1 - fall) / norm, {slope * ux, slope * uy}};
}

}  // namespace witnessline::body
