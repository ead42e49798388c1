// Outlines and mesh files made for the tests, and sums over bodies.
#pragma once

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <cmath>
#include <cstring>
#include <fstream>
#include <functional>
#include <map>
#include <sstream>

#include "body/body.h"
#include "body/spec.h"
#include "body/vec.h"

namespace witnessline::body {

inline constexpr double pi = 3.14159265358979323846;

inline std::string file_text(const std::string& path) {
  std::ifstream in(std::string(PROJECT_FOLDER "/") + path, std::ios::binary);
  std::stringstream out;
  out << in.rdbuf();
  return out.str();
}

inline std::string drawing(const std::string& path_data, const std::string& more = "",
                           const std::string& size = R"(width="400mm" height="400mm" viewBox="0 0 400 400")") {
  return fmt::format(R"(<svg xmlns="http://www.w3.org/2000/svg" {}><path id="outline" d="{}"/>{}</svg>)", size,
                     path_data, more);
}

/// Two half discs of radius r joined by straights of length l, upright [mm].
inline std::string stadium(double r, double l) {
  return fmt::format("M{0} {1} A{2} {2} 0 0 1 {3} {1} L{3} {4} A{2} {2} 0 0 1 {0} {4} Z", 200 + r, 200 + l / 2, r,
                     200 - r, 200 - l / 2);
}

struct Mesh {
  std::vector<Vec3d> points;  ///< [mm]
  std::vector<Triangle> triangles;
};

/// A closed surface over a grid that wraps in both directions.
inline Mesh wrapped(int n, int m, const std::function<Vec3d(double, double)>& at) {
  Mesh mesh;
  for (int i = 0; i < n; ++i)
    for (int j = 0; j < m; ++j) mesh.points.push_back(at(2 * pi * i / n, 2 * pi * j / m));
  const auto id = [&](int i, int j) { return static_cast<std::uint32_t>((i % n) * m + j % m); };
  for (int i = 0; i < n; ++i)
    for (int j = 0; j < m; ++j) {
      mesh.triangles.push_back({id(i, j), id(i + 1, j), id(i + 1, j + 1)});
      mesh.triangles.push_back({id(i, j), id(i + 1, j + 1), id(i, j + 1)});
    }
  return mesh;
}
inline Mesh torus(double big, double small) {
  return wrapped(480, 300, [=](double u, double v) {
    const double r = big + small * std::cos(v);
    return Vec3d{r * std::cos(u), r * std::sin(u), small * std::sin(v)};
  });
}
/// A cube's faces divided and drawn out onto a sphere.
inline Mesh sphere(double radius, int n) {
  Mesh mesh;
  std::map<std::array<int, 3>, std::uint32_t> known;
  const auto id = [&](std::array<int, 3> p) {
    const auto [at, fresh] = known.emplace(p, static_cast<std::uint32_t>(mesh.points.size()));
    if (fresh) {
      const auto bent = [&](int v) { return std::tan(pi / 4 * (2.0 * v / n - 1)); };
      mesh.points.push_back(radius * unit_of(Vec3d{bent(p[0]), bent(p[1]), bent(p[2])}));
    }
    return at->second;
  };
  for (int axis = 0; axis < 3; ++axis)
    for (const int side : {0, n})
      for (int i = 0; i < n; ++i)
        for (int j = 0; j < n; ++j) {
          const auto corner = [&](int a, int b) {
            std::array<int, 3> p{};
            p[axis] = side, p[(axis + 1) % 3] = a, p[(axis + 2) % 3] = b;
            return id(p);
          };
          std::array<std::uint32_t, 4> q{corner(i, j), corner(i + 1, j), corner(i + 1, j + 1), corner(i, j + 1)};
          if (side == 0) std::swap(q[1], q[3]);
          mesh.triangles.push_back({q[0], q[1], q[2]});
          mesh.triangles.push_back({q[0], q[2], q[3]});
        }
  return mesh;
}
/// A box of the given sides [mm], its faces in n x n squares.
inline Mesh box(Vec3d size, int n = 12) {
  Mesh mesh = sphere(1, n);
  std::map<std::uint32_t, int> done;
  for (Vec3d& p : mesh.points) {
    const double most = std::max({std::abs(p.x), std::abs(p.y), std::abs(p.z)});
    p = {0.5 * size.x * p.x / most, 0.5 * size.y * p.y / most, 0.5 * size.z * p.z / most};
  }
  return mesh;
}

inline std::string binary_stl(const Mesh& mesh) {
  std::string out(80, ' ');
  const auto add = [&](const void* what, std::size_t size) { out.append(static_cast<const char*>(what), size); };
  const auto count = static_cast<std::uint32_t>(mesh.triangles.size());
  add(&count, 4);
  for (const Triangle& t : mesh.triangles) {
    const float normal[3] = {0, 0, 0};
    add(normal, 12);
    for (const std::uint32_t v : t) {
      const Vec3 p = static_cast<Vec3>(mesh.points[v]);
      add(&p, 12);
    }
    add("\0\0", 2);
  }
  return out;
}
inline Mesh from_binary_stl(const std::string& bytes) {
  Mesh mesh;
  for (std::size_t at = 84; at + 50 <= bytes.size(); at += 50) {
    const auto n = static_cast<std::uint32_t>(mesh.points.size());
    for (int k = 0; k < 3; ++k) {
      float v[3];
      std::memcpy(v, bytes.data() + at + 12 + 12 * k, 12);
      mesh.points.push_back({v[0], v[1], v[2]});
    }
    mesh.triangles.push_back({n, n + 1, n + 2});
  }
  return mesh;
}
inline std::string text_stl(const Mesh& mesh) {
  std::string out = "solid body\n";
  for (const Triangle& t : mesh.triangles) {
    out += "facet normal 0 0 0\n outer loop\n";
    for (const std::uint32_t v : t)
      out += fmt::format("  vertex {} {} {}\n", mesh.points[v].x, mesh.points[v].y, mesh.points[v].z);
    out += " endloop\nendfacet\n";
  }
  return out + "endsolid body\n";
}
inline std::string obj(const Mesh& mesh) {
  std::string out = "# body\n";
  for (const Vec3d& p : mesh.points) out += fmt::format("v {} {} {}\n", p.x, p.y, p.z);
  for (const Triangle& t : mesh.triangles) out += fmt::format("f {}//1 {}//1 {}//1\n", t[0] + 1, t[1] + 1, t[2] + 1);
  return out;
}
/// In metres, as glTF is; the node scales by 0.001.
inline std::string glb(const Mesh& mesh) {
  std::string data;
  for (const Triangle& t : mesh.triangles) data.append(reinterpret_cast<const char*>(t.data()), 12);
  const std::size_t places = data.size();
  for (const Vec3d& p : mesh.points) {
    const Vec3 f = static_cast<Vec3>(p);
    data.append(reinterpret_cast<const char*>(&f), 12);
  }
  std::string json = fmt::format(
      R"({{"asset":{{"version":"2.0"}},"scene":0,"scenes":[{{"nodes":[0]}}],"nodes":[{{"mesh":0,"scale":[0.001,0.001,0.001]}}],)"
      R"("meshes":[{{"primitives":[{{"attributes":{{"POSITION":1}},"indices":0}}]}}],"buffers":[{{"byteLength":{0}}}],)"
      R"("bufferViews":[{{"buffer":0,"byteLength":{1}}},{{"buffer":0,"byteOffset":{1},"byteLength":{2}}}],)"
      R"("accessors":[{{"bufferView":0,"componentType":5125,"count":{3},"type":"SCALAR"}},)"
      R"({{"bufferView":1,"componentType":5126,"count":{4},"type":"VEC3"}}]}})",
      data.size(), places, data.size() - places, 3 * mesh.triangles.size(), mesh.points.size());
  json.resize((json.size() + 3) / 4 * 4, ' ');
  const auto word = [](std::size_t v) {
    const auto w = static_cast<std::uint32_t>(v);
    return std::string(reinterpret_cast<const char*>(&w), 4);
  };
  return "glTF" + word(2) + word(28 + json.size() + data.size()) + word(json.size()) + "JSON" + json +
         word(data.size()) + std::string("BIN\0", 4) + data;
}

inline BodySpec outline_spec(double pitch_mm) {
  BodySpec spec;
  spec.outline = "test.svg";
  spec.pitch_m = pitch_mm * 1e-3;
  return spec;
}
inline BodySpec mesh_spec(double pitch_mm, const std::string& unit = "mm") {
  BodySpec spec;
  spec.mesh = "test.stl";
  spec.mesh_unit = unit;
  spec.pitch_m = pitch_mm * 1e-3;
  return spec;
}
inline BuiltBody built(const BodySpec& spec, const std::string& bytes) {
  Result<BuiltBody> made = build_body(spec, bytes, spec.outline.empty() ? spec.mesh : spec.outline, {});
  if (!made) {
    for (const Error& e : made.errors()) ADD_FAILURE() << e.text();
    throw std::runtime_error("no body");
  }
  return std::move(*made);
}

/// Number of holes through a closed surface, from Euler's formula V - E + F = 2 - 2 g.
inline int holes_through(const Body& body) {
  const auto v = static_cast<long>(body.size()), f = static_cast<long>(body.triangles().size());
  return static_cast<int>((2 - (v - f / 2)) / 2);
}
inline double region_area_m2(const Body& body, Region region) {
  double sum = 0;
  for (std::size_t i = 0; i < body.size(); ++i)
    if (body.in(i, region)) sum += body.areas_m2()[i];
  return sum;
}
/// Length at a share of all edges, sorted [m].
inline std::vector<double> edge_lengths_m(const Body& body) {
  std::vector<double> out;
  for (const Triangle& t : body.triangles())
    for (int k = 0; k < 3; ++k) out.push_back(length(Vec3d(body.positions()[t[k]]) - body.positions()[t[(k + 1) % 3]]));
  std::sort(out.begin(), out.end());
  return out;
}

/// The three demo bodies, as the jobs build them but for the pitch.
inline BodySpec demo_spec(const std::string& name, double pitch_mm) {
  BodySpec s = outline_spec(pitch_mm);
  if (name == "octave_mandolin") {
    s.thickness_m = 0.072, s.arch_top_m = 0.014, s.arch_back_m = 0.011, s.edge_radius_m = 0.0015;
    s.binding_width_m = 0.002, s.binding_depth_m = 0.006, s.binding_material = "maple", s.bent_sides = true;
    s.cavities = {{"sound_hole", 0, 0, 0, 0.045, "front"}};
  } else if (name == "slab_bass") {
    s.thickness_m = 0.040, s.edge_radius_m = 0.004, s.top_wood = s.back_wood = s.side_wood = "ash";
    s.contours = {{-0.150, 0.100, 0.125, 0.014, "front"}, {-0.135, 0.240, 0.115, 0.016, "back"}};
    s.cavities = {{"neck_pocket", 0, 0, 0, 0.016, "front"},
                  {"pickup_bridge", 0, 0, 0, 0.018, "front"},
                  {"pickup_neck", 0, 0, 0, 0.018, "front"},
                  {"controls", 0, 0, 0, 0.030, "front"}};
  } else {
    s.thickness_m = 0.036, s.edge_radius_m = 0.003, s.top_wood = s.back_wood = s.side_wood = "mahogany";
    s.cavities = {{"pickup", 0, 0, 0, 0.018, "front"}, {"controls", 0, 0, 0, 0.026, "front"}};
  }
  return s;
}

}  // namespace witnessline::body
