#include "body/triangle_tree.h"

#include <embree3/rtcore.h>

#include <algorithm>
#include <array>
#include <cstring>
#include <initializer_list>
#include <limits>
#include <numeric>
#include <type_traits>

#include "base/result.h"
#include "body/ray_scene.h"

namespace witnessline::body {
namespace {

RTCDevice device() {
  static const RTCDevice one = rtcNewDevice(nullptr);
  expects(one != nullptr, "Embree starts");
  return one;
}
bool finite(Vec3 v) { return std::isfinite(v.x) && std::isfinite(v.y) && std::isfinite(v.z); }

constexpr std::size_t packet = 8;

/// Up to eight rays as Embree wants them.
template <class Shot>
class Packet {
 public:
  Packet() {
    RTCRay8& ray = lanes();
    for (std::size_t i = 0; i < packet; ++i)
      ray.tnear[i] = 0, ray.time[i] = 0, ray.mask[i] = ~0u, ray.id[i] = ray.flags[i] = 0;
    rtcInitIntersectContext(&context);
  }
  void load(std::span<const Ray> rays) {
    RTCRay8& ray = lanes();
    for (std::size_t i = 0; i < packet; ++i) {
      valid[i] = i < rays.size() ? -1 : 0;  // lanes past the last ray are switched off
      const Ray& one = rays[std::min(i, rays.size() - 1)];
      ray.org_x[i] = one.origin.x, ray.org_y[i] = one.origin.y, ray.org_z[i] = one.origin.z;
      ray.dir_x[i] = one.direction.x, ray.dir_y[i] = one.direction.y, ray.dir_z[i] = one.direction.z;
      ray.tfar[i] = std::numeric_limits<float>::infinity();
    }
  }
  RTCRay8& lanes() {
    if constexpr (std::is_same_v<Shot, RTCRayHit8>)
      return shot.ray;
    else
      return shot;
  }

