#include "bench/noise.h"

#include <algorithm>
#include <array>
#include <atomic>
#include <cmath>

#include "base/parallel.h"

namespace witnessline {

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
  const Box box = box_of(body.positions());
  std::size_t total = 1;
  for (int a = 0; a < 3; ++a) {
    low_[a] = nearest_node(box.low[a]) - 1;
    count_[a] = nearest_node(box.high[a]) - low_[a] + 2;
    total *= static_cast<std::size_t>(std::max(0l, count_[a]));
  }
  constexpr std::size_t most_nodes = 24000000;
  if (body.size() == 0 || total > most_nodes) return;
  // Only nodes beside the surface are drawn: a thin shell fills little of its box.
  std::vector<char> near(total);
  for_chunks(body.size(), 65536, [&](std::size_t begin, std::size_t end) {
    for (std::size_t v = begin; v < end; ++v) {
      const auto p = turned(body.positions()[v]);
      char& node =
          near[index(nearest_node(p[0]) - low_[0], nearest_node(p[1]) - low_[1], nearest_node(p[2]) - low_[2])];
      if (std::atomic_ref(node).load(std::memory_order_relaxed) == 0)
        std::atomic_ref(node).store(1, std::memory_order_relaxed);
    }
  });
  const std::size_t row = static_cast<std::size_t>(count_[0]), sheet = row * static_cast<std::size_t>(count_[1]);
  for (const std::size_t step : {std::size_t{1}, row, sheet}) {  // one node further along each axis
    const std::vector<char> was = near;
    for (std::size_t i = step; i + step < total; ++i)
      near[i] = static_cast<char>(was[i - step] | was[i] | was[i + step]);
  }
  std::vector<float> nodes(total);
  for_chunks(total / row, 64, [&](std::size_t begin, std::size_t end) {
    for (std::size_t r = begin; r < end; ++r) {
      const long y = static_cast<long>(r) % count_[1], z = static_cast<long>(r) / count_[1];
      for (long x = 0; x < count_[0]; ++x)
        if (near[index(x, y, z)]) nodes[index(x, y, z)] = drawn(low_[0] + x, low_[1] + y, low_[2] + z);
    }
  });
  nodes_ = std::move(nodes);
}

long SmoothNoise::nearest_node(double at_m) const { return std::lround(at_m * per_m_); }

std::size_t SmoothNoise::index(long x, long y, long z) const {
  return static_cast<std::size_t>((z * count_[1] + y) * count_[0] + x);
}

float SmoothNoise::drawn(long x, long y, long z) const {
  const auto part = [](long v) { return static_cast<std::uint64_t>(v); };
  return static_cast<float>(normal(key_.with(part(x)).with(part(y)).with(part(z))));
}

double SmoothNoise::node(long x, long y, long z) const {
  return static_cast<double>(nodes_.empty() ? drawn(x, y, z) : nodes_[index(x - low_[0], y - low_[1], z - low_[2])]);
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
  double sum = 0;
  for (int z = 0; z < 3; ++z)
    for (int y = 0; y < 3; ++y) {
      double line = 0;
      for (int x = 0; x < 3; ++x)
        line += weight[0][x] * node(nearest[0] + x - 1, nearest[1] + y - 1, nearest[2] + z - 1);
      sum += weight[1][y] * weight[2][z] * line;
    }
  return sum / std::sqrt(norm);
}

}  // namespace witnessline
