#include "body/regions.h"

#include <algorithm>

#include "base/parallel.h"
#include "body/surface.h"

namespace witnessline::body {
namespace {

// ESTIMATES, all of them ours: how the words of the trade are drawn on a surface.
constexpr double level_cos = 0.990, upright_cos = 0.139;  // within 8 degrees of a face or of the sides is no edge
constexpr double waist_depth_frac = 0.03;                 // of the widest place; a shallower waist is none
constexpr double upper_bout_frac = 0.5;                   // of the lower bout's width; narrower is a neck or head
constexpr double waist_share = 0.35;                      // of the waist's depth that still counts as waist
constexpr double point_radius_m = 0.025;                  // corners rounder than this are no points
constexpr double point_turn_rad = 75 * 3.14159265358979 / 180;
constexpr double point_reach_m = 0.012;
constexpr double neck_half_width_m = 0.040;  // corners this close to the centreline at the neck end belong to the joint

/// A map of small squares over the outline in which points are marked with a reach around them.
class Plan {
 public:
  Plan(Vec3 low, Vec3 high) : low_(low) {
    nx_ = static_cast<int>((high.x - low.x) / step) + 1;
    ny_ = static_cast<int>((high.y - low.y) / step) + 1;
    marked_.assign(static_cast<std::size_t>(nx_) * ny_, 0);
  }
  void mark(Vec3 p, double reach_m) {
    const int x = column(p), y = row(p), r = static_cast<int>(reach_m / step);
    for (int j = std::max(0, y - r); j <= std::min(ny_ - 1, y + r); ++j)
      for (int i = std::max(0, x - r); i <= std::min(nx_ - 1, x + r); ++i)
        if ((i - x) * (i - x) + (j - y) * (j - y) <= r * r) marked_[static_cast<std::size_t>(j) * nx_ + i] = 1;
  }
  bool marked(Vec3 p) const { return marked_[static_cast<std::size_t>(row(p)) * nx_ + column(p)] != 0; }

