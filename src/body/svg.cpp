#include "body/svg.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <optional>
#include <pugixml.hpp>

#include "body/loop_crossing.h"
#include "body/path_data.h"

namespace witnessline::body {
namespace {

constexpr double pi = 3.14159265358979323846;
constexpr std::size_t most_curves = 20'000;  // ESTIMATE: a curve every tenth of a millimetre round a body
constexpr int deepest_group = 100;           // no drawing goes deeper, and none may exhaust the stack
constexpr double closing_gap_m = 0.2e-3;     // ESTIMATE: a gap a tracing hand leaves; wider ones are open outlines

/// x' = a x + c y + e, y' = b x + d y + f
struct Affine {
  double a = 1, b = 0, c = 0, d = 1, e = 0, f = 0;
  Vec2d operator()(Vec2d p) const { return {a * p.x + c * p.y + e, b * p.x + d * p.y + f}; }
};
Affine operator*(const Affine& m, const Affine& n) {
  return {m.a * n.a + m.c * n.b, m.b * n.a + m.d * n.b,       m.a * n.c + m.c * n.d,
          m.b * n.c + m.d * n.d, m.a * n.e + m.c * n.f + m.e, m.b * n.e + m.d * n.f + m.f};
}

std::vector<double> numbers_in(std::string_view text) {
  std::vector<double> out;
  for (std::size_t i = 0; i < text.size();) {
    if (std::isspace(static_cast<unsigned char>(text[i])) || text[i] == ',' || text[i] == '+') {
      ++i;
      continue;
    }
    double value = 0;
    const auto [end, code] = std::from_chars(text.data() + i, text.data() + text.size(), value);
    if (code != std::errc{}) return {};
    out.push_back(value);
    i = static_cast<std::size_t>(end - text.data());
  }
  return out;
}

std::optional<Affine> read_transform(const std::string& text) {
  Affine all;
  std::size_t at = 0;
  while (true) {
    at = text.find_first_not_of(" \t\r\n,", at);
    if (at == std::string::npos) return all;
    const std::size_t open = text.find('(', at), shut = text.find(')', at);
    if (open == std::string::npos || shut == std::string::npos || shut < open) return std::nullopt;
    std::string word = text.substr(at, open - at);
    word.erase(word.find_last_not_of(" \t\r\n") + 1);
    const std::vector<double> v = numbers_in(std::string_view(text).substr(open + 1, shut - open - 1));
    const std::size_t n = v.size();
    Affine m;
    if (word == "matrix" && n == 6) {
      m = {v[0], v[1], v[2], v[3], v[4], v[5]};
    } else if (word == "translate" && (n == 1 || n == 2)) {
      m.e = v[0], m.f = n == 2 ? v[1] : 0;
    } else if (word == "scale" && (n == 1 || n == 2)) {
      m.a = v[0], m.d = n == 2 ? v[1] : v[0];
    } else if (word == "rotate" && (n == 1 || n == 3)) {
      const double c = std::cos(v[0] * pi / 180), s = std::sin(v[0] * pi / 180);
      m = {c, s, -s, c, 0, 0};
      if (n == 3) m = Affine{1, 0, 0, 1, v[1], v[2]} * m * Affine{1, 0, 0, 1, -v[1], -v[2]};
    } else if (word == "skewX" && n == 1) {
      m.c = std::tan(v[0] * pi / 180);
    } else if (word == "skewY" && n == 1) {
      m.b = std::tan(v[0] * pi / 180);
    } else {
      return std::nullopt;
    }
    all = all * m;
    at = shut + 1;
  }
}

/// "320mm" -> 0.32; empty where there is no unit of length.
std::optional<double> length_m(const std::string& text) {
  double value = 0;
  const auto [end, code] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (code != std::errc{} || !(value > 0)) return std::nullopt;
  const std::string unit(end, text.data() + text.size());
  if (unit == "mm") return value * 1e-3;
  if (unit == "cm") return value * 1e-2;
  if (unit == "in") return value * 25.4e-3;
  if (unit == "pt") return value * 25.4e-3 / 72;
  return std::nullopt;
}

struct Reading {
  const std::string& bytes;
  const std::string& file;
  std::vector<Error> errors;
  std::vector<Note> notes;
  std::vector<TracedPath> paths;

