#include "bench/noise.h"

#include <algorithm>
#include <atomic>
#include <cmath>

#include "base/parallel.h"

namespace witnessline {

namespace {
struct Box {
  float low[3] = {1e30f, 1e30f, 1e30f}, high[3] = {-1e30f, -1e30f, -1e30f};
};
Box box_of(std::span<const Vec3> places) {
  return reduce_chunks(
      places.size(), 65536, Box{},
      [&](std::size_t begin, std::size_t end) {
        Box box;
        for (std::size_t i = begin; i < end; ++i) {
          const float p[3] = {places[i].x, places[i].y, places[i].z};
          for (int a = 0; a < 3; ++a)
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
    low_[a] = cell_of(box.low[a]);
    count_[a] = cell_of(box.high[a]) - low_[a] + 2;
    total *= static_cast<std::size_t>(std::max(0l, count_[a]));
  }
  constexpr std::size_t most_nodes = 4000000;
  if (body.size() == 0 || total > most_nodes) return;
  // Only nodes beside the surface are drawn: a thin shell fills little of its box.
  std::vector<char> near(total);
  const auto mark = [&](std::size_t begin, std::size_t end) {
    for (std::size_t v = begin; v < end; ++v) {
      const Vec3 p = body.positions()[v];
      const long x = cell_of(p.x) - low_[0], y = cell_of(p.y) - low_[1], z = cell_of(p.z) - low_[2];
      for (int corner = 0; corner < 8; ++corner) {
        char& node = near[index(x + (corner & 1), y + ((corner >> 1) & 1), z + (corner >> 2))];
        if (std::atomic_ref(node).load(std::memory_order_relaxed) == 0)
          std::atomic_ref(node).store(1, std::memory_order_relaxed);
      }
    }
  };
  for_chunks(body.size(), 65536, mark);
  std::vector<float> nodes(total);
  const std::size_t row = static_cast<std::size_t>(count_[0]);
  for_chunks(total / row, 64, [&](std::size_t begin, std::size_t end) {
    for (std::size_t r = begin; r < end; ++r)
      for (std::size_t x = 0; x < row; ++x)
        if (near[r * row + x])
          nodes[r * row + x] = drawn(low_[0] + static_cast<long>(x), low_[1] + static_cast<long>(r) % count_[1],
                                     low_[2] + static_cast<long>(r) / count_[1]);
  });
  nodes_ = std::move(nodes);
}

long SmoothNoise::cell_of(float at_m) const {
  return static_cast<long>(std::floor(static_cast<double>(at_m) * per_m_));
}

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
  const double at[3] = {place.x * per_m_, place.y * per_m_, place.z * per_m_};
  long cell[3];
  double weight[3][2];
  double norm = 1;
  for (int a = 0; a < 3; ++a) {
    const double low = std::floor(at[a]), t = at[a] - low;
    cell[a] = static_cast<long>(low);
    weight[a][1] = t * t * t * (t * (t * 6.0 - 15.0) + 10.0);
    weight[a][0] = 1.0 - weight[a][1];
    norm *= weight[a][0] * weight[a][0] + weight[a][1] * weight[a][1];
  }
  double sum = 0;
  for (int z = 0; z < 2; ++z)
    for (int y = 0; y < 2; ++y)
      for (int x = 0; x < 2; ++x)
        sum += weight[0][x] * weight[1][y] * weight[2][z] * node(cell[0] + x, cell[1] + y, cell[2] + z);
  return sum / std::sqrt(norm);
}

}  // namespace witnessline
