#include "bench/noise.h"

#include <algorithm>
#include <array>
#include <atomic>
#include <cmath>
#include <limits>

#include "base/parallel.h"

namespace witnessline::bench {

namespace {
struct Box {
  double low[3] = {1e30, 1e30, 1e30}, high[3] = {-1e30, -1e30, -1e30};
};
/// Coordinates turned against the body's own axes, so that the lattice never lies along an outline or a centreline.
std::array<double, 3> turned(Vec3 p) {
  return {(2.0 * p.x - 2.0 * p.y + 1.0 * p.z) / 3.0, (2.0 * p.x + 1.0 * p.y - 2.0 * p.z) / 3.0,
          (1.0 * p.x + 2.0 * p.y + 2.0 * p.z) / 3.0};
}

Box box_of(std::span<const Vec3> places) {
  return reduce_chunks(
      places.size(), 65536, Box{},
      [&](std::size_t begin, std::size_t end) {
        Box box;
        for (std::size_t i = begin; i < end; ++i) {
          const auto p = turned(places[i]);
          for (std::size_t a = 0; a < 3; ++a)
            box.low[a] = std::min(box.low[a], p[a]), box.high[a] = std::max(box.high[a], p[a]);
        }
        return box;
      },
      [](Box a, const Box& b) {
        for (int i = 0; i < 3; ++i) a.low[i] = std::min(a.low[i], b.low[i]), a.high[i] = std::max(a.high[i], b.high[i]);
        return a;
      });
}
}  // namespace

SmoothNoise::SmoothNoise(Key key, double length_m, const Body& body) : key_(key), per_m_(1.0 / length_m) {
  const std::span<const Vec3> places = body.positions();
  if (places.empty()) return;
  const Box box = box_of(places);
  std::size_t total = 1;
  for (int a = 0; a < 3; ++a) {
    low_[a] = nearest_node(box.low[a]);
    count_[a] = (nearest_node(box.high[a]) - low_[a]) / brick_nodes + 1;
    total *= static_cast<std::size_t>(count_[a]);
  }
  constexpr std::size_t most_bricks = 24000000;
  if (total > most_bricks) {
    count_[0] = count_[1] = count_[2] = 0;
    return;
  }
  // A thin shell fills little of its box: only bricks, and in them only nodes, beside the surface are drawn.
  const auto set = [](char& mark) {
    if (std::atomic_ref(mark).load(std::memory_order_relaxed) == 0)
      std::atomic_ref(mark).store(1, std::memory_order_relaxed);
  };
  const auto each_place = [&](const auto& visit) {
    for_chunks(places.size(), 65536, [&](std::size_t begin, std::size_t end) {
      for (std::size_t v = begin; v < end; ++v) {
        const auto at = turned(places[v]);
        visit(*in_brick(nearest_node(at[0]), nearest_node(at[1]), nearest_node(at[2])));
      }
    });
  };
  start_.assign(total, 0);
  std::vector<char> touched(total);
  each_place([&](const InBrick& at) { set(touched[at.brick]); });
  std::vector<std::size_t> bricks;  // those touched
  start_.assign(total, not_kept);
  for (std::size_t b = 0; b < total; ++b)
    if (touched[b]) start_[b] = static_cast<std::uint32_t>(bricks.size()), bricks.push_back(b);
  std::vector<char> near(bricks.size() * brick_size);
  each_place([&](const InBrick& at) { set(near[start_[at.brick] * brick_size + at.node]); });
  nodes_.assign(bricks.size() * brick_size, std::numeric_limits<float>::quiet_NaN());  // where none was drawn
  for_chunks(bricks.size(), 16, [&](std::size_t begin, std::size_t end) {
    for (std::size_t b = begin; b < end; ++b) {
      const auto brick = static_cast<long>(bricks[b]);
      const long x0 = low_[0] + brick % count_[0] * brick_nodes - 1,
                 y0 = low_[1] + brick / count_[0] % count_[1] * brick_nodes - 1,
                 z0 = low_[2] + brick / count_[0] / count_[1] * brick_nodes - 1;
      char* const mark = &near[b * brick_size];
      for (const std::size_t step : {std::size_t{1}, brick_row, brick_row * brick_row}) {  // one node further each way
        char before = 0;
        for (std::size_t lane = 0; lane < step; ++lane)
          for (std::size_t i = lane; i < brick_size; i += step) {
            const char here = mark[i];
            mark[i] = static_cast<char>(before | here | (i + step < brick_size ? mark[i + step] : 0));
            before = here;
          }
      }
      for (std::size_t i = 0; i < brick_size; ++i)
        if (mark[i])
          nodes_[b * brick_size + i] =
              drawn(x0 + static_cast<long>(i % brick_row), y0 + static_cast<long>(i / brick_row % brick_row),
                    z0 + static_cast<long>(i / brick_row / brick_row));
    }
  });
}

long SmoothNoise::nearest_node(double at_m) const { return std::lround(at_m * per_m_); }

std::optional<SmoothNoise::InBrick> SmoothNoise::in_brick(long x, long y, long z) const {
  const auto brick = [](long of) { return static_cast<std::size_t>(of / brick_nodes); };
  const auto inside = [](long of) { return static_cast<std::size_t>(of % brick_nodes + 1); };
  const long d[3] = {x - low_[0], y - low_[1], z - low_[2]};
  for (int a = 0; a < 3; ++a)
    if (d[a] < 0 || d[a] >= count_[a] * brick_nodes) return std::nullopt;
  const InBrick at{
      (brick(d[2]) * static_cast<std::size_t>(count_[1]) + brick(d[1])) * static_cast<std::size_t>(count_[0]) +
          brick(d[0]),
      (inside(d[2]) * brick_row + inside(d[1])) * brick_row + inside(d[0])};
  if (start_[at.brick] == not_kept) return std::nullopt;
  return at;
}

float SmoothNoise::drawn(long x, long y, long z) const {
  const auto part = [](long v) { return static_cast<std::uint64_t>(v); };
  return static_cast<float>(normal(key_.with(part(x)).with(part(y)).with(part(z))));
}

double SmoothNoise::operator()(Vec3 place) const {
  const auto at = turned(place);
  long nearest[3];
  double weight[3][3];
  double norm = 1;
  for (std::size_t a = 0; a < 3; ++a) {
    nearest[a] = nearest_node(at[a]);
    const double t = at[a] * per_m_ - static_cast<double>(nearest[a]);
    double* w = weight[a];
    w[0] = 0.5 * (0.5 - t) * (0.5 - t), w[1] = 0.75 - t * t, w[2] = 0.5 * (0.5 + t) * (0.5 + t);
    norm *= w[0] * w[0] + w[1] * w[1] + w[2] * w[2];
  }
  const auto under = [&](const auto& node) {  // the nodes about the place, under their weights
    double sum = 0;
    for (long z = 0; z < 3; ++z)
      for (long y = 0; y < 3; ++y) {
        double line = 0;
        for (long x = 0; x < 3; ++x) line += weight[0][x] * static_cast<double>(node(x - 1, y - 1, z - 1));
        sum += weight[1][y] * weight[2][z] * line;
      }
    return sum / std::sqrt(norm);
  };
  if (const std::optional<InBrick> at = in_brick(nearest[0], nearest[1], nearest[2])) {
    const float* const middle = &nodes_[start_[at->brick] * brick_size + at->node];
    constexpr auto row = static_cast<long>(brick_row);
    const double kept = under([&](long x, long y, long z) { return middle[(z * row + y) * row + x]; });
    if (!std::isnan(kept)) return kept;
  }
  return under([&](long x, long y, long z) { return drawn(nearest[0] + x, nearest[1] + y, nearest[2] + z); });
}

}  // namespace witnessline::bench
