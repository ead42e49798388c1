#include "bench/surface_walk.h"

namespace witnessline::bench {

SurfaceWalk::SurfaceWalk(const Body& body)
    : body_(body), first_(body.size() + 1), around_(3 * body.triangles().size()) {
  const std::span<const Triangle> triangles = body.triangles();
  for (const Triangle& t : triangles)
    for (const std::uint32_t v : t) ++first_[v + 1];
  for (std::size_t v = 0; v < body.size(); ++v) first_[v + 1] += first_[v];
  std::vector<std::uint32_t> next(first_.begin(), first_.end() - 1);
  for (std::uint32_t t = 0; t < triangles.size(); ++t)
    for (const std::uint32_t v : triangles[t]) around_[next[v]++] = t;
}

std::uint32_t SurfaceWalk::beyond(std::uint32_t triangle, std::uint32_t a, std::uint32_t b) const {
  for (std::uint32_t i = first_[a]; i < first_[a + 1]; ++i) {
    const Triangle& other = body_.triangles()[around_[i]];
    if (around_[i] != triangle && (other[0] == b || other[1] == b || other[2] == b)) return around_[i];
  }
  return triangle;
}

Vec3d SurfaceWalk::normal(std::uint32_t triangle) const {
  const Triangle& t = body_.triangles()[triangle];
  const Vec3d a = body_.positions()[t[0]];
  return unit_of(cross(Vec3d(body_.positions()[t[1]]) - a, Vec3d(body_.positions()[t[2]]) - a));
}

Walker SurfaceWalk::stand(SurfacePoint at, Vec3d ahead) const {
  const Vec3d n = normal(at.triangle);
  const Vec3d flat = ahead - dot(ahead, n) * n;
  return {at, body_.position(at), unit_of(flat, across(n))};
}

bool SurfaceWalk::go(Walker& w, double distance_m) const {
  for (int crossings = 0; crossings < 500; ++crossings) {
    const Triangle& t = body_.triangles()[w.at.triangle];
    const Vec3d corner[3] = {body_.positions()[t[0]], body_.positions()[t[1]], body_.positions()[t[2]]};
    const Vec3d doubled = cross(corner[1] - corner[0], corner[2] - corner[0]);
    const double size = dot(doubled, doubled);
    if (!(size > 0)) return false;
    const double u = static_cast<double>(w.at.u), v = static_cast<double>(w.at.v);
    double share[3] = {1 - u - v, u, v}, rate[3];
    int out = -1;
    double reach_m = distance_m;
    for (int i = 0; i < 3; ++i) {
      const Vec3d side = corner[(i + 2) % 3] - corner[(i + 1) % 3];
      rate[i] = dot(cross(doubled, side), w.ahead) / size;  // how fast corner i's share grows
      if (rate[i] >= 0) continue;
      const double to_m = std::max(0.0, share[i]) / -rate[i];
      if (to_m < reach_m) reach_m = to_m, out = i;
    }
    for (int i = 0; i < 3; ++i) share[i] = std::max(0.0, share[i] + reach_m * rate[i]);
    w.place += reach_m * w.ahead;
    const double sum = share[0] + share[1] + share[2];
    w.at.u = static_cast<float>(share[1] / sum), w.at.v = static_cast<float>(share[2] / sum);
    distance_m -= reach_m;
    if (out < 0) return true;
    // Over the edge: what runs along it stays, what runs at right angles to it tips over with the next triangle.
    const std::uint32_t a = t[(out + 1) % 3], b = t[(out + 2) % 3];
    const std::uint32_t next = beyond(w.at.triangle, a, b);
    if (next == w.at.triangle) return false;
    const Vec3d edge = unit_of(corner[(out + 2) % 3] - corner[(out + 1) % 3]);
    const double along = dot(w.ahead, edge), off = std::sqrt(std::max(0.0, 1 - along * along));
    const Triangle& n = body_.triangles()[next];
    float bary[3] = {0, 0, 0};
    const double to_b = share[(out + 2) % 3] / std::max(1e-30, share[(out + 1) % 3] + share[(out + 2) % 3]);
    Vec3d inward;
    for (int i = 0; i < 3; ++i) {
      if (n[i] == a) bary[i] = static_cast<float>(1 - to_b);
      if (n[i] == b) bary[i] = static_cast<float>(to_b);
      if (n[i] != a && n[i] != b) inward = Vec3d(body_.positions()[n[i]]) - corner[(out + 1) % 3];
    }
    w.ahead = unit_of(along * edge + off * unit_of(inward - dot(inward, edge) * edge));
    w.at = {next, bary[1], bary[2]};
    if (distance_m <= 0) return true;
  }
  return false;
}

}  // namespace witnessline::bench
