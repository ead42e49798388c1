// Makes a mesh file from a traced outline: the body is built at a fine pitch, lightened, and written as binary STL in
// mm.
//   make_mesh OUTLINE.svg OUT.stl THICKNESS_MM EDGE_RADIUS_MM [CAVITY_PATH DEPTH_MM]...
#include <fmt/format.h>

#include <cstring>
#include <fstream>
#include <sstream>

#include "body/spec.h"
#include "body/vec.h"

using namespace witnessline::app;

namespace {

/// Triangles on fewer of the body's own vertices. A vertex is drawn onto a neighbour where the surface stays closed and
/// every triangle stays about as true to the normals at its corners as the ones it replaces.
std::vector<Triangle> lightened(const Body& body) {
  constexpr double longest_m = 0.008, least_shape = 0.15, true_cos = 0.9986;  // 3 degrees
  std::vector<Triangle> triangles(body.triangles().begin(), body.triangles().end());
  std::vector<std::vector<std::uint32_t>> around(body.size());
  for (std::uint32_t i = 0; i < triangles.size(); ++i)
    for (const std::uint32_t v : triangles[i]) around[v].push_back(i);
  std::vector<std::uint8_t> gone(triangles.size(), 0);
  const auto has = [&](std::uint32_t i, std::uint32_t v) {
    return triangles[i][0] == v || triangles[i][1] == v || triangles[i][2] == v;
  };
  const auto place = [&](std::uint32_t v) { return Vec3d(body.positions()[v]); };
  /// Least cosine between a triangle and the normals at its corners; -1 where its shape is poor.
  const auto truth = [&](const Triangle& t) {
    const Vec3d a = place(t[1]) - place(t[0]), b = place(t[2]) - place(t[1]), c = place(t[0]) - place(t[2]);
    const double longest = std::max({length(a), length(b), length(c)});
    const Vec3d n = cross(a, b);
    if (longest > longest_m || length(n) < least_shape * longest * longest) return -1.0;
    double least = 1;
    for (const std::uint32_t v : t) least = std::min(least, dot(unit_of(n), Vec3d(body.normals()[v])));
    return least;
  };
  const auto ring = [&](std::uint32_t v) {
    std::vector<std::uint32_t> out;
    for (const std::uint32_t i : around[v])
      for (const std::uint32_t w : triangles[i])
        if (w != v && std::find(out.begin(), out.end(), w) == out.end()) out.push_back(w);
    return out;
  };
  for (int pass = 0; pass < 12; ++pass) {
    std::size_t drawn = 0;
    for (std::uint32_t v = 0; v < body.size(); ++v) {
      if (around[v].empty()) continue;
      double before = true_cos;
      for (const std::uint32_t i : around[v]) before = std::min(before, truth(triangles[i]));
      const std::vector<std::uint32_t> near = ring(v);
      std::uint32_t best = v;
      double best_truth = before - 1e-4;
      for (const std::uint32_t to : near) {
        const std::vector<std::uint32_t> other = ring(to);
        const auto shared = std::count_if(near.begin(), near.end(), [&](std::uint32_t w) {
          return std::find(other.begin(), other.end(), w) != other.end();
        });
        if (shared != 2) continue;
        double least = 1;
        for (const std::uint32_t i : around[v]) {
          if (has(i, to)) continue;
          Triangle t = triangles[i];
          for (std::uint32_t& w : t) w = w == v ? to : w;
          least = std::min(least, truth(t));
        }
        if (least > best_truth) best = to, best_truth = least;
      }
      if (best == v) continue;
      for (const std::uint32_t i : around[v]) {
        if (has(i, best)) {
          gone[i] = 1;
          for (const std::uint32_t w : triangles[i])
            if (w != v) std::erase(around[w], i);
        } else {
          for (std::uint32_t& w : triangles[i]) w = w == v ? best : w;
          around[best].push_back(i);
        }
      }
      around[v].clear();
      ++drawn;
    }
    if (drawn == 0) break;
  }
  std::vector<Triangle> out;
  for (std::size_t i = 0; i < triangles.size(); ++i)
    if (!gone[i]) out.push_back(triangles[i]);
  return out;
}

}  // namespace

int main(int count, char** words) {
  if (count < 5 || count % 2 == 0) {
    fmt::print(stderr, "make_mesh OUTLINE.svg OUT.stl THICKNESS_MM EDGE_RADIUS_MM [CAVITY_PATH DEPTH_MM]...\n");
    return 2;
  }
  BodySpec spec;
  spec.outline = words[1];
  spec.thickness_m = std::stod(words[3]) * 1e-3;
  spec.edge_radius_m = std::stod(words[4]) * 1e-3;
  for (int i = 5; i + 1 < count; i += 2) {
    CavitySpec cavity;
    cavity.path = words[i];
    cavity.depth_m = std::stod(words[i + 1]) * 1e-3;
    spec.cavities.push_back(cavity);
  }
  std::ifstream in(spec.outline, std::ios::binary);
  std::stringstream bytes;
  bytes << in.rdbuf();
  const Result<BuiltBody> built = build_body(spec, bytes.str(), spec.outline, {});
  if (!built) {
    for (const Error& e : built.errors()) fmt::print(stderr, "{}\n", e.text());
    return 1;
  }
  const Body& body = built->body;
  const std::vector<Triangle> light = lightened(body);

  std::string out(80, '\0');
  const std::string head = "witnessline mesh, our own drawing, unit mm";
  out.replace(0, head.size(), head);
  const auto add = [&](const void* what, std::size_t bytes_of) {
    out.append(static_cast<const char*>(what), bytes_of);
  };
  const auto triangles = static_cast<std::uint32_t>(light.size());
  add(&triangles, 4);
  for (std::size_t t = 0; t < triangles; ++t) {
    const float normal[3] = {0, 0, 0};  // readers take it from the corners
    add(normal, sizeof normal);
    for (int k = 0; k < 3; ++k) {
      const Vec3 p = body.positions()[light[t][k]];
      const float mm[3] = {p.x * 1e3f, p.y * 1e3f, p.z * 1e3f};
      add(mm, sizeof mm);
    }
    add("\0\0", 2);
  }
  std::ofstream(words[2], std::ios::binary).write(out.data(), static_cast<std::streamsize>(out.size()));
  fmt::print("{}: {} triangles, {:.1f} kB\n", words[2], triangles, out.size() / 1e3);
  return 0;
}