  Shot shot;
  RTCIntersectContext context;
  alignas(32) int valid[packet];
};

void expect_finite(std::span<const Ray> rays) {
  float sum = 0;  // nothing times zero stays zero unless it is not finite
  for (const Ray& r : rays)
    sum += 0 * (r.origin.x + r.origin.y + r.origin.z) + 0 * (r.direction.x + r.direction.y + r.direction.z);
  expects(sum == 0, "rays are finite");
}

/// By packets of neighbours: `shoot` asks Embree, `read` takes lane i as the answer to a ray.
template <class Shot>
void by_packets(std::span<const Ray> rays, const auto& shoot, const auto& read) {
  expect_finite(rays);
  Packet<Shot> eight;
  for (std::size_t first = 0; first < rays.size(); first += packet) {
    const std::size_t count = std::min(packet, rays.size() - first);
    eight.load(rays.subspan(first, count));
    shoot(eight);
    for (std::size_t i = 0; i < count; ++i) read(first + i, eight.shot, i);
  }
}

/// First hits. Triangles of the second geometry of a scene are counted on from `others_from`.
void cast_packets(RTCScene scene, std::span<const Ray> rays, std::span<Hit> hits, std::uint32_t others_from = 0) {
  expects(hits.size() == rays.size(), "one answer a ray");
  by_packets<RTCRayHit8>(
      rays,
      [&](Packet<RTCRayHit8>& eight) {
        for (unsigned& id : eight.shot.hit.geomID) id = RTC_INVALID_GEOMETRY_ID;
        rtcIntersect8(eight.valid, scene, &eight.context, &eight.shot);
      },
      [&](std::size_t ray, const RTCRayHit8& shot, std::size_t i) {
        const unsigned geometry = shot.hit.geomID[i];
        if (geometry == RTC_INVALID_GEOMETRY_ID)
          hits[ray] = {};
        else
          hits[ray] = {shot.ray.tfar[i],
                       {shot.hit.primID[i] + (geometry == 1 ? others_from : 0), shot.hit.u[i], shot.hit.v[i]}};
      });
}

RTCGeometry geometry_of(std::span<const Vec3> points, std::span<const Triangle> triangles) {
  const RTCGeometry geometry = rtcNewGeometry(device(), RTC_GEOMETRY_TYPE_TRIANGLE);
  void* to =
      rtcSetNewGeometryBuffer(geometry, RTC_BUFFER_TYPE_VERTEX, 0, RTC_FORMAT_FLOAT3, sizeof(Vec3), points.size());
  std::memcpy(to, points.data(), points.size_bytes());
  to =
      rtcSetNewGeometryBuffer(geometry, RTC_BUFFER_TYPE_INDEX, 0, RTC_FORMAT_UINT3, sizeof(Triangle), triangles.size());
  std::memcpy(to, triangles.data(), triangles.size_bytes());
  rtcCommitGeometry(geometry);
  return geometry;
}

RTCScene scene_of(std::initializer_list<RTCGeometry> geometries) {
  const RTCScene scene = rtcNewScene(device());
  rtcSetSceneFlags(scene, RTC_SCENE_FLAG_ROBUST);
  for (const RTCGeometry geometry : geometries) rtcAttachGeometry(scene, geometry);
  rtcCommitScene(scene);
  return scene;
}

}  // namespace

// Method: the region of the triangle's plane the foot falls in decides between corner, edge and face (Ericson 2005,
// Real-Time Collision Detection, section 5.1.5; memory).
NearestPoint nearest_on(Vec3d p, Vec3d a, Vec3d b, Vec3d c) {
  const auto made = [&](double u, double v) {
    NearestPoint out;
    out.at = {0, static_cast<float>(u), static_cast<float>(v)};
    out.place = a + u * (b - a) + v * (c - a);
    out.distance_m = length(p - out.place);
    return out;
  };
  const Vec3d ab = b - a, ac = c - a, ap = p - a, bp = p - b, cp = p - c;
  const double d1 = dot(ab, ap), d2 = dot(ac, ap), d3 = dot(ab, bp), d4 = dot(ac, bp), d5 = dot(ab, cp),
               d6 = dot(ac, cp);
  if (d1 <= 0 && d2 <= 0) return made(0, 0);
  if (d3 >= 0 && d4 <= d3) return made(1, 0);
  if (d6 >= 0 && d5 <= d6) return made(0, 1);
  const double vc = d1 * d4 - d3 * d2, vb = d5 * d2 - d1 * d6, va = d3 * d6 - d5 * d4;
  if (vc <= 0 && d1 >= 0 && d3 <= 0) return made(d1 / (d1 - d3), 0);
  if (vb <= 0 && d2 >= 0 && d6 <= 0) return made(0, d2 / (d2 - d6));
  if (va <= 0 && d4 - d3 >= 0 && d5 - d6 >= 0) {
    const double w = (d4 - d3) / ((d4 - d3) + (d5 - d6));
    return made(1 - w, w);
  }
  const double sum = va + vb + vc;
  return made(vb / sum, vc / sum);
}

namespace {

/// Nested boxes around triangles, for nearest points in double precision.
class Boxes {
 public:
  Boxes() = default;
  Boxes(const std::vector<Vec3>& points, const std::vector<Triangle>& triangles) : order_(triangles.size()) {
    std::iota(order_.begin(), order_.end(), 0u);
    middle_.reserve(triangles.size());
    for (const Triangle& t : triangles)
      middle_.push_back(static_cast<Vec3>((1.0 / 3) * (Vec3d(points[t[0]]) + points[t[1]] + points[t[2]])));
    nodes_.reserve(triangles.size());
    grow(0, static_cast<std::uint32_t>(triangles.size()), points, triangles);
    middle_ = {};
  }

  NearestPoint nearest(Vec3d p, const std::vector<Vec3>& points, const std::vector<Triangle>& triangles) const {
    NearestPoint best;
    best.distance_m = std::numeric_limits<double>::infinity();
    struct Open {
      std::uint32_t node;
      double least_squared;
    };
    std::array<Open, 64> stack;
    std::size_t size = 0;
    stack[size++] = {0, 0};
    while (size > 0) {
      const auto [at, least] = stack[--size];
      if (least >= best.distance_m * best.distance_m) continue;
      const Node& node = nodes_[at];
      if (node.right == 0) {
        for (std::uint32_t k = node.begin; k < node.end; ++k) {
          const Triangle& t = triangles[order_[k]];
          NearestPoint found = nearest_on(p, points[t[0]], points[t[1]], points[t[2]]);
          if (found.distance_m < best.distance_m) found.at.triangle = order_[k], best = found;
        }
        continue;
      }
      const double left = gap_squared(nodes_[at + 1], p), right = gap_squared(nodes_[node.right], p);
      const Open a{at + 1, left}, b{node.right, right};
      stack[size++] = left < right ? b : a;
      stack[size++] = left < right ? a : b;
    }
    return best;
  }

