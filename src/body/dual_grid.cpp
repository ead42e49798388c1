#include "body/dual_grid.h"

#include <fmt/format.h>

#include <algorithm>
#include <unordered_map>

#include "base/parallel.h"
#include "base/result.h"

namespace witnessline::body {
namespace {

constexpr int side = 4;                 // cells along a brick
constexpr int nodes = side + 1;         // grid nodes along a brick
constexpr double distance_slack = 1.3;  // a Shape may overstate distances by a fifth

struct Index3 {
  int x = 0, y = 0, z = 0;
  int operator[](int axis) const { return axis == 0 ? x : axis == 1 ? y : z; }
};
Index3 moved(Index3 i, int axis, int by) {
  (axis == 0 ? i.x : axis == 1 ? i.y : i.z) += by;
  return i;
}
std::uint64_t key_of(Index3 i) {
  const auto part = [](int v) { return static_cast<std::uint64_t>(v + (1 << 20)); };
  return part(i.x) | part(i.y) << 21 | part(i.z) << 42;
}

// Corner c of a cell: bits 0..2 are x, y, z. Edge 4 a + b + 2 c runs along axis a at bits b, c of the next two axes.
int corner_of(int axis, int along, int b, int c) { return along << axis | b << (axis + 1) % 3 | c << (axis + 2) % 3; }
int edge_of(int corner, int axis) {
  return 4 * axis + (corner >> (axis + 1) % 3 & 1) + 2 * (corner >> (axis + 2) % 3 & 1);
}

/// Which sheet each crossed edge of a cell belongs to, for each of the 256 patterns of inside corners.
struct SheetTable {
  std::array<std::array<std::int8_t, 12>, 256> sheet{};
  std::array<std::uint8_t, 256> count{};

  SheetTable() {
    for (int pattern = 0; pattern < 256; ++pattern) {
      std::array<int, 12> root{};
      for (int e = 0; e < 12; ++e) root[e] = e;
      const auto find = [&](int e) {
        while (root[e] != e) e = root[e];
        return e;
      };
      const auto inside = [&](int corner) { return (pattern >> corner & 1) != 0; };
      for (int axis = 0; axis < 3; ++axis)
        for (int at = 0; at < 2; ++at) {
          const int u = (axis + 1) % 3, v = (axis + 2) % 3;
          const std::array<int, 4> ring{at << axis, at << axis | 1 << u, at << axis | 1 << u | 1 << v,
                                        at << axis | 1 << v};
          // Where all four edges of a face are crossed, the inside corners are kept apart: the two edges at each
          // inside corner are joined. The rule looks at the face alone, so both cells agree.
          std::vector<int> crossed;
          for (int k = 0; k < 4; ++k) {
            const int p = ring[k], q = ring[(k + 1) % 4];
            if (inside(p) != inside(q)) crossed.push_back(edge_of(std::min(p, q), k % 2 == 0 ? u : v));
          }
          if (crossed.size() == 2) {
            root[find(crossed[0])] = find(crossed[1]);
          } else if (crossed.size() == 4) {
            for (const int corner : ring)
              if (inside(corner)) root[find(edge_of(corner & ~(1 << u), u))] = find(edge_of(corner & ~(1 << v), v));
          }
        }
      std::array<int, 12> number{};
      number.fill(-1);
      sheet[pattern].fill(-1);
      for (int axis = 0; axis < 3; ++axis)
        for (int b = 0; b < 2; ++b)
          for (int c = 0; c < 2; ++c) {
            if (inside(corner_of(axis, 0, b, c)) == inside(corner_of(axis, 1, b, c))) continue;
            const int e = 4 * axis + b + 2 * c;
            int& n = number[find(e)];
            if (n < 0) n = count[pattern]++;
            sheet[pattern][e] = static_cast<std::int8_t>(n);
          }
    }
  }
};
const SheetTable& sheets() {
  static const SheetTable table;
  return table;
}

struct Brick {
  Index3 at;  ///< in bricks
  std::array<std::uint8_t, side * side * side> pattern{};
  std::array<std::uint16_t, side * side * side> first{};  ///< of the cell's points within the brick
  std::vector<Vec3d> points;
  std::uint32_t base = 0;
  std::uint8_t open_sides = 0;  ///< bit 2 axis + high: the surface leaves through this side
};

class Grid {
 public:
  Grid(const Shape& shape, double step, Vec3d origin, const StopCheck& stop)
      : shape_(shape), step_(step), origin_(origin), stop_(stop) {}

