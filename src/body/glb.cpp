// GLB, the binary form of glTF 2.0 (ISO/IEC 12113:2022): triangles of the default scene, in metres.
#include <fmt/format.h>

#include <array>
#include <cstring>
#include <nlohmann/json.hpp>
#include <utility>

#include "body/mesh_file.h"

namespace witnessline::body {
namespace {

using nlohmann::json;

struct Unreadable {
  std::string what;
};
struct Stopped {};
[[noreturn]] void refuse(std::string what) { throw Unreadable{std::move(what)}; }

using Matrix = std::array<double, 16>;  // by columns
constexpr Matrix identity{1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1};
Matrix product(const Matrix& a, const Matrix& b) {
  Matrix out{};
  for (int c = 0; c < 4; ++c)
    for (int r = 0; r < 4; ++r)
      for (int k = 0; k < 4; ++k) out[4 * c + r] += a[4 * k + r] * b[4 * c + k];
  return out;
}
Vec3d moved(const Matrix& m, Vec3d p) {
  return {m[0] * p.x + m[4] * p.y + m[8] * p.z + m[12], m[1] * p.x + m[5] * p.y + m[9] * p.z + m[13],
          m[2] * p.x + m[6] * p.y + m[10] * p.z + m[14]};
}
Matrix matrix_of(const json& node) {
  if (node.contains("matrix")) return node.at("matrix").get<Matrix>();
  const auto t = node.value("translation", std::array<double, 3>{0, 0, 0});
  const auto q = node.value("rotation", std::array<double, 4>{0, 0, 0, 1});
  const auto s = node.value("scale", std::array<double, 3>{1, 1, 1});
  const double x = q[0], y = q[1], z = q[2], w = q[3];
  return {(1 - 2 * (y * y + z * z)) * s[0],
          2 * (x * y + z * w) * s[0],
          2 * (x * z - y * w) * s[0],
          0,
          2 * (x * y - z * w) * s[1],
          (1 - 2 * (x * x + z * z)) * s[1],
          2 * (y * z + x * w) * s[1],
          0,
          2 * (x * z + y * w) * s[2],
          2 * (y * z - x * w) * s[2],
          (1 - 2 * (x * x + y * y)) * s[2],
          0,
          t[0],
          t[1],
          t[2],
          1};
}

class Gltf {
 public:
  Gltf(const json& root, std::string_view binary, const StopCheck& stop) : root_(root), binary_(binary), stop_(stop) {}

  RawMesh mesh() {
    if (const json* nodes = list("nodes")) visited_.assign(nodes->size(), 0);
    if (const json* scenes = list("scenes"); scenes && !scenes->empty()) {
      const auto scene = root_.value("scene", std::size_t{0});
      for (const json& node : scenes->at(scene).value("nodes", json::array()))
        visit(node.get<std::size_t>(), identity, 0);
    } else if (const json* meshes = list("meshes")) {
      for (std::size_t i = 0; i < meshes->size(); ++i) add(i, identity);
    }
    out_.unit_m = 1;
    out_.format = "GLB";
    return std::move(out_);
  }

 private:
  struct View {
    const char* data = nullptr;
    std::size_t count = 0, stride = 0;
    int component = 0;
  };
  const json* list(const char* key) const { return root_.contains(key) ? &root_.at(key) : nullptr; }

  void visit(std::size_t index, const Matrix& above, int depth) {
    const json& node = root_.at("nodes").at(index);
    // glTF 2.0, 3.5.3: nodes form trees, each with one parent at most. A shared child would be drawn twice, and
    // children shared at every level drawn more often than any machine can count.
    if (std::exchange(visited_.at(index), 1))
      refuse(fmt::format("node {} has more than one parent, or is its own parent", index));
    if (depth > 256) refuse("its nodes are nested more than 256 deep");
    const Matrix here = product(above, matrix_of(node));
    if (node.contains("mesh")) add(node.at("mesh").get<std::size_t>(), here);
    for (const json& child : node.value("children", json::array())) visit(child.get<std::size_t>(), here, depth + 1);
  }