  void each_in(Vec3d low, Vec3d high, const std::vector<Vec3>& points, const std::vector<Triangle>& triangles,
               const std::function<void(std::uint32_t)>& visit) const {
    std::array<std::uint32_t, 64> stack;
    std::size_t size = 0;
    stack[size++] = 0;
    while (size > 0) {
      const std::uint32_t at = stack[--size];
      const Node& node = nodes_[at];
      if (apart(node.low, node.high, low, high)) continue;
      if (node.right != 0) {
        stack[size++] = at + 1;
        stack[size++] = node.right;
        continue;
      }
      for (std::uint32_t k = node.begin; k < node.end; ++k) {
        const Triangle& t = triangles[order_[k]];
        Box3 box;
        for (const std::uint32_t v : t) box.add(points[v]);
        if (!apart(box.low, box.high, low, high)) visit(order_[k]);
      }
    }
  }

 private:
  static bool apart(Vec3d low, Vec3d high, Vec3d other_low, Vec3d other_high) {
    return low.x > other_high.x || low.y > other_high.y || low.z > other_high.z || high.x < other_low.x ||
           high.y < other_low.y || high.z < other_low.z;
  }
  struct Node {
    Vec3 low, high;
    std::uint32_t begin = 0, end = 0, right = 0;  ///< right 0: a leaf; the left child follows its parent
  };
  static double gap_squared(const Node& n, Vec3d p) {
    const double x = std::max({0.0, n.low.x - p.x, p.x - n.high.x}), y = std::max({0.0, n.low.y - p.y, p.y - n.high.y}),
                 z = std::max({0.0, n.low.z - p.z, p.z - n.high.z});
    return x * x + y * y + z * z;
  }
  std::uint32_t grow(std::uint32_t begin, std::uint32_t end, const std::vector<Vec3>& points,
                     const std::vector<Triangle>& triangles) {
    const auto at = static_cast<std::uint32_t>(nodes_.size());
    nodes_.emplace_back();
    Node node{{1e30f, 1e30f, 1e30f}, {-1e30f, -1e30f, -1e30f}, begin, end, 0};
    const auto stretch = [](Vec3& low, Vec3& high, Vec3 p) {
      low = {std::min(low.x, p.x), std::min(low.y, p.y), std::min(low.z, p.z)};
      high = {std::max(high.x, p.x), std::max(high.y, p.y), std::max(high.z, p.z)};
    };
    Vec3 low = node.low, high = node.high;
    for (std::uint32_t k = begin; k < end; ++k) {
      for (const std::uint32_t v : triangles[order_[k]]) stretch(node.low, node.high, points[v]);
      stretch(low, high, middle_[order_[k]]);
    }
    if (end - begin > 4) {
      const float x = high.x - low.x, y = high.y - low.y, z = high.z - low.z;
      float Vec3::*axis = x >= y && x >= z ? &Vec3::x : y >= z ? &Vec3::y : &Vec3::z;
      const std::uint32_t half = begin + (end - begin) / 2;
      std::nth_element(order_.begin() + begin, order_.begin() + half, order_.begin() + end,
                       [&](std::uint32_t i, std::uint32_t j) {
                         return middle_[i].*axis != middle_[j].*axis ? middle_[i].*axis < middle_[j].*axis : i < j;
                       });
      grow(begin, half, points, triangles);
      node.right = grow(half, end, points, triangles);
    }
    nodes_[at] = node;
    return at;
  }

