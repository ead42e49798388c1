// GLB: glTF 2.0 in one binary file (Khronos, glTF 2.0 specification, clauses 3.6, 3.7 and 4.4).
#include <algorithm>
#include <cmath>
#include <cstring>
#include <nlohmann/json.hpp>

#include "view/light_mesh.h"
#include "view/pictures.h"

namespace witnessline::view {
namespace {

constexpr int float_type = 5126, uint_type = 5125, ushort_type = 5123;  // componentType words of the specification
constexpr int vertex_target = 34962, index_target = 34963;

template <class T>
nlohmann::json append(std::vector<std::uint8_t>& bytes, const std::vector<T>& values, int target) {
  const std::size_t offset = bytes.size(), length = values.size() * sizeof(T);
  bytes.resize(offset + length);
  std::memcpy(bytes.data() + offset, values.data(), length);
  while (bytes.size() % 4) bytes.push_back(0);
  return {{"buffer", 0}, {"byteOffset", offset}, {"byteLength", length}, {"target", target}};
}

void append_word(std::vector<std::uint8_t>& bytes, std::size_t value) {
  for (int i = 0; i < 4; ++i) bytes.push_back(static_cast<std::uint8_t>(value >> (8 * i)));
}

void append_part(std::vector<std::uint8_t>& bytes, const char* type, const std::uint8_t* data, std::size_t size) {
  append_word(bytes, size);
  bytes.insert(bytes.end(), type, type + 4);
  bytes.insert(bytes.end(), data, data + size);
}

}  // namespace

std::vector<std::uint8_t> glb(const Film& film, const ViewContext& view_context, std::size_t most_vertices) {
  const LightMesh mesh = light_mesh(view_context.body, most_vertices > 0 ? most_vertices : view_context.body.size());
  const auto seen = vertex_colours(film, view_context);
  // glTF wants linear colours; 16 bits, because 8 linear bits band in dark finishes.
  std::array<std::uint16_t, 256> linear{};
  for (std::size_t i = 0; i < linear.size(); ++i)
    linear[i] = static_cast<std::uint16_t>(std::lround(65535 * srgb_decode(static_cast<double>(i) / 255)));
  std::vector<std::array<std::uint16_t, 4>> colours;
  colours.reserve(mesh.source_vertex.size());
  for (const std::uint32_t v : mesh.source_vertex)
    colours.push_back({linear[seen[v][0]], linear[seen[v][1]], linear[seen[v][2]], 65535});

  std::array<float, 3> low{0, 0, 0}, high{0, 0, 0};
  if (!mesh.positions.empty()) low = high = {mesh.positions[0].x, mesh.positions[0].y, mesh.positions[0].z};
  for (const Vec3& p : mesh.positions) {
    const std::array<float, 3> at{p.x, p.y, p.z};
    for (std::size_t c = 0; c < 3; ++c) low[c] = std::min(low[c], at[c]), high[c] = std::max(high[c], at[c]);
  }

  std::vector<std::uint8_t> binary;
  nlohmann::json views = nlohmann::json::array();
  views.push_back(append(binary, mesh.positions, vertex_target));
  views.push_back(append(binary, mesh.normals, vertex_target));
  views.push_back(append(binary, colours, vertex_target));
  views.push_back(append(binary, mesh.triangles, index_target));
  const std::size_t n = mesh.positions.size();
  const nlohmann::json gltf = {
      {"asset", {{"version", "2.0"}, {"generator", "Witnessline"}}},
      {"scene", 0},
      {"scenes", {{{"nodes", {0}}}}},
      {"nodes", {{{"mesh", 0}, {"name", "body"}}}},
      {"materials",
       {{{"name", "finish"}, {"pbrMetallicRoughness", {{"metallicFactor", 0.0}, {"roughnessFactor", 0.35}}}}}},
      {"meshes",
       {{{"primitives",
          {{{"attributes", {{"POSITION", 0}, {"NORMAL", 1}, {"COLOR_0", 2}}}, {"indices", 3}, {"material", 0}}}}}}},
      {"accessors",
       {{{"bufferView", 0}, {"componentType", float_type}, {"count", n}, {"type", "VEC3"}, {"min", low}, {"max", high}},
        {{"bufferView", 1}, {"componentType", float_type}, {"count", n}, {"type", "VEC3"}},
        {{"bufferView", 2}, {"componentType", ushort_type}, {"normalized", true}, {"count", n}, {"type", "VEC4"}},
        {{"bufferView", 3}, {"componentType", uint_type}, {"count", mesh.triangles.size() * 3}, {"type", "SCALAR"}}}},
      {"bufferViews", views},
      {"buffers", {{{"byteLength", binary.size()}}}}};
  std::string json = gltf.dump();
  while (json.size() % 4) json += ' ';

  std::vector<std::uint8_t> bytes{'g', 'l', 'T', 'F'};
  append_word(bytes, 2);
  append_word(bytes, 12 + 8 + json.size() + 8 + binary.size());
  append_part(bytes, "JSON", reinterpret_cast<const std::uint8_t*>(json.data()), json.size());
  append_part(bytes, "BIN\0", binary.data(), binary.size());
  return bytes;
}

}  // namespace witnessline::view
