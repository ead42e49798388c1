#include "body/mesh_file.h"

#include <fmt/format.h>

#include <charconv>
#include <cstring>
#include <optional>

namespace witnessline::body {
namespace {

constexpr std::size_t stl_head = 84, stl_record = 50;
constexpr int lines_a_look = 8192;  // between looks at whether the reading is still wanted

std::uint32_t count_in_stl(const std::string& bytes) {
  std::uint32_t count = 0;
  if (bytes.size() >= stl_head) std::memcpy(&count, bytes.data() + 80, 4);
  return count;
}

/// Lines and words of a text file, with the line number for errors.
class Lines {
 public:
  explicit Lines(std::string_view text) : rest_(text) {}
  bool next(std::vector<std::string_view>& words) {
    if (rest_.empty()) return false;
    ++line_;
    const std::size_t end = rest_.find('\n');
    std::string_view line = rest_.substr(0, end);
    rest_ = end == std::string_view::npos ? std::string_view{} : rest_.substr(end + 1);
    words.clear();
    while (true) {
      const std::size_t from = line.find_first_not_of(" \t\r");
      if (from == std::string_view::npos) return true;
      const std::size_t to = std::min(line.find_first_of(" \t\r", from), line.size());
      words.push_back(line.substr(from, to - from));
      line = line.substr(to);
    }
  }
  int line() const { return line_; }