  Place place(std::ptrdiff_t offset, std::string key) const {
    const auto end = bytes.begin() + std::clamp<std::ptrdiff_t>(offset, 0, static_cast<std::ptrdiff_t>(bytes.size()));
    const auto line = static_cast<int>(std::count(bytes.begin(), end, '\n')) + 1;
    auto start = end;
    while (start != bytes.begin() && *(start - 1) != '\n') --start;
    return {file, line, static_cast<int>(end - start) + 1, std::move(key)};
  }

  void take(const pugi::xml_node& node, const Affine& to_m) {
    const std::string id = node.attribute("id").value();
    const Place where = place(node.offset_debug(), id.empty() ? "path" : "path " + id);
    std::optional<PathFault> fault;
    std::vector<Subpath> parts = read_path_data(node.attribute("d").value(), fault);
    if (fault) {
      errors.push_back({fmt::format("path data cannot be read at character {}: {}", fault->offset + 1, fault->what),
                        where, "path data of SVG 1.1 (letters M L H V C S Q T A Z)", "trace or export it again"});
      return;
    }
    if (parts.empty()) {
      errors.push_back({"the path is empty", where, "", "draw it, or take it out of the file"});
      return;
    }
    if (parts.size() > 1) {
      errors.push_back({fmt::format("the path has {} separate loops", parts.size()), where, "one closed loop per path",
                        "give each hole or pocket a path and an id of its own"});
      return;
    }
    Loop loop = std::move(parts.front().curves);
    for (Cubic& c : loop)
      for (Vec2d& p : c) p = to_m(p);
    const Vec2d first = loop.front()[0], last = loop.back()[3];
    const double gap = length(last - first);
    if (gap > closing_gap_m) {
      errors.push_back({fmt::format("the path is open: its ends are {:.1f} mm apart", gap * 1e3), where,
                        "a closed path", "close it with Z, or join its ends"});
      return;
    }
    if (gap > 1e-9) {
      notes.push_back({Severity::information,
                       fmt::format("{}: a gap of {:.3f} mm in path {} was closed", file, gap * 1e3, id), "body"});
      loop.push_back({last, last + (1.0 / 3) * (first - last), last + (2.0 / 3) * (first - last), first});
    }
    if (std::abs(signed_area_m2(loop)) < 1e-7) {
      errors.push_back({"the path encloses no area", where, "", "draw the whole loop"});
      return;
    }
    paths.push_back({id, std::move(loop), where.line});
  }

