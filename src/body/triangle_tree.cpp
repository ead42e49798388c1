#include "body/triangle_tree.h"

#include <embree3/rtcore.h>

#include <cstring>
#include <limits>

#include "base/result.h"

namespace witnessline {
namespace {

RTCDevice device() {
  static const RTCDevice one = rtcNewDevice(nullptr);
  expects(one != nullptr, "Embree starts");
  return one;
}
bool finite(Vec3 v) { return std::isfinite(v.x) && std::isfinite(v.y) && std::isfinite(v.z); }

struct Search {
  const Vec3* points;
  const Triangle* triangles;
  Vec3d from;
  NearestPoint best;
};
bool visit(RTCPointQueryFunctionArguments* arguments) {
  Search& search = *static_cast<Search*>(arguments->userPtr);
  const Triangle& t = search.triangles[arguments->primID];
  NearestPoint found = nearest_on(search.from, search.points[t[0]], search.points[t[1]], search.points[t[2]]);
  if (found.distance_m >= search.best.distance_m) return false;
  found.at.triangle = arguments->primID;
  search.best = found;
  // A hair more than the distance, so that float rounding never hides an equally near triangle.
  arguments->query->radius = static_cast<float>(found.distance_m * (1 + 1e-6) + 1e-9);
  return true;
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

struct TriangleTree::Scene {
  RTCScene scene = nullptr;
  std::vector<Vec3> points;
  std::vector<Triangle> triangles;
  ~Scene() {
    if (scene) rtcReleaseScene(scene);
  }
};

TriangleTree::TriangleTree(std::span<const Vec3> points, std::span<const Triangle> triangles)
    : scene_(std::make_unique<Scene>()) {
  for (const Vec3 p : points) expects(finite(p), "every point of a surface is finite");
  scene_->points.assign(points.begin(), points.end());
  scene_->triangles.assign(triangles.begin(), triangles.end());
  const RTCGeometry geometry = rtcNewGeometry(device(), RTC_GEOMETRY_TYPE_TRIANGLE);
  void* to =
      rtcSetNewGeometryBuffer(geometry, RTC_BUFFER_TYPE_VERTEX, 0, RTC_FORMAT_FLOAT3, sizeof(Vec3), points.size());
  std::memcpy(to, points.data(), points.size_bytes());
  to =
      rtcSetNewGeometryBuffer(geometry, RTC_BUFFER_TYPE_INDEX, 0, RTC_FORMAT_UINT3, sizeof(Triangle), triangles.size());
  std::memcpy(to, triangles.data(), triangles.size_bytes());
  rtcSetGeometryPointQueryFunction(geometry, visit);
  rtcCommitGeometry(geometry);
  scene_->scene = rtcNewScene(device());
  rtcSetSceneFlags(scene_->scene, RTC_SCENE_FLAG_ROBUST);
  rtcAttachGeometry(scene_->scene, geometry);
  rtcReleaseGeometry(geometry);
  rtcCommitScene(scene_->scene);
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

NearestPoint TriangleTree::nearest(Vec3d p) const {
  expects(std::isfinite(p.x) && std::isfinite(p.y) && std::isfinite(p.z), "places are finite");
  Search search{scene_->points.data(), scene_->triangles.data(), p, {}};
  search.best.distance_m = std::numeric_limits<double>::infinity();
  RTCPointQuery query{};
  query.x = static_cast<float>(p.x), query.y = static_cast<float>(p.y), query.z = static_cast<float>(p.z);
  query.radius = std::numeric_limits<float>::infinity();
  RTCPointQueryContext context;
  rtcInitPointQueryContext(&context);
  rtcPointQuery(scene_->scene, &query, &context, nullptr, &search);
  return search.best;
}

}  // namespace witnessline