  Result<QuadMesh> mesh() {
    seek();
    if (stopped(stop_)) return broken_off();
    std::vector<Index3> fresh = std::move(seeds_);
    while (!fresh.empty()) {
      const std::size_t from = bricks_.size();
      bricks_.resize(from + fresh.size());
      for (std::size_t i = 0; i < fresh.size(); ++i) bricks_[from + i].at = fresh[i];
      for_chunks(fresh.size(), 32, [&](std::size_t begin, std::size_t end) {
        for (std::size_t i = begin; i < end && !stopped(stop_); ++i) fill(bricks_[from + i]);
      });
      if (stopped(stop_)) return broken_off();
      for (std::size_t i = from; i < bricks_.size(); ++i)
        number_.emplace(key_of(bricks_[i].at), static_cast<std::uint32_t>(i));
      fresh = missing(from);
      for (const Index3 at : fresh)
        if (outside(at)) return open_at(at);
    }
    try {
      return joined();
    } catch (const Unclear& at) { return unclear_at(at.place); }
  }

 private:
  /// Neighbouring cells do not agree on which side is in; never leaves this class.
  struct Unclear {
    Vec3d place;
  };
  Vec3d node(Index3 i) const { return origin_ + step_ * Vec3d{double(i.x), double(i.y), double(i.z)}; }

  /// Bricks the surface may pass through, by halving blocks.
  void seek() {
    const Box3 box = shape_.bounds();
    const auto low = [&](double v, double o) { return static_cast<int>(std::floor((v - o) / (step_ * side) - 0.5)); };
    from_ = {low(box.low.x, origin_.x), low(box.low.y, origin_.y), low(box.low.z, origin_.z)};
    to_ = {low(box.high.x, origin_.x) + 2, low(box.high.y, origin_.y) + 2, low(box.high.z, origin_.z) + 2};
    std::vector<Index3> blocks;
    for (int z = from_.z; z < to_.z; z += coarse)
      for (int y = from_.y; y < to_.y; y += coarse)
        for (int x = from_.x; x < to_.x; x += coarse) blocks.push_back({x, y, z});
    constexpr std::size_t chunk = 8;
    std::vector<std::vector<Index3>> found((blocks.size() + chunk - 1) / chunk);
    for_chunks(blocks.size(), chunk, [&](std::size_t begin, std::size_t end) {
      for (std::size_t i = begin; i < end && !stopped(stop_); ++i) descend(blocks[i], coarse, found[begin / chunk]);
    });
    for (const auto& list : found) seeds_.insert(seeds_.end(), list.begin(), list.end());
  }
  /// No surface of a closed body lies there. Blocks may reach over the box by their own width.
  bool outside(Index3 at) const {
    for (int axis = 0; axis < 3; ++axis)
      if (at[axis] < from_[axis] - 1 || at[axis] > to_[axis] + coarse) return true;
    return false;
  }
  static Error unclear_at(Vec3d p) {
    return {fmt::format("the surface has no clear inside near ({:.0f}, {:.0f}, {:.0f}) mm", p.x * 1e3, p.y * 1e3,
                        p.z * 1e3),
            {},
            "a closed surface whose folds do not overlap",
            "repair it in the program that made it, and export it again"};
  }
  Error open_at(Index3 at) const {
    const Vec3d p = node({at.x * side, at.y * side, at.z * side});
    return {fmt::format("the surface has no inside: it runs out of the body at ({:.0f}, {:.0f}, {:.0f}) mm", p.x * 1e3,
                        p.y * 1e3, p.z * 1e3),
            {},
            "a closed surface that does not cross itself",
            "repair it in the program that made it, and export it again"};
  }
  void descend(Index3 at, int size, std::vector<Index3>& out) const {
    const double half = 0.5 * size * side;
    const Vec3d centre = origin_ + step_ * Vec3d{at.x * side + half, at.y * side + half, at.z * side + half};
    if (std::abs(shape_.at(centre).distance_m) > distance_slack * 1.7321 * half * step_) return;
    if (size == 1) {
      out.push_back(at);
      return;
    }
    for (int k = 0; k < 8; ++k)
      descend({at.x + (k & 1) * size / 2, at.y + (k >> 1 & 1) * size / 2, at.z + (k >> 2) * size / 2}, size / 2, out);
  }

