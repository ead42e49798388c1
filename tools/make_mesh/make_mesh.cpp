// Makes a mesh file from a traced outline: the body is built at a fine pitch, lightened, and written as binary STL in
// mm.
//   make_mesh OUTLINE.svg OUT.stl THICKNESS_MM EDGE_RADIUS_MM [CAVITY_PATH DEPTH_MM]...
#include <fmt/format.h>
#include <meshoptimizer.h>

#include <cstring>
#include <fstream>
#include <sstream>

#include "body/spec.h"

using namespace witnessline;

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
  const auto* indices = body.triangles().front().data();
  std::vector<unsigned> light(3 * body.triangles().size());
  constexpr float most_off = 0.03e-3f;  // of the true surface [m]
  const float size = meshopt_simplifyScale(&body.positions().front().x, body.size(), sizeof(Vec3));
  light.resize(meshopt_simplify(light.data(), indices, light.size(), &body.positions().front().x, body.size(),
                                sizeof(Vec3), 0, most_off / size, nullptr));

  std::string out(80, '\0');
  const std::string head = "witnessline mesh, our own drawing, unit mm";
  out.replace(0, head.size(), head);
  const auto add = [&](const void* what, std::size_t bytes_of) {
    out.append(static_cast<const char*>(what), bytes_of);
  };
  const auto triangles = static_cast<std::uint32_t>(light.size() / 3);
  add(&triangles, 4);
  for (std::size_t t = 0; t < triangles; ++t) {
    const float normal[3] = {0, 0, 0};  // readers take it from the corners
    add(normal, sizeof normal);
    for (int k = 0; k < 3; ++k) {
      const Vec3 p = body.positions()[light[3 * t + k]];
      const float mm[3] = {p.x * 1e3f, p.y * 1e3f, p.z * 1e3f};
      add(mm, sizeof mm);
    }
    add("\0\0", 2);
  }
  std::ofstream(words[2], std::ios::binary).write(out.data(), static_cast<std::streamsize>(out.size()));
  fmt::print("{}: {} triangles, {:.1f} kB\n", words[2], triangles, out.size() / 1e3);
  return 0;
}