 private:
  std::string_view rest_;
  int line_ = 0;
};

std::optional<double> number(std::string_view word) {
  if (!word.empty() && word[0] == '+') word.remove_prefix(1);
  double value = 0;
  const auto [end, code] = std::from_chars(word.data(), word.data() + word.size(), value);
  if (code != std::errc{} || end != word.data() + word.size()) return std::nullopt;
  return value;
}
std::optional<Vec3d> point(const std::vector<std::string_view>& words) {
  if (words.size() < 4) return std::nullopt;
  const auto x = number(words[1]), y = number(words[2]), z = number(words[3]);
  if (!x || !y || !z) return std::nullopt;
  return Vec3d{*x, *y, *z};
}

Error at_line(const std::string& file, int line, std::string what, std::string expected) {
  return {std::move(what), {file, line, 0, ""}, std::move(expected), "export the mesh again"};
}

Result<RawMesh> read_text_stl(const std::string& bytes, const std::string& file, const StopCheck& stop) {
  RawMesh mesh;
  mesh.format = "text STL";
  Lines lines(bytes);
  std::vector<std::string_view> words;
  int corners = 0;
  bool ended = false;
  while (lines.next(words)) {
    if (lines.line() % lines_a_look == 0 && stopped(stop)) return broken_off();
    if (words.empty()) continue;
    if (words[0] == "vertex") {
      const std::optional<Vec3d> p = point(words);
      if (!p) return at_line(file, lines.line(), "a corner cannot be read", "vertex x y z");
      mesh.points.push_back(*p);
      ++corners;
    } else if (words[0] == "endloop") {
      if (corners != 3) return at_line(file, lines.line(), fmt::format("a facet has {} corners", corners), "three");
      const auto n = static_cast<std::uint32_t>(mesh.points.size());
      mesh.triangles.push_back({n - 3, n - 2, n - 1});
      corners = 0;
    } else if (words[0] == "endsolid") {
      ended = true;
    } else if (words[0] != "solid" && words[0] != "facet" && words[0] != "outer" && words[0] != "endfacet") {
      return at_line(file, lines.line(), fmt::format("'{}' does not belong in an STL file", words[0].substr(0, 40)),
                     "solid, facet, outer loop, vertex, endloop, endfacet or endsolid");
    }
  }
  if (!ended || corners != 0) return at_line(file, lines.line(), "the file is cut short", "endsolid at its end");
  return mesh;
}

}  // namespace

Result<RawMesh> read_stl(const std::string& bytes, const std::string& file, const StopCheck& stop) {
  const std::uint64_t count = count_in_stl(bytes), whole = stl_head + stl_record * count;
  if (bytes.size() < stl_head || (bytes.size() != whole && bytes.compare(0, 5, "solid") == 0))
    return read_text_stl(bytes, file, stop);
  if (bytes.size() < whole)
    return Error{fmt::format("the file is cut short: it states {} triangles, {} bytes, and has {} bytes", count, whole,
                             bytes.size()),
                 {file, 0, 0, ""},
                 "a whole binary STL file",
                 "copy or export it again"};
  RawMesh mesh;
  mesh.format = "binary STL";
  mesh.points.reserve(3 * count);
  mesh.triangles.reserve(count);
  for (std::uint64_t i = 0; i < count; ++i) {
    float v[9];
    std::memcpy(v, bytes.data() + stl_head + stl_record * i + 12, sizeof v);
    const auto n = static_cast<std::uint32_t>(mesh.points.size());
    for (int k = 0; k < 9; k += 3) mesh.points.push_back({v[k], v[k + 1], v[k + 2]});
    mesh.triangles.push_back({n, n + 1, n + 2});
  }
  return mesh;
}

Result<RawMesh> read_obj(const std::string& bytes, const std::string& file, const StopCheck& stop) {
  RawMesh mesh;
  mesh.format = "OBJ";
  Lines lines(bytes);
  std::vector<std::string_view> words;
  while (lines.next(words)) {
    if (lines.line() % lines_a_look == 0 && stopped(stop)) return broken_off();
    if (words.empty()) continue;
    if (words[0] == "v") {
      const std::optional<Vec3d> p = point(words);
      if (!p) return at_line(file, lines.line(), "a point cannot be read", "v x y z");
      mesh.points.push_back(*p);
    } else if (words[0] == "f") {
      std::vector<std::uint32_t> corners;
      for (std::size_t k = 1; k < words.size(); ++k) {
        const std::string_view word = words[k].substr(0, words[k].find('/'));
        long long index = 0;
        const auto [end, code] = std::from_chars(word.data(), word.data() + word.size(), index);
        const auto size = static_cast<long long>(mesh.points.size());
        if (index < 0) index += size + 1;
        if (code != std::errc{} || end != word.data() + word.size() || index < 1 || index > size)
          return at_line(file, lines.line(),
                         fmt::format("'{}' does not refer to a point above it", words[k].substr(0, 40)),
                         fmt::format("1 to {}", size));
        corners.push_back(static_cast<std::uint32_t>(index - 1));
      }
      if (corners.size() < 3) return at_line(file, lines.line(), "a face has fewer than three corners", "f a b c");
      for (std::size_t k = 2; k < corners.size(); ++k)
        mesh.triangles.push_back({corners[0], corners[k - 1], corners[k]});
    }
  }
  return mesh;
}

Result<RawMesh> read_mesh(const std::string& bytes, const std::string& file, const StopCheck& stop) {
  const Place place{file, 0, 0, ""};
  if (bytes.empty()) return Error{"the file is empty", place, "an STL, OBJ or GLB file", "export the mesh again"};
  const bool glb = bytes.compare(0, 4, "glTF") == 0;
  const std::string_view head = std::string_view(bytes).substr(0, 4096);
  const bool binary_stl = bytes.size() >= stl_head && bytes.size() == stl_head + stl_record * count_in_stl(bytes);
  const bool text = head.find('\0') == std::string_view::npos;
  const bool named_stl = file.size() > 4 && (file.ends_with(".stl") || file.ends_with(".STL"));
  Result<RawMesh> mesh = Error{};
  if (glb)
    mesh = read_glb(bytes, file, stop);
  else if (binary_stl || (text && bytes.compare(0, 5, "solid") == 0))
    mesh = read_stl(bytes, file, stop);
  else if (text && (head.find("\nv ") != std::string_view::npos || head.compare(0, 2, "v ") == 0))
    mesh = read_obj(bytes, file, stop);
  else if (named_stl && !text)
    mesh = read_stl(bytes, file, stop);
  else
    return Error{"this is not a mesh file the program can read", place, "STL (binary or text), OBJ or GLB",
                 "export the mesh in one of these"};
  if (!mesh) return mesh;
  if (mesh->triangles.empty())
    return Error{"the mesh has no triangles", place, "a closed surface", "export the mesh again"};
  if (mesh->triangles.size() > most_triangles)
    return Error{fmt::format("the mesh has {} triangles", mesh->triangles.size()), place,
                 fmt::format("at most {}", most_triangles), "reduce the mesh first"};
  for (std::size_t t = 0; t < mesh->triangles.size(); ++t)
    for (const std::uint32_t v : mesh->triangles[t]) {
      const Vec3d p = mesh->points[v];
      if (!(std::abs(p.x) < 1e9 && std::abs(p.y) < 1e9 && std::abs(p.z) < 1e9))  // NaN fails too
        return Error{fmt::format("triangle {} has a coordinate that is too large or not a number", t + 1), place,
                     "finite coordinates", "repair the mesh in the program that made it, and export it again"};
    }
  return mesh;
}

}  // namespace witnessline::body