  std::vector<std::uint32_t> order_;
  std::vector<Vec3> middle_;
  std::vector<Node> nodes_;
};

}  // namespace

struct TriangleTree::Scene {
  RTCGeometry surface = nullptr;
  RTCScene scene = nullptr;
  Boxes boxes;
  std::vector<Vec3> points;
  std::vector<Triangle> triangles;
  ~Scene() {
    if (scene) rtcReleaseScene(scene);
    if (surface) rtcReleaseGeometry(surface);
  }
};

TriangleTree::TriangleTree(std::span<const Vec3> points, std::span<const Triangle> triangles)
    : scene_(std::make_unique<Scene>()) {
  for (const Vec3 p : points) expects(finite(p), "every point of a surface is finite");
  scene_->points.assign(points.begin(), points.end());
  scene_->triangles.assign(triangles.begin(), triangles.end());
  scene_->boxes = Boxes(scene_->points, scene_->triangles);
  scene_->surface = geometry_of(points, triangles);
  scene_->scene = scene_of({scene_->surface});
}
TriangleTree::~TriangleTree() = default;

Hit TriangleTree::cast(const Ray& ray) const {
  expects(finite(ray.origin) && finite(ray.direction), "rays are finite");
  RTCIntersectContext context;
  rtcInitIntersectContext(&context);
  RTCRayHit shot{};
  shot.ray.org_x = ray.origin.x, shot.ray.org_y = ray.origin.y, shot.ray.org_z = ray.origin.z;
  shot.ray.dir_x = ray.direction.x, shot.ray.dir_y = ray.direction.y, shot.ray.dir_z = ray.direction.z;
  shot.ray.tfar = std::numeric_limits<float>::infinity();
  shot.ray.mask = ~0u;
  shot.hit.geomID = RTC_INVALID_GEOMETRY_ID;
  shot.hit.instID[0] = RTC_INVALID_GEOMETRY_ID;
  rtcIntersect1(scene_->scene, &context, &shot);
  if (shot.hit.geomID == RTC_INVALID_GEOMETRY_ID) return {};
  return {shot.ray.tfar, {shot.hit.primID, shot.hit.u, shot.hit.v}};
}

void TriangleTree::cast(std::span<const Ray> rays, std::span<Hit> hits) const {
  cast_packets(scene_->scene, rays, hits);
}

NearestPoint TriangleTree::nearest(Vec3d p) const {
  expects(std::isfinite(p.x) && std::isfinite(p.y) && std::isfinite(p.z), "places are finite");
  return scene_->boxes.nearest(p, scene_->points, scene_->triangles);
}

void TriangleTree::each_in(Vec3d low, Vec3d high, const std::function<void(std::uint32_t)>& visit) const {
  scene_->boxes.each_in(low, high, scene_->points, scene_->triangles, visit);
}

struct RayScene::Scene {
  RTCScene scene = nullptr;
  std::uint32_t others_from = 0;
  ~Scene() {
    if (scene) rtcReleaseScene(scene);
  }
};

RayScene::RayScene(const Body& body, std::span<const Vec3> points, std::span<const Triangle> triangles)
    : scene_(std::make_unique<Scene>()) {
  const TriangleTree::Scene& own = *body.tree().scene_;
  scene_->others_from = static_cast<std::uint32_t>(body.triangles().size());
  if (triangles.empty()) {
    rtcRetainScene(own.scene);
    scene_->scene = own.scene;
    return;
  }
  for (const Vec3 p : points) expects(finite(p), "every point of a surface is finite");
  // One scene over both, not two instances: building it anew costs less than a second level for every ray.
  const RTCGeometry others = geometry_of(points, triangles);
  scene_->scene = scene_of({own.surface, others});
  rtcReleaseGeometry(others);
}
RayScene::RayScene(RayScene&&) noexcept = default;
RayScene::~RayScene() = default;

void RayScene::cast(std::span<const Ray> rays, std::span<Hit> hits) const {
  cast_packets(scene_->scene, rays, hits, scene_->others_from);
}

void RayScene::blocked(std::span<const Ray> rays, std::span<std::uint8_t> is_blocked) const {
  expects(is_blocked.size() == rays.size(), "one answer a ray");
  by_packets<RTCRay8>(
      rays, [&](Packet<RTCRay8>& eight) { rtcOccluded8(eight.valid, scene_->scene, &eight.context, &eight.shot); },
      [&](std::size_t ray, const RTCRay8& shot, std::size_t i) { is_blocked[ray] = shot.tfar[i] < 0 ? 1 : 0; });
}

}  // namespace witnessline::body