  void fill(Brick& brick) const {
    std::array<float, nodes * nodes * nodes> value;
    std::array<std::uint8_t, nodes * nodes * nodes> known{};
    const Index3 low{brick.at.x * side, brick.at.y * side, brick.at.z * side};
    const auto slot = [](int x, int y, int z) { return (z * nodes + y) * nodes + x; };
    const auto measure = [&](int x, int y, int z) {
      const int s = slot(x, y, z);
      if (known[s] != 2) {
        value[s] = static_cast<float>(shape_.at(node({low.x + x, low.y + y, low.z + z})).distance_m);
        known[s] = 2;
      }
      return value[s];
    };
    // The middle of each eighth first: far from the surface it settles the sign of the nodes around it. Corners that
    // bricks share are always measured, or settled alike, since a settled sign is the true sign.
    for (int z = 1; z < nodes; z += 2)
      for (int y = 1; y < nodes; y += 2)
        for (int x = 1; x < nodes; x += 2) {
          const float middle = measure(x, y, z);
          const double sure = std::abs(middle) / distance_slack;
          for (int dz = -1; dz <= 1; ++dz)
            for (int dy = -1; dy <= 1; ++dy)
              for (int dx = -1; dx <= 1; ++dx) {
                const int s = slot(x + dx, y + dy, z + dz);
                if (known[s] == 0 && step_ * step_ * (dx * dx + dy * dy + dz * dz) < sure * sure)
                  value[s] = middle, known[s] = 1;
              }
        }
    for (int z = 0; z < nodes; ++z)
      for (int y = 0; y < nodes; ++y)
        for (int x = 0; x < nodes; ++x)
          if (known[slot(x, y, z)] == 0) measure(x, y, z);

    for (int z = 0; z < side; ++z)
      for (int y = 0; y < side; ++y)
        for (int x = 0; x < side; ++x) {
          int pattern = 0;
          for (int c = 0; c < 8; ++c)
            if (value[slot(x + (c & 1), y + (c >> 1 & 1), z + (c >> 2))] < 0) pattern |= 1 << c;
          const int cell = (z * side + y) * side + x;
          brick.pattern[cell] = static_cast<std::uint8_t>(pattern);
          brick.first[cell] = static_cast<std::uint16_t>(brick.points.size());
          const int count = sheets().count[pattern];
          std::array<Vec3d, 4> sum{};
          std::array<int, 4> crossings{};
          if (count > 0)
            for (int e = 0; e < 12; ++e) {
              const int sheet = sheets().sheet[pattern][e];
              if (sheet < 0) continue;
              const int axis = e / 4, p = corner_of(axis, 0, e & 1, e >> 1 & 1), q = p | 1 << axis;
              const auto at = [&](int c) { return slot(x + (c & 1), y + (c >> 1 & 1), z + (c >> 2)); };
              const double a = value[at(p)], b = value[at(q)];
              double t = known[at(p)] == 2 && known[at(q)] == 2 ? a / (a - b) : 0.5;
              t = std::clamp(t, 0.05, 0.95);
              Vec3d point{double(p & 1), double(p >> 1 & 1), double(p >> 2)};
              (axis == 0 ? point.x : axis == 1 ? point.y : point.z) += t;
              sum[sheet] += point;
              ++crossings[sheet];
            }
          for (int s = 0; s < count; ++s)
            brick.points.push_back(node({low.x + x, low.y + y, low.z + z}) + (step_ / crossings[s]) * sum[s]);
        }
    for (int axis = 0; axis < 3; ++axis)
      for (int high = 0; high < 2; ++high) {
        bool inside = false, outside = false;
        for (int a = 0; a < nodes; ++a)
          for (int b = 0; b < nodes; ++b) {
            const int c = high * side;
            const int s = axis == 0 ? slot(c, a, b) : axis == 1 ? slot(b, c, a) : slot(a, b, c);
            (value[s] < 0 ? inside : outside) = true;
          }
        if (inside && outside) brick.open_sides |= static_cast<std::uint8_t>(1 << (2 * axis + high));
      }
  }

