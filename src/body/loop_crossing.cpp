#include "body/loop_crossing.h"

namespace witnessline::body {
namespace {

constexpr int pieces = 12;

struct Box2 {
  Vec2d low{1e300, 1e300}, high{-1e300, -1e300};
  void add(Vec2d p) {
    low = {std::min(low.x, p.x), std::min(low.y, p.y)};
    high = {std::max(high.x, p.x), std::max(high.y, p.y)};
  }
  bool apart(const Box2& b) const {
    return low.x > b.high.x || b.low.x > high.x || low.y > b.high.y || b.low.y > high.y;
  }
};

bool straight(const Cubic& c) {
  const Vec2d chord = c[3] - c[0];
  const double squared = dot(chord, chord);
  for (const Vec2d p : {c[1], c[2]}) {
    const double along = dot(p - c[0], chord);
    if (along < 0 || along > squared || std::abs(cross(p - c[0], chord)) > 1e-9 * squared) return false;
  }
  return true;
}

/// A stretch of the loop: chord number `begin` up to `end`, and the box around them.
struct Stretch {
  std::size_t begin = 0, end = 0, box = 0;
};

/// Boxes around halves of halves of the loop; stretches whose boxes lie apart cannot cross.
class Search {
 public:
  explicit Search(const Loop& loop) {
    for (const Cubic& c : loop)
      for (int i = 0, n = straight(c) ? 1 : pieces; i < n; ++i) points_.push_back(point_on(c, i / double(n)));
    boxes_.resize(4 * points_.size());
    if (!points_.empty()) enclose(whole());
  }
  std::optional<Vec2d> find() const { return points_.size() < 4 ? std::nullopt : within(whole()); }

 private:
  Stretch whole() const { return {0, points_.size(), 1}; }
  static bool single(const Stretch& s) { return s.end - s.begin == 1; }
  static Stretch first(const Stretch& s) { return {s.begin, s.begin + (s.end - s.begin) / 2, 2 * s.box}; }
  static Stretch second(const Stretch& s) { return {s.begin + (s.end - s.begin) / 2, s.end, 2 * s.box + 1}; }
  Vec2d at(std::size_t i) const { return points_[i % points_.size()]; }

  Box2 enclose(const Stretch& s) {
    Box2 box;
    if (single(s)) {
      box.add(at(s.begin)), box.add(at(s.end));
    } else {
      for (const Stretch& half : {first(s), second(s)}) {
        const Box2 inner = enclose(half);
        box.add(inner.low), box.add(inner.high);
      }
    }
    return boxes_[s.box] = box;
  }

  std::optional<Vec2d> within(const Stretch& s) const {
    if (single(s)) return std::nullopt;
    if (const auto found = within(first(s))) return found;
    if (const auto found = within(second(s))) return found;
    return between(first(s), second(s));
  }
  std::optional<Vec2d> between(const Stretch& a, const Stretch& b) const {
    if (boxes_[a.box].apart(boxes_[b.box])) return std::nullopt;
    if (single(a) && single(b)) return chords(a.begin, b.begin);
    const bool split_a = a.end - a.begin >= b.end - b.begin;
    const Stretch& split = split_a ? a : b;
    const Stretch& other = split_a ? b : a;
    if (const auto found = between(first(split), other)) return found;
    return between(second(split), other);
  }
  std::optional<Vec2d> chords(std::size_t i, std::size_t j) const {
    const Vec2d a = at(i), b = at(i + 1), c = at(j), d = at(j + 1);
    const double c_side = cross(b - a, c - a), d_side = cross(b - a, d - a);
    if (!(c_side * d_side < 0 && cross(d - c, a - c) * cross(d - c, b - c) < 0)) return std::nullopt;
    return c + (c_side / (c_side - d_side)) * (d - c);
  }

  std::vector<Vec2d> points_;
  std::vector<Box2> boxes_;
};

}  // namespace

std::optional<Vec2d> crossing_of(const Loop& loop) { return Search(loop).find(); }

}  // namespace witnessline::body
