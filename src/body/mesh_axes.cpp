#include "body/mesh_axes.h"

#include <fmt/format.h>

#include <Eigen/Eigenvalues>
#include <optional>

#include "body/centreline.h"

namespace witnessline::body {
namespace {

constexpr double snap_cos = 0.978;  // ESTIMATE: within 12 degrees of an axis of the file, the axis was meant

std::optional<Vec3d> axis_of(const std::string& word) {
  std::string w = word;
  double sign = 1;
  if (!w.empty() && (w[0] == '+' || w[0] == '-')) sign = w[0] == '-' ? -1 : 1, w.erase(0, 1);
  if (w == "x") return Vec3d{sign, 0, 0};
  if (w == "y") return Vec3d{0, sign, 0};
  if (w == "z") return Vec3d{0, 0, sign};
  return std::nullopt;
}
std::string named(Vec3d v) {
  const char* names[] = {"x", "y", "z"};
  const double c[] = {v.x, v.y, v.z};
  for (int k = 0; k < 3; ++k)
    if (std::abs(c[k]) > 1 - 1e-9) return fmt::format("{}{}", c[k] > 0 ? '+' : '-', names[k]);
  return fmt::format("({:.3f}, {:.3f}, {:.3f})", v.x, v.y, v.z);
}
Vec3d snapped(Vec3d v) {
  for (const Vec3d axis : {Vec3d{1, 0, 0}, Vec3d{0, 1, 0}, Vec3d{0, 0, 1}})
    if (std::abs(dot(v, axis)) > snap_cos) return (dot(v, axis) > 0 ? 1.0 : -1.0) * axis;
  return v;
}

struct Facts {
  Eigen::Matrix3d spread = Eigen::Matrix3d::Zero();
  Vec3d surface_middle, solid_middle;
};

/// Moments of the surface (area weighted) and the middle of the solid.
Facts facts_of(const RawMesh& mesh) {
  Facts f;
  double area = 0, volume = 0;
  for (const Triangle& t : mesh.triangles) {
    const Vec3d a = mesh.points[t[0]], b = mesh.points[t[1]], c = mesh.points[t[2]];
    const double share = length(cross(b - a, c - a));
    area += share;
    f.surface_middle += (share / 3) * (a + b + c);
    const double part = dot(a, cross(b, c));
    volume += part;
    f.solid_middle += (part / 4) * (a + b + c);
  }
  f.surface_middle = (1 / area) * f.surface_middle;
  f.solid_middle = (1 / volume) * f.solid_middle;
  for (const Triangle& t : mesh.triangles) {
    const Vec3d a = mesh.points[t[0]], b = mesh.points[t[1]], c = mesh.points[t[2]];
    const double share = length(cross(b - a, c - a)) / 12;
    for (const Vec3d p : {a + b, b + c, c + a}) {  // mid-edge rule, exact for second moments
      const Vec3d d = 0.5 * p - f.surface_middle;
      const Eigen::Vector3d e(d.x, d.y, d.z);
      f.spread += 4 * share * e * e.transpose();
    }
  }
  return f;
}

/// Unit mean of the face normals that lie along +-axis: sharpens a direction found from moments.
Vec3d squared_up(const RawMesh& mesh, Vec3d axis) {
  for (int round = 0; round < 4; ++round) {
    Vec3d sum;
    for (const Triangle& t : mesh.triangles) {
      const Vec3d n = cross(mesh.points[t[1]] - mesh.points[t[0]], mesh.points[t[2]] - mesh.points[t[0]]);
      const double along = dot(n, axis);
      if (std::abs(along) > 0.95 * length(n)) sum += (along > 0 ? 1.0 : -1.0) * n;
    }
    axis = unit_of(sum, axis);
  }
  return axis;
}

/// How much floor faces along `front` well under the face itself: pockets and holes open there.
double floor_area(const RawMesh& mesh, Vec3d front) {
  double low = 1e300, high = -1e300;
  for (const Vec3d p : mesh.points) low = std::min(low, dot(p, front)), high = std::max(high, dot(p, front));
  double area = 0;
  for (const Triangle& t : mesh.triangles) {
    const Vec3d a = mesh.points[t[0]], b = mesh.points[t[1]], c = mesh.points[t[2]], n = cross(b - a, c - a);
    const double height = dot((1.0 / 3) * (a + b + c), front);
    if (dot(n, front) > 0.98 * length(n) && height < high - 0.2 * (high - low)) area += 0.5 * length(n);
  }
  return area;
}

}  // namespace

Result<Done> into_body_frame(RawMesh& mesh, const BodySpec& spec, const std::string& file, std::vector<Note>& notes) {
  std::vector<Error> errors;
  std::optional<Vec3d> up, front;
  for (const auto& [word, key, axis] : {std::tuple{&spec.up, "up", &up}, std::tuple{&spec.front, "front", &front}}) {
    if (word->empty()) continue;
    *axis = axis_of(*word);
    if (!*axis)
      errors.push_back({fmt::format("'{}' is not an axis", *word),
                        {"", 0, 0, fmt::format("body.{}", key)},
                        "one of +x, -x, +y, -y, +z, -z",
                        ""});
  }
  if (!errors.empty()) return errors;
  if (up && front && std::abs(dot(*up, *front)) > 0.5)
    return Error{"up and front name the same axis", {"", 0, 0, "body.front"}, "two axes at right angles", ""};

  const Facts facts = facts_of(mesh);
  const Eigen::SelfAdjointEigenSolver<Eigen::Matrix3d> solver(facts.spread);
  const auto principal = [&](int k) {
    const Eigen::Vector3d v = solver.eigenvectors().col(k);
    return Vec3d{v[0], v[1], v[2]};
  };
  std::string doubt;
  const bool up_given = up.has_value(), front_given = front.has_value();
  if (!front) {
    Vec3d found = snapped(principal(0));
    if (named(found)[0] == '(') found = squared_up(mesh, found);
    if (up) found = unit_of(found - dot(found, *up) * *up, across(*up));
    const double here = floor_area(mesh, found), there = floor_area(mesh, -1.0 * found);
    if (there > 1.2 * here + 1e-4)
      found = -1.0 * found;
    else if (here <= 1.2 * there + 1e-4) {
      doubt = ", front and back look alike";
      if (found.x + found.y + found.z < 0) found = -1.0 * found;
    }
    front = found;
  }
  if (!up) {
    Vec3d found = snapped(principal(2));
    found = unit_of(found - dot(found, *front) * *front, across(*front));
    double low = 1e300, high = -1e300;
    for (const Vec3d p : mesh.points) low = std::min(low, dot(p, found)), high = std::max(high, dot(p, found));
    const double lean = dot(facts.solid_middle, found) - 0.5 * (low + high);  // most of the wood lies at the tail
    if (lean > 0) found = -1.0 * found;
    if (std::abs(lean) < 0.005 * (high - low)) doubt += ", both ends look alike";
    up = found;
  }
  if (!up_given || !front_given)
    notes.push_back(
        {doubt.empty() ? Severity::information : Severity::caution,
         fmt::format("{}: found from the shape: {}{}{}{}; state `up` and `front` if that is wrong", file,
                     up_given ? "" : "the neck points to " + named(*up), !up_given && !front_given ? ", " : "",
                     front_given ? "" : "the front faces " + named(*front), doubt),
         "body"});

  const Vec3d y = *up, z = *front, x = cross(y, z);
  Box3 box;
  for (Vec3d& p : mesh.points) {
    p = {dot(p, x), dot(p, y), dot(p, z)};
    box.add(p);
  }
  std::vector<std::array<Vec2d, 2>> lines;
  for (const Triangle& t : mesh.triangles)
    for (int k = 0; k < 3; ++k) {
      const Vec3d a = mesh.points[t[k]], b = mesh.points[t[(k + 1) % 3]];
      lines.push_back({Vec2d{a.x, a.y}, Vec2d{b.x, b.y}});
    }
  const Vec3d shift{centreline_x(lines, box.low.y, box.high.y), box.low.y, 0.5 * (box.low.z + box.high.z)};
  for (Vec3d& p : mesh.points) p = p - shift;
  return Done{};
}

}  // namespace witnessline::body
