#include "view/true_size.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <unordered_map>

namespace witnessline::view {
namespace {

constexpr double mm_of_m = 1e3;
/// A triangle is seen when its normal leans this far towards the eye: a round-over ends within 0.01 mm of its rim
/// there.
constexpr double seen_above = 0.05;
constexpr double ghost_m = 10e-6;  ///< as readings.h counts kept finish

FlatPoint flat(Vec3 p, Seen seen) {
  return {(seen == Seen::from_front ? 1 : -1) * mm_of_m * static_cast<double>(p.x), mm_of_m * static_cast<double>(p.y)};
}

/// Sine of how far a triangle leans towards the eye.
double towards(const Body& body, const Triangle& t, Seen seen) {
  const auto& p = body.positions();
  const double ux = p[t[1]].x - p[t[0]].x, uy = p[t[1]].y - p[t[0]].y, uz = p[t[1]].z - p[t[0]].z;
  const double vx = p[t[2]].x - p[t[0]].x, vy = p[t[2]].y - p[t[0]].y, vz = p[t[2]].z - p[t[0]].z;
  const double nx = uy * vz - uz * vy, ny = uz * vx - ux * vz, nz = ux * vy - uy * vx;
  const double length = std::sqrt(nx * nx + ny * ny + nz * nz);
  return length > 0 ? (seen == Seen::from_front ? nz : -nz) / length : 0;
}

std::uint64_t edge_key(std::uint32_t a, std::uint32_t b) {
  return (std::uint64_t{std::min(a, b)} << 32) | std::max(a, b);
}

/// Pieces that share an end, by the key of their ends, put together into lines.
struct Piece {
  std::uint64_t from = 0, to = 0;
  FlatPoint a, b;
};
std::vector<std::vector<FlatPoint>> chained(const std::vector<Piece>& pieces) {
  std::unordered_multimap<std::uint64_t, std::size_t> at;
  for (std::size_t i = 0; i < pieces.size(); ++i) at.emplace(pieces[i].from, i), at.emplace(pieces[i].to, i);
  std::vector<bool> used(pieces.size(), false);
  std::vector<std::vector<FlatPoint>> lines;
  const auto grow = [&](std::vector<FlatPoint>& line, std::uint64_t end) {
    for (bool grown = true; grown;) {
      grown = false;
      const auto [first, last] = at.equal_range(end);
      for (auto it = first; it != last; ++it) {
        if (used[it->second]) continue;
        const Piece& next = pieces[it->second];
        used[it->second] = true;
        const bool forward = next.from == end;
        line.push_back(forward ? next.b : next.a);
        end = forward ? next.to : next.from;
        grown = true;
        break;
      }
    }
  };
  for (std::size_t i = 0; i < pieces.size(); ++i) {
    if (used[i]) continue;
    used[i] = true;
    std::vector<FlatPoint> line{pieces[i].a, pieces[i].b}, other{pieces[i].a};
    grow(line, pieces[i].to);
    grow(other, pieces[i].from);
    line.insert(line.begin(), other.rbegin(), other.rend() - 1);
    lines.push_back(std::move(line));
  }
  return lines;
}

/// What a column holds: 2 original finish outermost, 1 original finish under other coats, 0 none.
std::vector<std::uint8_t> original_classes(const Film& film) {
  std::vector<std::uint8_t> classes(film.size(), 0);
  for (const FilmLayer& layer : film.layers)
    for (std::size_t v = 0; v < film.size(); ++v) {
      const float dry = layer.dry_m[v];
      if (layer.provenance.origin == Origin::original) {
        if (dry > ghost_m) classes[v] = 2;
      } else if (dry > 0 && classes[v] == 2) {
        classes[v] = 1;
      }
    }
  return classes;
}

std::string path_of(const std::vector<std::vector<FlatPoint>>& lines, double left, double top) {
  std::string path;
  for (const auto& line : lines)
    for (std::size_t i = 0; i < line.size(); ++i)
      path += fmt::format("{}{:.2f} {:.2f}", i == 0 ? "M" : "L", line[i].x_mm - left, top - line[i].y_mm);
  return path;
}

}  // namespace

TrueSize outline_of(const Body& body, Seen seen) {
  struct Sides {
    int seen = 0, all = 0;
  };
  std::unordered_map<std::uint64_t, Sides> edges;
  for (const Triangle& t : body.triangles()) {
    const bool is_seen = towards(body, t, seen) > seen_above;
    for (std::size_t k = 0; k < 3; ++k) {
      Sides& sides = edges[edge_key(t[k], t[(k + 1) % 3])];
      ++sides.all, sides.seen += is_seen;
    }
  }
  std::vector<std::uint64_t> turning;
  for (const auto& [key, sides] : edges)
    if (sides.seen == 1) turning.push_back(key);
  std::sort(turning.begin(), turning.end());
  std::vector<Piece> pieces;
  for (const std::uint64_t key : turning) {
    const auto a = static_cast<std::uint32_t>(key >> 32), b = static_cast<std::uint32_t>(key & 0xffffffffu);
    pieces.push_back({a, b, flat(body.positions()[a], seen), flat(body.positions()[b], seen)});
  }
  TrueSize drawing;
  drawing.seen = seen;
  drawing.left_mm = drawing.bottom_mm = 1e9, drawing.right_mm = drawing.top_mm = -1e9;
  for (const Vec3& p : body.positions()) {
    const FlatPoint f = flat(p, seen);
    drawing.left_mm = std::min(drawing.left_mm, f.x_mm), drawing.right_mm = std::max(drawing.right_mm, f.x_mm);
    drawing.bottom_mm = std::min(drawing.bottom_mm, f.y_mm), drawing.top_mm = std::max(drawing.top_mm, f.y_mm);
  }
  drawing.kinds.push_back({"outline", 0.35, "", chained(pieces)});
  return drawing;
}

std::vector<std::vector<FlatPoint>> level_lines(const Body& body, std::span<const float> at_vertex, float level,
                                                Seen seen) {
  std::vector<Piece> pieces;
  for (const Triangle& t : body.triangles()) {
    if (towards(body, t, seen) <= seen_above) continue;
    std::array<std::pair<std::uint64_t, FlatPoint>, 2> ends;
    std::size_t found = 0;
    for (std::size_t k = 0; k < 3 && found < 2; ++k) {
      const std::uint32_t a = t[k], b = t[(k + 1) % 3];
      const float va = at_vertex[a] - level, vb = at_vertex[b] - level;
      if ((va > 0) == (vb > 0)) continue;
      const double share = static_cast<double>(va) / (static_cast<double>(va) - static_cast<double>(vb));
      const FlatPoint pa = flat(body.positions()[a], seen), pb = flat(body.positions()[b], seen);
      ends[found++] = {edge_key(a, b), {pa.x_mm + share * (pb.x_mm - pa.x_mm), pa.y_mm + share * (pb.y_mm - pa.y_mm)}};
    }
    if (found == 2) pieces.push_back({ends[0].first, ends[1].first, ends[0].second, ends[1].second});
  }
  return chained(pieces);
}

std::vector<std::vector<FlatPoint>> mark_lines(const Film& film, const Body& body, MarkKind kind,
                                               const std::string& made_by, Seen seen) {
  std::vector<std::vector<FlatPoint>> lines;
  for (const Mark& mark : *film.marks) {
    if (mark.kind != kind || mark.made_by != made_by || mark.path.size() < 2) continue;
    if (towards(body, body.triangles()[mark.path.front().triangle], seen) <= seen_above) continue;
    std::vector<FlatPoint> line;
    for (const SurfacePoint& at : mark.path) line.push_back(flat(body.position(at), seen));
    lines.push_back(std::move(line));
  }
  return lines;
}

std::string original_map_svg(const Film& film, const Body& body) {
  constexpr double cell_mm = 4, gap_mm = 30;
  constexpr std::array greys{"#ffffff", "#a8a8a8", "#3a3a3a"};
  const std::vector<std::uint8_t> classes = original_classes(film);
  if (std::none_of(classes.begin(), classes.end(), [](auto c) { return c > 0; })) return {};
  std::string shapes;
  double width = 0, height = 0;
  for (const Seen seen : {Seen::from_front, Seen::from_back}) {
    const TrueSize outline = outline_of(body, seen);
    const auto columns = static_cast<std::size_t>((outline.right_mm - outline.left_mm) / cell_mm) + 1;
    const auto rows = static_cast<std::size_t>((outline.top_mm - outline.bottom_mm) / cell_mm) + 1;
    std::vector<std::array<double, 3>> cells(columns * rows, {0, 0, 0});
    for (std::size_t v = 0; v < body.size(); ++v) {
      if ((seen == Seen::from_front ? 1 : -1) * body.normals()[v].z <= seen_above) continue;
      const FlatPoint p = flat(body.positions()[v], seen);
      const auto column = static_cast<std::size_t>((p.x_mm - outline.left_mm) / cell_mm);
      const auto row = static_cast<std::size_t>((outline.top_mm - p.y_mm) / cell_mm);
      cells[row * columns + column][classes[v]] += body.areas_m2()[v];
    }
    const double at = width;
    for (std::size_t row = 0; row < rows; ++row)
      for (std::size_t column = 0; column < columns;) {
        const auto kind = [&](std::size_t c) {
          const auto& cell = cells[row * columns + c];
          return static_cast<std::size_t>(std::max_element(cell.begin(), cell.end()) - cell.begin());
        };
        std::size_t end = column + 1;
        while (end < columns && kind(end) == kind(column)) ++end;
        if (kind(column) > 0)
          shapes += fmt::format("<rect x=\"{:.1f}\" y=\"{:.1f}\" width=\"{:.1f}\" height=\"{:.1f}\" fill=\"{}\"/>",
                                at + static_cast<double>(column) * cell_mm, static_cast<double>(row) * cell_mm,
                                static_cast<double>(end - column) * cell_mm, cell_mm, greys[kind(column)]);
        column = end;
      }
    shapes += fmt::format("<path d=\"{}\" fill=\"none\" stroke=\"#000\" stroke-width=\"1.4\"/>",
                          path_of(outline.kinds.front().lines, outline.left_mm - at, outline.top_mm));
    width += outline.right_mm - outline.left_mm + gap_mm;
    height = std::max(height, outline.top_mm - outline.bottom_mm);
  }
  return fmt::format(
      "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"-2 -2 {:.0f} {:.0f}\" role=\"img\"><title>Original finish, "
      "front left and back right: dark outermost, grey under other coats, white none</title>{}</svg>",
      width - gap_mm + 4, height + 4, shapes);
}

}  // namespace witnessline::view