 private:
  static constexpr double step = 0.001;
  int column(Vec3 p) const { return std::clamp(static_cast<int>((p.x - low_.x) / step), 0, nx_ - 1); }
  int row(Vec3 p) const { return std::clamp(static_cast<int>((p.y - low_.y) / step), 0, ny_ - 1); }
  Vec3 low_;
  int nx_ = 0, ny_ = 0;
  std::vector<std::uint8_t> marked_;
};

void name_points(Body::Data& data) {
  const std::size_t n = data.positions.size();
  Vec3 low = data.positions[0], high = low;
  for (const Vec3 p : data.positions) {
    low = {std::min(low.x, p.x), std::min(low.y, p.y), 0};
    high = {std::max(high.x, p.x), std::max(high.y, p.y), 0};
  }
  std::vector<std::uint8_t> tight(n, 0);
  for (std::size_t i = 0; i < n; ++i)
    tight[i] = std::abs(data.normals[i].z) < upright_cos && data.curvature_max[i] * point_radius_m > 1 &&
               (data.region_bits[i] & bit_of(Region::cavity)) == 0;
  std::vector<Triangle> corners;
  for (const Triangle& t : data.triangles)
    if (tight[t[0]] && tight[t[1]] && tight[t[2]]) corners.push_back(t);
  if (corners.empty()) return;
  std::size_t count = 0;
  const std::vector<std::uint32_t> piece = pieces_of(corners, n, count);
  struct Corner {
    double x = 0, y = 0, turn_x = 0, turn_y = 0, from = 0, to = 0;
    std::size_t size = 0, first = 0, last = 0;  // vertices where the turn begins and ends
  };
  std::vector<Corner> found(count);
  std::vector<std::uint8_t> used(n, 0);
  for (const Triangle& t : corners)
    for (const std::uint32_t v : t) used[v] = 1;
  for (std::size_t i = 0; i < n; ++i)
    if (used[i]) {
      Corner& c = found[piece[i]];
      c.x += data.positions[i].x, c.y += data.positions[i].y, ++c.size;
      c.turn_x += data.normals[i].x, c.turn_y += data.normals[i].y;
    }
  for (std::size_t i = 0; i < n; ++i)
    if (used[i]) {
      Corner& c = found[piece[i]];
      const Vec3 m = data.normals[i];
      const double angle = std::atan2(c.turn_x * m.y - c.turn_y * m.x, c.turn_x * m.x + c.turn_y * m.y);
      if (c.from == 0 && c.to == 0) c.first = c.last = i;
      if (angle < c.from) c.from = angle, c.first = i;
      if (angle > c.to) c.to = angle, c.last = i;
    }
  Plan plan(low, high);
  bool any = false;
  for (std::size_t i = 0; i < n; ++i) {
    if (!used[i]) continue;
    const Corner& c = found[piece[i]];
    const bool joint = std::abs(c.x / c.size) < neck_half_width_m && c.y / c.size > 0.5 * (low.y + high.y);
    // The facets of a coarse mesh bend sharply one by one; the corner as a whole must be as tight as a point.
    const Vec3 a = data.positions[c.first], b = data.positions[c.last];
    const double turn = c.to - c.from, chord_m = std::hypot(b.x - a.x, b.y - a.y);
    const bool round = chord_m > 2 * point_radius_m * std::sin(std::min(turn, 3.1) / 2);
    if (turn < point_turn_rad || round || joint) continue;
    plan.mark(data.positions[i], point_reach_m);
    any = true;
  }
  if (!any) return;
  for (std::size_t i = 0; i < n; ++i)
    if (plan.marked(data.positions[i])) data.region_bits[i] |= bit_of(Region::points);
}

/// Whether each convex place is the rim of a pocket: nearer to a pocket's wall than to the sides, in steps over the
/// mesh. The outer edge wins where both are as near.
std::vector<std::uint8_t> pocket_rims(const Body::Data& data, const std::vector<std::uint8_t>& convex,
                                      const std::vector<std::uint16_t>& known) {
  enum : std::uint8_t { open, outer, rim };
  const std::size_t n = data.positions.size();
  std::vector<std::uint8_t> label(n, open);
  for (std::size_t i = 0; i < n; ++i) {
    if (convex[i]) continue;
    if (known[i] & bit_of(Region::cavity))
      label[i] = rim;
    else if (std::abs(data.normals[i].z) <= 0.5f)
      label[i] = outer;
  }
  std::vector<Triangle> round;
  for (const Triangle& t : data.triangles)
    if (convex[t[0]] || convex[t[1]] || convex[t[2]]) round.push_back(t);
  for (bool changed = true; changed;) {
    changed = false;
    std::vector<std::uint8_t> next = label;
    for (const Triangle& t : round)
      for (std::size_t a = 0; a < 3; ++a)
        for (std::size_t b = 0; b < 3; ++b) {
          const std::uint8_t from = label[t[b]];
          std::uint8_t& to = next[t[a]];
          if (a == b || !convex[t[a]] || label[t[a]] != open || from == open) continue;
          to = to == open || from == outer ? from : to;
          changed = true;
        }
    label = std::move(next);
  }
  for (std::size_t i = 0; i < n; ++i) label[i] = convex[i] && label[i] == rim;
  return label;
}

}  // namespace

Widths widths_of(std::span<const Vec3> positions) {
  Widths out;
  float low = positions[0].y, high = low;
  for (const Vec3 p : positions) low = std::min(low, p.y), high = std::max(high, p.y);
  const auto n = static_cast<std::size_t>((high - low) / out.step_m) + 1;
  out.low.assign(n, 1e300);
  out.high.assign(n, -1e300);
  for (const Vec3 p : positions) {
    const auto i = std::min(n - 1, static_cast<std::size_t>((p.y - low) / out.step_m));
    out.low[i] = std::min(out.low[i], double(p.x));
    out.high[i] = std::max(out.high[i], double(p.x));
  }
  return out;
}

Waist waist_of(const Widths& widths) {
  const std::size_t n = widths.low.size();
  std::vector<double> width(n), below(n), above(n);
  for (std::size_t i = 0; i < n; ++i) width[i] = widths.at(i);
  for (std::size_t i = 0; i < n; ++i) below[i] = std::max(width[i], i > 0 ? below[i - 1] : 0);
  for (std::size_t i = n; i-- > 0;) above[i] = std::max(width[i], i + 1 < n ? above[i + 1] : 0);
  std::size_t at = 0;
  double depth = 0;
  for (std::size_t i = 0; i < n; ++i)
    if (const double d = std::min(below[i], above[i]) - width[i]; d > depth) depth = d, at = i;
  const double widest = n > 0 ? below[n - 1] : 0;
  if (depth < waist_depth_frac * widest || above[at] < upper_bout_frac * below[at]) return {};
  const double limit = width[at] + waist_share * depth;
  std::size_t from = at, to = at;
  while (from > 0 && width[from - 1] < limit) --from;
  while (to + 1 < n && width[to + 1] < limit) ++to;
  return {true, from * widths.step_m, (to + 1) * widths.step_m};
}

void name_regions(Body::Data& data, const KnownRegions& known, double edge_radius_m) {
  const std::size_t n = data.positions.size();
  data.region_bits.assign(n, 0);
  const Waist waist = waist_of(widths_of(data.positions));
  std::vector<std::uint8_t> convex(n);
  for (std::size_t i = 0; i < n; ++i) {
    const double tilt = std::abs(data.normals[i].z);
    convex[i] = data.curvature_max[i] * edge_radius_m > 1 && tilt < level_cos && tilt > upright_cos;
  }
  const std::vector<std::uint8_t> rim = pocket_rims(data, convex, known.bits);
  for (std::size_t i = 0; i < n; ++i) {
    const Vec3 p = data.positions[i], normal = data.normals[i];
    std::uint16_t bits = known.bits[i];
    const double tilt = std::abs(normal.z);
    const bool cavity = bits & bit_of(Region::cavity);
    if (convex[i] && !rim[i])
      bits |= bit_of(Region::edge);
    else if (cavity)
      bits |= bit_of(known.cavity_in_back[i] ? Region::back : Region::front);
    else if (tilt > 0.5 || rim[i])
      bits |= bit_of(normal.z > 0 ? Region::front : Region::back);
    else
      bits |= bit_of(Region::sides);
    if (rim[i]) bits |= bit_of(Region::rim);
    bits |= bit_of(p.x < 0 ? Region::bass : Region::treble);
    if (waist.present)
      bits |= bit_of(p.y < waist.from_m ? Region::lower_bout : p.y < waist.to_m ? Region::waist : Region::upper_bout);
    data.region_bits[i] = bits;
  }
  name_points(data);
}

}  // namespace witnessline::body
