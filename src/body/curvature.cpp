#include "body/curvature.h"

#include <numeric>

#include "base/parallel.h"

namespace witnessline::body {
namespace {

constexpr std::size_t chunk = 1024;

/// Eigenvalues of the symmetric [[a, b], [b, c]].
void set_principal(Body::Data& data, std::size_t i, double a, double b, double c) {
  const double mean = 0.5 * (a + c), spread = std::sqrt(0.25 * (a - c) * (a - c) + b * b);
  data.curvature_min[i] = static_cast<float>(mean - spread);
  data.curvature_max[i] = static_cast<float>(mean + spread);
}

}  // namespace

// Principal curvatures [1/m] of a level set of the distance.
// Law: shape operator S = dn, the change of the unit normal along two tangents, by central differences of 20 um.
// Source: docarmo1976, section 3-2.
// Valid: surface radii well over 20 um.
// Departs: across a crease the difference is taken between its two sides, so a crease reads as a radius of 20 um.
void curvature_of_shape(const Shape& shape, const std::vector<Vec3d>& points, Body::Data& data) {
  const std::size_t n = points.size();
  constexpr double step_m = 20e-6;
  data.normals.resize(n), data.curvature_min.resize(n), data.curvature_max.resize(n);
  for_chunks(n, chunk, [&](std::size_t begin, std::size_t end) {
    for (std::size_t i = begin; i < end; ++i) {
      const auto normal_at = [&](Vec3d p) { return unit_of(shape.at(p).gradient); };
      const Vec3d normal = normal_at(points[i]), u = across(normal), v = cross(normal, u);
      const Vec3d along_u = (0.5 / step_m) * (normal_at(points[i] + step_m * u) - normal_at(points[i] - step_m * u));
      const Vec3d along_v = (0.5 / step_m) * (normal_at(points[i] + step_m * v) - normal_at(points[i] - step_m * v));
      data.normals[i] = static_cast<Vec3>(normal);
      set_principal(data, i, dot(along_u, u), 0.5 * (dot(along_u, v) + dot(along_v, u)), dot(along_v, v));
    }
  });
}

// Principal curvatures [1/m] of a triangle surface.
// Law: normals change linearly about a vertex, dn = S dx; S symmetric by least squares over the vertices within two
// edges, weighted by a Gaussian of one edge length.
// Source: goldfeather2004, section 3 (normal curvature from vertex normals).
// Valid: radii over about two pitches; tighter ones read as about that.
// Departs: no sharper than the normals given.
void curvature_by_fit(const std::vector<Vec3d>& normal, Body::Data& data) {
  const std::size_t n = data.positions.size();
  std::vector<std::uint32_t> first(n + 1, 0), list(3 * data.triangles.size());
  for (const Triangle& t : data.triangles)
    for (const std::uint32_t v : t) ++first[v + 1];
  std::partial_sum(first.begin(), first.end(), first.begin());
  std::vector<std::uint32_t> at(first.begin(), first.end() - 1);
  for (const Triangle& t : data.triangles)
    for (int k = 0; k < 3; ++k) list[at[t[k]]++] = t[(k + 1) % 3];

  std::vector<Vec3d> smooth(n);
  for_chunks(n, chunk, [&](std::size_t begin, std::size_t end) {
    for (std::size_t i = begin; i < end; ++i) {
      Vec3d sum = double(first[i + 1] - first[i]) * normal[i];
      for (std::uint32_t k = first[i]; k < first[i + 1]; ++k) sum += normal[list[k]];
      smooth[i] = unit_of(sum, normal[i]);
    }
  });

  data.normals.resize(n), data.curvature_min.resize(n), data.curvature_max.resize(n);
  for_chunks(n, chunk, [&](std::size_t begin, std::size_t end) {
    std::vector<std::uint32_t> ring;
    for (std::size_t i = begin; i < end; ++i) {
      ring.clear();
      double edge = 0;
      for (std::uint32_t k = first[i]; k < first[i + 1]; ++k) {
        ring.push_back(list[k]);
        edge += length(Vec3d(data.positions[list[k]]) - data.positions[i]);
      }
      edge /= static_cast<double>(ring.size());
      for (std::size_t r = 0, near = ring.size(); r < near; ++r)
        for (std::uint32_t k = first[ring[r]]; k < first[ring[r] + 1]; ++k)
          if (list[k] != i && std::find(ring.begin(), ring.end(), list[k]) == ring.end()) ring.push_back(list[k]);
      const Vec3d here = data.positions[i], m = smooth[i], u = across(m), v = cross(m, u);
      // Normal equations of dn = S dx for S = [[a, b], [b, c]].
      double uu = 0, uv = 0, vv = 0, ra = 0, rb = 0, rc = 0;
      for (const std::uint32_t j : ring) {
        const Vec3d off = Vec3d(data.positions[j]) - here, turn = smooth[j] - m;
        const double x = dot(off, u), y = dot(off, v), p = dot(turn, u), q = dot(turn, v);
        const double w = std::exp(-dot(off, off) / (2 * edge * edge));
        uu += w * x * x, uv += w * x * y, vv += w * y * y;
        ra += w * x * p, rb += w * (y * p + x * q), rc += w * y * q;
      }
      // [uu uv 0; uv uu+vv uv; 0 uv vv] (a b c) = (ra rb rc)
      const double det = uu * ((uu + vv) * vv - uv * uv) - uv * uv * vv;
      double a = 0, b = 0, c = 0;
      if (det > 1e-12 * uu * vv * (uu + vv)) {
        a = (ra * ((uu + vv) * vv - uv * uv) - uv * (rb * vv - uv * rc)) / det;
        b = (uu * (rb * vv - uv * rc) - ra * uv * vv) / det;
        c = (uu * ((uu + vv) * rc - uv * rb) - uv * (uv * rc - 0 * rb) + ra * uv * uv) / det;
      }
      data.normals[i] = static_cast<Vec3>(m);
      set_principal(data, i, a, b, c);
    }
  });
}

}  // namespace witnessline::body
