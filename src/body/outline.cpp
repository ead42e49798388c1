#include "body/outline.h"

#include "base/parallel.h"
#include "base/result.h"

namespace witnessline::body {
namespace {

Vec2d slope(const Cubic& c, double t) {
  const double s = 1 - t;
  return (3 * s * s) * (c[1] - c[0]) + (6 * s * t) * (c[2] - c[1]) + (3 * t * t) * (c[3] - c[2]);
}
Vec2d bend(const Cubic& c, double t) {
  return (6 * (1 - t)) * (c[2] - 2.0 * c[1] + c[0]) + (6 * t) * (c[3] - 2.0 * c[2] + c[1]);
}
Vec2d unit_of(Vec2d v) {
  const double n = length(v);
  return n > 0 ? (1 / n) * v : Vec2d{1, 0};
}
Vec2d tangent_at(const Cubic& c, double t) {
  const Vec2d d = slope(c, t);
  return length(d) > 1e-9 * length(c[3] - c[0]) ? unit_of(d) : unit_of(c[3] - c[0]);
}
std::array<Cubic, 2> halves(const Cubic& c) {
  const Vec2d a = 0.5 * (c[0] + c[1]), b = 0.5 * (c[1] + c[2]), d = 0.5 * (c[2] + c[3]);
  const Vec2d ab = 0.5 * (a + b), bd = 0.5 * (b + d), m = 0.5 * (ab + bd);
  return {Cubic{c[0], a, ab, m}, Cubic{m, bd, d, c[3]}};
}
double bulge_of(const Cubic& c) {
  const Vec2d along = unit_of(c[3] - c[0]);
  const auto off = [&](Vec2d p) {
    const double t = std::clamp(dot(p - c[0], along), 0.0, length(c[3] - c[0]));
    return length(p - c[0] - t * along);
  };
  return std::max(off(c[1]), off(c[2]));
}
void split(const Cubic& c, std::vector<Cubic>& out, int depth = 0) {
  const double chord = length(c[3] - c[0]);
  if (depth < 10 && (chord > 0.008 || bulge_of(c) > 0.06 * chord)) {
    for (const Cubic& half : halves(c)) split(half, out, depth + 1);
  } else {
    out.push_back(c);
  }
}
double chord_distance(const Cubic& c, Vec2d p) {
  const Vec2d chord = c[3] - c[0];
  const double t = std::clamp(dot(p - c[0], chord) / dot(chord, chord), 0.0, 1.0);
  return length(p - c[0] - t * chord);
}

}  // namespace

Outline::Outline(const Loop& loop, double depth_m) : depth_m_(depth_m) {
  area_m2_ = signed_area_m2(loop);
  std::vector<Cubic> curves;
  for (const Cubic& c : area_m2_ < 0 ? reversed(loop) : loop) split(c, curves);
  area_m2_ = std::abs(area_m2_);
  std::erase_if(curves, [](const Cubic& c) { return length(c[3] - c[0]) < 1e-9; });
  expects(curves.size() >= 2, "an outline encloses an area");
  low_ = high_ = curves.front()[0];
  const std::size_t n = curves.size();
  pieces_.resize(n);
  for (std::size_t i = 0; i < n; ++i) {
    Piece& piece = pieces_[i];
    piece.curve = curves[i];
    piece.bulge = bulge_of(curves[i]);
    const Vec2d before = tangent_at(curves[(i + n - 1) % n], 1), in = tangent_at(curves[i], 0);
    const Vec2d out = tangent_at(curves[i], 1), after = tangent_at(curves[(i + 1) % n], 0);
    piece.tangent_in = unit_of(before + in);
    piece.tangent_out = unit_of(out + after);
    piece.corner_in = dot(before, in) < 1 - 1e-6;
    piece.corner_out = dot(out, after) < 1 - 1e-6;
    for (const Vec2d p : curves[i]) {  // control points bound the curve
      low_ = {std::min(low_.x, p.x), std::min(low_.y, p.y)};
      high_ = {std::max(high_.x, p.x), std::max(high_.y, p.y)};
    }
  }

  const double margin = 0.03;
  grid_low_ = low_ - Vec2d{margin, margin};
  nx_ = static_cast<int>((high_.x - low_.x + 2 * margin) / cell_m_) + 1;
  ny_ = static_cast<int>((high_.y - low_.y + 2 * margin) / cell_m_) + 1;
  const auto cells = static_cast<std::size_t>(nx_) * ny_;
  std::vector<std::vector<std::uint32_t>> near(cells);
  deep_.assign(cells, 0);
  const double reach = cell_m_ * 0.70711;
  for_chunks(cells, 64, [&](std::size_t begin, std::size_t end) {
    std::vector<double> distance(n);
    for (std::size_t cell = begin; cell < end; ++cell) {
      const Vec2d centre = grid_low_ + cell_m_ * Vec2d{cell % nx_ + 0.5, static_cast<double>(cell / nx_) + 0.5};
      double closest = 1e300;
      for (std::size_t i = 0; i < n; ++i) {
        distance[i] = chord_distance(pieces_[i].curve, centre);
        closest = std::min(closest, distance[i] + pieces_[i].bulge);
      }
      for (std::uint32_t i = 0; i < n; ++i)
        if (distance[i] - pieces_[i].bulge <= closest + 2 * reach) near[cell].push_back(i);
      Nearest nearest;
      for (const std::uint32_t i : near[cell]) improve(nearest, pieces_[i], centre);
      deep_[cell] = sample(nearest, centre).distance_m < -(depth_m_ + reach);
      if (deep_[cell]) near[cell].clear();
    }
  });
  first_.push_back(0);
  for (const auto& list : near) {
    candidates_.insert(candidates_.end(), list.begin(), list.end());
    first_.push_back(static_cast<std::uint32_t>(candidates_.size()));
  }
}

void Outline::improve(Nearest& best, const Piece& piece, Vec2d p) const {
  const Cubic& c = piece.curve;
  const double least = chord_distance(c, p) - piece.bulge;
  if (least > 0 && least * least > best.squared) return;
  const Vec2d chord = c[3] - c[0];
  double t = std::clamp(dot(p - c[0], chord) / dot(chord, chord), 0.0, 1.0);
  for (int i = 0; i < 12; ++i) {
    const Vec2d off = point_on(c, t) - p, d = slope(c, t);
    const double first = dot(off, d), flat = dot(d, d), second = flat + dot(off, bend(c, t));
    const double step = second > 0.1 * flat ? first / second : first / std::max(flat, 1e-300);
    const double to = std::clamp(t - step, 0.0, 1.0);
    const bool settled = std::abs(to - t) < 1e-13;
    t = to;
    if (settled) break;
  }
  const Vec2d off = point_on(c, t) - p;
  const double squared = dot(off, off);
  if (squared < best.squared) best = {squared, t, &piece};
}

OutlineSample Outline::sample(const Nearest& nearest, Vec2d p) const {
  const Piece& piece = *nearest.piece;
  const Vec2d off = p - point_on(piece.curve, nearest.t);
  const bool at_in = nearest.t <= 0, at_out = nearest.t >= 1;
  const Vec2d tangent = at_in ? piece.tangent_in : at_out ? piece.tangent_out : tangent_at(piece.curve, nearest.t);
  const Vec2d outward{tangent.y, -tangent.x};
  const double size = std::sqrt(nearest.squared), side = dot(off, outward) < 0 ? -1.0 : 1.0;
  OutlineSample out{side * size, outward};
  const bool corner = (at_in && piece.corner_in) || (at_out && piece.corner_out);
  if (corner && size > 1e-9) out.outward = (side / size) * off;
  if (out.distance_m < -depth_m_) return {-depth_m_, out.outward};
  return out;
}

OutlineSample Outline::at(Vec2d p) const {
  const double gx = (p.x - grid_low_.x) / cell_m_, gy = (p.y - grid_low_.y) / cell_m_;
  Nearest nearest;
  if (gx >= 0 && gy >= 0 && gx < nx_ && gy < ny_) {
    const auto cell = static_cast<std::size_t>(gy) * nx_ + static_cast<std::size_t>(gx);
    if (deep_[cell]) return {-depth_m_, {0, 0}};
    for (std::uint32_t i = first_[cell]; i < first_[cell + 1]; ++i) improve(nearest, pieces_[candidates_[i]], p);
  } else {
    for (const Piece& piece : pieces_) improve(nearest, piece, p);
  }
  return sample(nearest, p);
}

}  // namespace witnessline::body
