#include "body/mesh_shape.h"

#include <numeric>
#include <unordered_map>

#include "base/parallel.h"

namespace witnessline::body {

// Method: inside or outside by the angle-weighted normal of the nearest face, edge or corner.
// Source: baerentzen2005.
MeshShape::MeshShape(const RawMesh& mesh) : triangles_(mesh.triangles) {
  for (const Vec3d p : mesh.points) points_.push_back(static_cast<Vec3>(p)), box_.add(p);
  face_.reserve(triangles_.size());
  corner_.assign(points_.size(), {});
  std::unordered_map<std::uint64_t, Vec3d> edges;
  edges.reserve(triangles_.size() * 2);
  const auto key = [](std::uint32_t a, std::uint32_t b) {
    return static_cast<std::uint64_t>(std::min(a, b)) << 32 | std::max(a, b);
  };
  for (const Triangle& t : triangles_) {
    const Vec3d p[3] = {points_[t[0]], points_[t[1]], points_[t[2]]};
    const Vec3d normal = unit_of(cross(p[1] - p[0], p[2] - p[0]), {0, 0, 0});
    face_.push_back(normal);
    for (int k = 0; k < 3; ++k) {
      const Vec3d u = p[(k + 1) % 3] - p[k], v = p[(k + 2) % 3] - p[k];
      const double cosine = dot(u, v) / std::max(1e-300, length(u) * length(v));
      corner_[t[k]] += std::acos(std::clamp(cosine, -1.0, 1.0)) * normal;
      edges[key(t[k], t[(k + 1) % 3])] += normal;
    }
  }
  for (Vec3d& n : corner_) n = unit_of(n);
  edge_.reserve(triangles_.size());
  for (const Triangle& t : triangles_)
    edge_.push_back(
        {unit_of(edges[key(t[0], t[1])]), unit_of(edges[key(t[1], t[2])]), unit_of(edges[key(t[2], t[0])])});
  smooth_corners();
  tree_ = std::make_unique<TriangleTree>(points_, triangles_);
}

// Normals at the corners: faces that meet there at less than the crease angle, weighted by area, so that a level face
// beside a rounded edge stays level.
void MeshShape::smooth_corners() {
  constexpr double crease_cos =
      0.82;  // ESTIMATE: 35 degrees; a round-over in steps of 20 is smooth, a box's edge is not
  std::vector<std::uint32_t> first(points_.size() + 1, 0), around(3 * triangles_.size());
  for (const Triangle& t : triangles_)
    for (const std::uint32_t v : t) ++first[v + 1];
  std::partial_sum(first.begin(), first.end(), first.begin());
  std::vector<std::uint32_t> at(first.begin(), first.end() - 1);
  std::vector<double> area(triangles_.size());
  for (std::uint32_t i = 0; i < triangles_.size(); ++i) {
    const Triangle& t = triangles_[i];
    for (const std::uint32_t v : t) around[at[v]++] = i;
    const Vec3d a = points_[t[0]], b = points_[t[1]], c = points_[t[2]];
    area[i] = length(cross(b - a, c - a));
  }
  smooth_.resize(triangles_.size());
  for (std::uint32_t i = 0; i < triangles_.size(); ++i)
    for (int k = 0; k < 3; ++k) {
      Vec3d sum;
      const std::uint32_t v = triangles_[i][k];
      for (std::uint32_t j = first[v]; j < first[v + 1]; ++j)
        if (dot(face_[around[j]], face_[i]) > crease_cos) sum += area[around[j]] * face_[around[j]];
      smooth_[i][k] = static_cast<Vec3>(unit_of(sum, face_[i]));
    }
}

Vec3d MeshShape::smooth_normal(Vec3d p) const {
  const SurfacePoint at = tree_->nearest(p).at;
  const std::array<Vec3, 3>& corner = smooth_[at.triangle];
  return unit_of(double(1 - at.u - at.v) * Vec3d(corner[0]) + double(at.u) * Vec3d(corner[1]) +
                 double(at.v) * Vec3d(corner[2]));
}

Sample MeshShape::at(Vec3d p) const {
  const NearestPoint near = tree_->nearest(p);
  const std::uint32_t i = near.at.triangle;
  const Triangle& t = triangles_[i];
  constexpr double hair = 1e-6;
  const double u = near.at.u, v = near.at.v, w = 1 - u - v;
  Vec3d normal = face_[i];
  if (u > 1 - hair)
    normal = corner_[t[1]];
  else if (v > 1 - hair)
    normal = corner_[t[2]];
  else if (w > 1 - hair)
    normal = corner_[t[0]];
  else if (v < hair)
    normal = edge_[i][0];
  else if (w < hair)
    normal = edge_[i][1];
  else if (u < hair)
    normal = edge_[i][2];
  const Vec3d off = p - near.place;
  const double side = dot(off, normal) < 0 ? -1.0 : 1.0;
  return {side * near.distance_m, near.distance_m > 1e-7 ? (side / near.distance_m) * off : normal};
}

namespace {

// ESTIMATES: a place is in a cavity when it is shut in on most sides around and from above or below; a face is level
// when two fifths of it lie within half a millimetre of its plane; a contour is a patch of 10 cm2 at least.
constexpr int directions = 16, shut_in = 10;
constexpr float upright = 0.6f, corner_m = 2.5e-3f;
constexpr double face_slack_m = 0.5e-3, level_share = 0.4, least_contour_m2 = 10e-4;

void find_cavities(const Body::Data& data, Dressing& out) {
  const std::size_t n = data.positions.size();
  const TriangleTree& tree = data.tree();
  Box3 box;
  for (const Vec3 p : data.positions) box.add(p);
  const auto walled = [&](Vec3 from, Vec3 way) {
    const Hit wall = tree.cast({from, way});
    return !wall.missed() && std::abs(data.normals[data.triangles[wall.at.triangle][0]].z) < upright;
  };
  for_chunks(n, 512, [&](std::size_t begin, std::size_t end) {
    for (std::size_t i = begin; i < end; ++i) {
      const Vec3 from = static_cast<Vec3>(Vec3d(data.positions[i]) + face_slack_m * Vec3d(data.normals[i]));
      if (from.z > box.high.z || from.z < box.low.z) continue;
      const bool above = !tree.cast({from, {0, 0, 1}}).missed(), below = !tree.cast({from, {0, 0, -1}}).missed();
      if (!above && !below) continue;
      int hits = 0;
      for (int k = 0; k < directions && hits + directions - k >= shut_in; ++k) {
        const double angle = 6.283185307179586 * (k + 0.5) / directions;
        const Vec3 way{static_cast<float>(std::cos(angle)), static_cast<float>(std::sin(angle)), 0};
        // Only upright walls shut a place in; the slope of a contour does not. Low down a wall may begin with a round
        // corner, so a little nearer the opening counts too.
        hits += walled(from, way) || walled({from.x, from.y, from.z + (above ? -corner_m : corner_m)}, way);
      }
      if (hits < shut_in) continue;
      out.known.bits[i] |= bit_of(Region::cavity);
      out.known.cavity_in_back[i] = above && !below;
    }
  });
}

void find_contours(const Body::Data& data, bool back, Dressing& out) {
  const std::size_t n = data.positions.size();
  const double sign = back ? -1 : 1;
  double top = -1e300;
  for (const Vec3 p : data.positions) top = std::max(top, sign * p.z);
  std::vector<double> area(n, 0);
  for (const Triangle& t : data.triangles) {
    const Vec3d a = data.positions[t[0]], b = data.positions[t[1]], c = data.positions[t[2]];
    for (const std::uint32_t v : t) area[v] += length(cross(b - a, c - a)) / 6;
  }
  const auto faces = [&](std::size_t i) {
    return sign * data.normals[i].z > 0.5 && (out.known.bits[i] & bit_of(Region::cavity)) == 0;
  };
  double face = 0, level = 0;
  for (std::size_t i = 0; i < n; ++i)
    if (faces(i)) face += area[i], level += sign * data.positions[i].z > top - face_slack_m ? area[i] : 0;
  if (level < level_share * face) return;
  std::vector<std::uint8_t> low(n);
  for (std::size_t i = 0; i < n; ++i)
    low[i] =
        faces(i) && sign * data.positions[i].z < top - face_slack_m && data.curvature_max[i] * out.edge_radius_m < 1;
  std::vector<Triangle> patches;
  for (const Triangle& t : data.triangles)
    if (low[t[0]] && low[t[1]] && low[t[2]]) patches.push_back(t);
  std::size_t count = 0;
  const std::vector<std::uint32_t> piece = pieces_of(patches, n, count);
  std::vector<double> size(count, 0);
  for (std::size_t i = 0; i < n; ++i)
    if (low[i]) size[piece[i]] += area[i];
  for (std::size_t i = 0; i < n; ++i)
    if (low[i] && size[piece[i]] > least_contour_m2) out.known.bits[i] |= bit_of(Region::contour);
}

}  // namespace

Dressing dressing_of_surface(const Body::Data& data) {
  const std::size_t n = data.positions.size();
  Dressing out;
  out.known.bits.assign(n, 0);
  out.known.cavity_in_back.assign(n, 0);
  find_cavities(data, out);
  find_contours(data, false, out);
  find_contours(data, true, out);
  out.piece.resize(n);
  for (std::size_t i = 0; i < n; ++i) {
    const bool cavity = out.known.bits[i] & bit_of(Region::cavity);
    const double tilt = cavity ? (out.known.cavity_in_back[i] ? -1 : 1) : data.normals[i].z;
    out.piece[i] = tilt > 0.3 ? WoodPiece::top : tilt < -0.3 ? WoodPiece::back : WoodPiece::sides;
  }
  return out;
}

}  // namespace witnessline::body
