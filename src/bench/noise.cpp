#include "bench/noise.h"

#include <algorithm>
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
    low_[a] = static_cast<long>(std::floor(box.low[a] * per_m_));
    count_[a] = static_cast<long>(std::floor(box.high[a] * per_m_)) - low_[a] + 2;
    total *= static_cast<std::size_t>(std::max(0l, count_[a]));
  }
  constexpr std::size_t most_nodes = 4000000;
  if (body.size() == 0 || total > most_nodes) return;
  std::vector<float> nodes(total);
  const std::size_t plane = static_cast<std::size_t>(count_[0]);
  for_chunks(total / plane, 64, [&](std::size_t begin, std::size_t end) {
    for (std::size_t row = begin; row < end; ++row)
      for (std::size_t x = 0; x < plane; ++x)
        nodes[row * plane + x] =
            static_cast<float>(node(low_[0] + static_cast<long>(x), low_[1] + static_cast<long>(row) % count_[1],
                                    low_[2] + static_cast<long>(row) / count_[1]));
  });
  nodes_ = std::move(nodes);
}

double SmoothNoise::node(long x, long y, long z) const {
  if (!nodes_.empty())
    return nodes_[static_cast<std::size_t>(((z - low_[2]) * count_[1] + (y - low_[1])) * count_[0] + (x - low_[0]))];
  const auto part = [](long v) { return static_cast<std::uint64_t>(v); };
  return static_cast<double>(static_cast<float>(normal(key_.with(part(x)).with(part(y)).with(part(z)))));
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