  void walk(const pugi::xml_node& parent, const Affine& to_m, int depth = 0) {
    for (const pugi::xml_node& node : parent.children()) {
      const std::string name = node.name();
      if (name != "g" && name != "path") continue;
      Affine here = to_m;
      if (const auto attribute = node.attribute("transform")) {
        const std::optional<Affine> own = read_transform(attribute.value());
        if (!own) {
          errors.push_back({fmt::format("transform '{}' cannot be read", attribute.value()),
                            place(node.offset_debug(), name), "matrix, translate, scale, rotate, skewX or skewY", ""});
          continue;
        }
        here = to_m * *own;
      }
      if (name == "g")
        if (depth < deepest_group)
          walk(node, here, depth + 1);
        else
          errors.push_back({fmt::format("groups are nested more than {} deep", deepest_group),
                            place(node.offset_debug(), name), "", "ungroup them in the drawing program"});
      else
        take(node, here);
    }
  }
};

}  // namespace

Vec2d point_on(const Cubic& c, double t) {
  const double s = 1 - t;
  return (s * s * s) * c[0] + (3 * s * s * t) * c[1] + (3 * s * t * t) * c[2] + (t * t * t) * c[3];
}

double signed_area_m2(const Loop& loop) {
  // Green's theorem on each cubic, exact.
  double area = 0;
  for (const Cubic& c : loop) {
    area += (6 * cross(c[0], c[1]) + 3 * cross(c[0], c[2]) + cross(c[0], c[3]) + 3 * cross(c[1], c[2]) +
             3 * cross(c[1], c[3]) + 6 * cross(c[2], c[3])) /
            20.0;
  }
  return area;
}

Loop reversed(const Loop& loop) {
  Loop out;
  for (auto it = loop.rbegin(); it != loop.rend(); ++it) out.push_back({(*it)[3], (*it)[2], (*it)[1], (*it)[0]});
  return out;
}

Loop circle_loop(Vec2d centre, double radius_m) {
  std::optional<PathFault> fault;
  const double r = radius_m, x = centre.x, y = centre.y;
  return read_path_data(fmt::format("M{0} {1}A{2} {2} 0 0 1 {3} {1}A{2} {2} 0 0 1 {0} {1}Z", x + r, y, r, x - r), fault)
      .front()
      .curves;
}

Result<Tracing> read_tracing(const std::string& bytes, const std::string& file_name) {
  if (bytes.find_first_not_of(" \t\r\n") == std::string::npos)
    return Error{"the file is empty", {file_name, 0, 0, ""}, "an SVG drawing", "export the traced outline again"};
  pugi::xml_document document;
  const pugi::xml_parse_result parsed = document.load_buffer(bytes.data(), bytes.size());
  Reading reading{bytes, file_name, {}, {}, {}};
  if (!parsed)
    return Error{fmt::format("not an SVG file: {}", parsed.description()), reading.place(parsed.offset, ""),
                 "an SVG drawing", "export the traced outline again"};
  const pugi::xml_node svg = document.child("svg");
  if (!svg)
    return Error{"not an SVG file: it has no <svg> element",
                 {file_name, 1, 0, ""},
                 "an SVG drawing",
                 "export the traced outline again"};

  const Place top = reading.place(svg.offset_debug(), "svg width");
  const std::optional<double> width = length_m(svg.attribute("width").value());
  if (!width)
    return Error{fmt::format("the drawing does not state its unit (width is '{}')", svg.attribute("width").value()),
                 top, "a width in mm, cm or in, such as width=\"320mm\"", "set the page's unit to mm and export again"};
  double unit_x = 25.4e-3 / 96, unit_y = unit_x;  // CSS pixel: 1/96 in
  Vec2d corner;
  if (const auto attribute = svg.attribute("viewBox")) {
    const std::vector<double> box = numbers_in(attribute.value());
    if (box.size() != 4 || !(box[2] > 0) || !(box[3] > 0))
      return Error{fmt::format("viewBox '{}' cannot be read", attribute.value()), top, "four numbers", ""};
    corner = {box[0], box[1]};
    unit_x = unit_y = *width / box[2];
    const std::optional<double> height = length_m(svg.attribute("height").value());
    if (height && std::abs(*height / box[3] - unit_x) > 1e-3 * unit_x)
      return Error{"width and height give the drawing two different scales", top, "one scale in both directions",
                   "make width/height agree with the viewBox"};
  }
  reading.walk(svg, Affine{unit_x, 0, 0, -unit_y, -corner.x * unit_x, corner.y * unit_y});

  if (!reading.errors.empty()) return reading.errors;
  std::vector<TracedPath>& paths = reading.paths;
  auto outline = std::find_if(paths.begin(), paths.end(), [](const TracedPath& p) { return p.id == "outline"; });
  if (outline == paths.end() && paths.size() == 1) outline = paths.begin();
  if (outline == paths.end())
    return Error{paths.empty() ? "the drawing has no path" : "none of the paths is called 'outline'",
                 {file_name, 0, 0, "path"},
                 "one path, or one with id=\"outline\"",
                 "give the traced outline the id 'outline'"};
  std::size_t curves = 0;
  for (const TracedPath& path : paths) curves += path.loop.size();
  if (curves > most_curves)
    return Error{fmt::format("the drawing has {} curves", curves),
                 {file_name, 0, 0, "path"},
                 fmt::format("at most {}", most_curves),
                 "simplify the paths in the drawing program"};
  for (const TracedPath& path : paths)
    if (const std::optional<Vec2d> at = crossing_of(path.loop))
      return Error{fmt::format("path {} crosses itself near x {:.1f} mm, y {:.1f} mm on the page", path.id, 1e3 * at->x,
                               -1e3 * at->y),
                   {file_name, path.line, 0, "path " + path.id},
                   "a loop that does not cross itself",
                   "redraw the path so that it does not cross"};
  Tracing out;
  out.outline = std::move(*outline);
  paths.erase(outline);
  out.others = std::move(paths);
  out.notes = std::move(reading.notes);
  return out;
}

}  // namespace witnessline::body