  View view(std::size_t accessor_index, std::size_t parts) const {
    const json& accessor = root_.at("accessors").at(accessor_index);
    if (accessor.contains("sparse") || !accessor.contains("bufferView")) refuse("it uses sparse accessors");
    const json& buffer_view = root_.at("bufferViews").at(accessor.at("bufferView").get<std::size_t>());
    if (buffer_view.value("buffer", 0) != 0) refuse("it keeps data in another file");
    View v;
    v.component = accessor.at("componentType").get<int>();
    const std::size_t width = v.component == 5126 || v.component == 5125 ? 4 : v.component == 5123 ? 2 : 1;
    v.count = accessor.at("count").get<std::size_t>();
    v.stride = buffer_view.value("byteStride", width * parts);
    const std::size_t offset =
        buffer_view.value("byteOffset", std::size_t{0}) + accessor.value("byteOffset", std::size_t{0});
    if (v.count == 0 || v.stride < width * parts || v.count > binary_.size() || offset > binary_.size() ||
        v.stride > binary_.size() || (v.count - 1) * v.stride + width * parts > binary_.size() - offset)
      refuse("it is cut short: an accessor reaches past the end of its data");
    v.data = binary_.data() + offset;
    return v;
  }

  void add(std::size_t index, const Matrix& to_scene) {
    if (stopped(stop_)) throw Stopped{};
    for (const json& part : root_.at("meshes").at(index).at("primitives")) {
      if (part.value("mode", 4) != 4) continue;
      if (part.contains("extensions")) refuse("its triangles are compressed by an extension");
      const View places = view(part.at("attributes").at("POSITION").get<std::size_t>(), 3);
      if (places.component != 5126) refuse("its positions are not floats");
      // Meshes may be placed by many nodes, so a small file can ask for any number of points.
      if (places.count > 3 * most_triangles - out_.points.size())
        refuse("it has too many points; reduce the mesh first");
      const auto base = static_cast<std::uint32_t>(out_.points.size());
      for (std::size_t i = 0; i < places.count; ++i) {
        float v[3];
        std::memcpy(v, places.data + i * places.stride, sizeof v);
        out_.points.push_back(moved(to_scene, {v[0], v[1], v[2]}));
      }
      std::vector<std::uint32_t> corners;
      if (part.contains("indices")) {
        const View indices = view(part.at("indices").get<std::size_t>(), 1);
        if (indices.count > 3 * (most_triangles - out_.triangles.size()))
          refuse("it has too many triangles; reduce the mesh first");
        for (std::size_t i = 0; i < indices.count; ++i) {
          std::uint32_t value = 0;
          std::memcpy(&value, indices.data + i * indices.stride,
                      indices.component == 5125   ? 4
                      : indices.component == 5123 ? 2
                                                  : 1);
          if (value >= places.count) refuse("a triangle refers to a point that does not exist");
          corners.push_back(base + value);
        }
      } else {
        for (std::uint32_t i = 0; i < places.count; ++i) corners.push_back(base + i);
      }
      for (std::size_t i = 0; i + 2 < corners.size(); i += 3)
        out_.triangles.push_back({corners[i], corners[i + 1], corners[i + 2]});
    }
  }

  const json& root_;
  std::string_view binary_;
  const StopCheck& stop_;
  std::vector<std::uint8_t> visited_;  ///< nodes
  RawMesh out_;
};

}  // namespace

Result<RawMesh> read_glb(const std::string& bytes, const std::string& file, const StopCheck& stop) {
  const auto word = [&](std::size_t at) {
    std::uint32_t v = 0;
    if (at + 4 <= bytes.size()) std::memcpy(&v, bytes.data() + at, 4);
    return static_cast<std::size_t>(v);
  };
  const auto fault = [&](const std::string& what) {
    return Error{fmt::format("the GLB file cannot be read: {}", what),
                 {file, 0, 0, ""},
                 "a glTF 2.0 binary file",
                 "export the mesh again, uncompressed and in one file"};
  };
  if (bytes.size() < 20) return fault("it is cut short");
  if (word(4) != 2) return fault(fmt::format("its version is {}", word(4)));
  if (word(8) > bytes.size()) return fault(fmt::format("it is cut short: {} of {} bytes", bytes.size(), word(8)));
  const std::size_t json_size = word(12);
  if (word(16) != 0x4E4F534A || json_size > bytes.size() - 20) return fault("its description is missing");
  const json root =
      json::parse(bytes.begin() + 20, bytes.begin() + 20 + static_cast<std::ptrdiff_t>(json_size), nullptr, false);
  if (root.is_discarded() || !root.is_object()) return fault("its description is not JSON");
  std::string_view binary;
  const std::size_t next = 20 + json_size;
  if (next + 8 <= bytes.size() && word(next + 4) == 0x004E4942)
    binary = std::string_view(bytes).substr(next + 8, std::min(word(next), bytes.size() - next - 8));
  try {
    return Gltf(root, binary, stop).mesh();
  } catch (const Unreadable& u) { return fault(u.what); } catch (const Stopped&) {
    return broken_off();
  } catch (const json::exception&) {
    return fault("a part of its description is missing or not of the type glTF 2.0 requires");
  }
}

}  // namespace witnessline::body
