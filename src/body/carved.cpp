#include "body/carved.h"

#include "base/result.h"

namespace witnessline::body {
namespace {

constexpr double mouth_radius_m = 0.8e-3;  // ESTIMATE: a routed or cut edge after it is broken by hand
constexpr double floor_radius_m = 1.5e-3;  // ESTIMATE: corner between a cavity's floor and wall
constexpr double exact_depth_m = 0.014;    // distances deeper inside than this are not needed
constexpr double plate_edge_m = 4e-3;      // ESTIMATE: thickness of a top or back where it meets the sides

/// Larger of two distances with their edge rounded to radius r; exact for faces at right angles.
Sample rounded_larger(const Sample& a, const Sample& b, double r) {
  const double u = a.distance_m + r, v = b.distance_m + r;
  if (u > 0 && v > 0) {
    const double size = std::sqrt(u * u + v * v);
    return {size - r, (1 / size) * (u * a.gradient + v * b.gradient)};
  }
  return a.distance_m > b.distance_m ? a : b;
}
Sample larger(const Sample& a, const Sample& b) { return a.distance_m > b.distance_m ? a : b; }

}  // namespace

CarvedBody::CarvedBody(const BodySpec& spec, const Loop& outline,
                       const std::vector<std::pair<Loop, CavitySpec>>& cavities)
    : spec_(spec) {
  const double depth = std::max(exact_depth_m, 2 * std::max(spec.edge_radius_m, spec.binding_width_m));
  outline_ = std::make_shared<Outline>(outline, depth);
  if (spec.arch_top_m > 0 || spec.arch_back_m > 0)
    arch_.emplace(*outline_, std::max(spec.edge_radius_m, spec.binding_width_m));
  for (const auto& [loop, c] : cavities) {
    Cavity made;
    made.outline = std::make_shared<Outline>(loop, exact_depth_m);
    made.back = c.face == "back";
    const Vec2d middle = 0.5 * (made.outline->low() + made.outline->high());
    const double surface = face(middle, made.back).height_m;
    // As deep as the body is right through: the floor lies clear of the other face.
    const double depth = c.depth_m > thickness_m(middle) - 1e-6 ? c.depth_m + 0.02 : c.depth_m;
    made.floor_m = made.back ? -(surface - depth) : surface - depth;
    cavities_.push_back(std::move(made));
  }
}

Box3 CarvedBody::bounds() const {
  Box3 box;
  box.add({outline_->low().x, outline_->low().y, -(0.5 * spec_.thickness_m + spec_.arch_back_m)});
  box.add({outline_->high().x, outline_->high().y, 0.5 * spec_.thickness_m + spec_.arch_top_m});
  return box;
}

CarvedBody::Face CarvedBody::face(Vec2d p, bool back) const {
  Face out{0.5 * spec_.thickness_m, {0, 0}, 0};
  const double rise = back ? spec_.arch_back_m : spec_.arch_top_m;
  if (arch_ && rise > 0) {
    const ArchSample arch = arch_->at(p);
    out.height_m += rise * arch.height;
    out.slope = rise * arch.slope;
  }
  for (const ContourSpec& c : spec_.contours) {
    if ((c.face == "back") != back) continue;
    // A scoop that leaves the face level and is deepest at its middle: depth (1 - (r/R)^2)^2.
    const Vec2d off = p - Vec2d{c.x_m, c.y_m};
    const double share = 1 - dot(off, off) / (c.radius_m * c.radius_m);
    if (share <= 0) continue;
    out.height_m -= c.depth_m * share * share;
    out.contour += c.depth_m * share * share;
    out.slope = out.slope + (4 * c.depth_m * share / (c.radius_m * c.radius_m)) * off;
  }
  return out;
}

double CarvedBody::side_height_m(Vec2d p, bool back) const {
  const Face f = face(p, back);
  return f.height_m - (arch_ ? (back ? spec_.arch_back_m : spec_.arch_top_m) * arch_->at(p).height : 0);
}

double CarvedBody::thickness_m(Vec2d p) const { return face(p, false).height_m + face(p, true).height_m; }

Sample CarvedBody::solid(Vec3d p, const OutlineSample& side) const {
  const auto plane = [&](bool back) {
    const Face f = face({p.x, p.y}, back);
    const double steep = std::sqrt(1 + dot(f.slope, f.slope));
    const double sign = back ? -1 : 1;
    return Sample{(sign * p.z - f.height_m) / steep, (1 / steep) * Vec3d{-f.slope.x, -f.slope.y, sign}};
  };
  const Sample around{side.distance_m, {side.outward.x, side.outward.y, 0}};
  return rounded_larger(around, larger(plane(false), plane(true)), spec_.edge_radius_m);
}

Sample CarvedBody::cavity(const Cavity& c, Vec3d p) const {
  const Vec2d low = c.outline->low(), high = c.outline->high();
  const double away = std::max({low.x - p.x, p.x - high.x, low.y - p.y, p.y - high.y});
  if (away > 4e-3) return {away, {0, 0, 0}};
  const OutlineSample wall = c.outline->at({p.x, p.y});
  const Sample floor = c.back ? Sample{p.z - c.floor_m, {0, 0, 1}} : Sample{c.floor_m - p.z, {0, 0, -1}};
  return rounded_larger({wall.distance_m, {wall.outward.x, wall.outward.y, 0}}, floor, floor_radius_m);
}

Sample CarvedBody::at(Vec3d p) const {
  Sample s = solid(p, outline_->at({p.x, p.y}));
  for (const Cavity& c : cavities_) {
    const Sample hole = cavity(c, p);
    s = rounded_larger(s, {-hole.distance_m, -1.0 * hole.gradient}, mouth_radius_m);
  }
  return s;
}

Making CarvedBody::making_at(Vec3d p) const {
  Making out;
  const OutlineSample side = outline_->at({p.x, p.y});
  out.outward = side.outward;
  const double whole = solid(p, side).distance_m;
  for (const Cavity& c : cavities_)
    if (const double hole = -cavity(c, p).distance_m; hole > whole) out.cavity = true, out.cavity_in_back = c.back;
  const double height = side_height_m({p.x, p.y}, p.z < 0);
  const double below = height - std::abs(p.z);  // under the rim's edge
  if (!out.cavity) {
    // ESTIMATE: shaped away by less than half a millimetre reads as face, not contour.
    out.contour = face({p.x, p.y}, p.z < 0).contour > 0.5e-3 && below < spec_.edge_radius_m;
    out.binding = side.distance_m > -spec_.binding_width_m && below < spec_.binding_depth_m;
  }
  const bool plate = out.cavity || below < std::max(plate_edge_m, spec_.edge_radius_m);
  if (plate) out.piece = (out.cavity ? out.cavity_in_back : p.z < 0) ? Making::Piece::back : Making::Piece::top;
  return out;
}

}  // namespace witnessline::body