  std::vector<Index3> missing(std::size_t from) const {
    std::vector<Index3> out;
    std::unordered_map<std::uint64_t, bool> asked;
    for (std::size_t i = from; i < bricks_.size(); ++i)
      for (int side_of = 0; side_of < 6; ++side_of) {
        if ((bricks_[i].open_sides >> side_of & 1) == 0) continue;
        const Index3 next = moved(bricks_[i].at, side_of / 2, side_of % 2 ? 1 : -1);
        if (!number_.contains(key_of(next)) && asked.emplace(key_of(next), true).second) out.push_back(next);
      }
    return out;
  }

  QuadMesh joined() {
    QuadMesh mesh;
    std::size_t total = 0;
    for (Brick& b : bricks_) b.base = static_cast<std::uint32_t>(total), total += b.points.size();
    mesh.points.reserve(total);
    for (const Brick& b : bricks_) mesh.points.insert(mesh.points.end(), b.points.begin(), b.points.end());
    constexpr std::size_t chunk = 64;
    std::vector<std::vector<Quad>> parts((bricks_.size() + chunk - 1) / chunk);
    for_chunks(bricks_.size(), chunk, [&](std::size_t begin, std::size_t end) {
      for (std::size_t i = begin; i < end; ++i)
        if (!bricks_[i].points.empty()) add_quads(bricks_[i], parts[begin / chunk]);
    });
    mesh.quads.reserve(total + total / 64);
    for (const auto& part : parts) mesh.quads.insert(mesh.quads.end(), part.begin(), part.end());
    return mesh;
  }

  std::uint32_t point_at(const Brick& home, Index3 cell, int edge) const {
    const Brick* brick = &home;
    Index3 at = home.at;
    for (int axis = 0; axis < 3; ++axis)
      if (cell[axis] < 0) at = moved(at, axis, -1), cell = moved(cell, axis, side);
    if (at.x != home.at.x || at.y != home.at.y || at.z != home.at.z) {
      const auto found = number_.find(key_of(at));
      if (found == number_.end()) throw Unclear{node({at.x * side, at.y * side, at.z * side})};
      brick = &bricks_[found->second];
    }
    const int c = (cell.z * side + cell.y) * side + cell.x;
    const int sheet = sheets().sheet[brick->pattern[c]][edge];
    if (sheet < 0) throw Unclear{node({at.x * side + cell.x, at.y * side + cell.y, at.z * side + cell.z})};
    return brick->base + brick->first[c] + static_cast<std::uint32_t>(sheet);
  }

  void add_quads(const Brick& brick, std::vector<Quad>& out) const {
    for (int z = 0; z < side; ++z)
      for (int y = 0; y < side; ++y)
        for (int x = 0; x < side; ++x) {
          const int pattern = brick.pattern[(z * side + y) * side + x];
          if (pattern == 0 || pattern == 255) continue;
          for (int axis = 0; axis < 3; ++axis) {
            const bool start_in = pattern & 1, end_in = pattern >> (1 << axis) & 1;
            if (start_in == end_in) continue;
            const int u = (axis + 1) % 3, v = (axis + 2) % 3;
            const Index3 here{x, y, z};
            Quad quad{point_at(brick, here, 4 * axis), point_at(brick, moved(here, u, -1), 4 * axis + 1),
                      point_at(brick, moved(moved(here, u, -1), v, -1), 4 * axis + 3),
                      point_at(brick, moved(here, v, -1), 4 * axis + 2)};
            if (!start_in) std::swap(quad[1], quad[3]);
            out.push_back(quad);
          }
        }
  }

  static constexpr int coarse = 4;  ///< bricks along a block

  const Shape& shape_;
  double step_;
  Vec3d origin_;
  const StopCheck& stop_;
  Index3 from_, to_;  ///< bricks of the shape's box
  std::vector<Index3> seeds_;
  std::vector<Brick> bricks_;
  std::unordered_map<std::uint64_t, std::uint32_t> number_;
};

}  // namespace

Result<QuadMesh> dual_grid(const Shape& shape, double step_m, Vec3d origin, const StopCheck& stop) {
  return Grid(shape, step_m, origin, stop).mesh();
}

}  // namespace witnessline::body
