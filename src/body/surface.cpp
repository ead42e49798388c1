#include "body/surface.h"

#include <fmt/format.h>

#include <algorithm>
#include <numeric>

#include "base/parallel.h"
#include "body/dual_grid.h"

namespace witnessline::body {
namespace {

constexpr std::size_t chunk = 2048;
constexpr std::size_t look = 64;   // points between looks at whether the work is still wanted
constexpr int evening_rounds = 8;  // spacing settles within a percent (see the spacing test)

struct Neighbours {
  std::vector<std::uint32_t> first, list;
};
Neighbours neighbours_of(const QuadMesh& mesh) {
  Neighbours n;
  n.first.assign(mesh.points.size() + 1, 0);
  for (const Quad& q : mesh.quads)
    for (const std::uint32_t v : q) ++n.first[v + 1];
  std::partial_sum(n.first.begin(), n.first.end(), n.first.begin());
  n.list.resize(n.first.back());
  std::vector<std::uint32_t> at(n.first.begin(), n.first.end() - 1);
  for (const Quad& q : mesh.quads)
    for (int k = 0; k < 4; ++k) n.list[at[q[k]]++] = q[(k + 1) % 4];
  return n;
}

/// One Newton step onto the surface, no longer than `most_m`.
Vec3d drawn_on(Vec3d p, const Sample& s, double most_m) {
  const double slope = dot(s.gradient, s.gradient);
  if (slope < 1e-12) return p;
  return p - (std::clamp(s.distance_m, -most_m, most_m) / slope) * s.gradient;
}

void even_out(const Shape& shape, double pitch_m, QuadMesh& mesh, const StopCheck& stop) {
  const Neighbours around = neighbours_of(mesh);
  const std::size_t n = mesh.points.size();
  std::vector<Vec3d> normal(n), next(n);
  for_chunks(n, chunk, [&](std::size_t begin, std::size_t end) {
    for (std::size_t i = begin; i < end && !(i % look == 0 && stopped(stop)); ++i) {
      Vec3d& p = mesh.points[i];
      p = drawn_on(p, shape.at(p), pitch_m);
      const Sample s = shape.at(p);
      p = drawn_on(p, s, 0.5 * pitch_m);
      normal[i] = unit_of(s.gradient);
    }
  });
  for (int round = 0; round < evening_rounds && !stopped(stop); ++round) {
    for_chunks(n, chunk, [&](std::size_t begin, std::size_t end) {
      for (std::size_t i = begin; i < end && !(i % look == 0 && stopped(stop)); ++i) {
        Vec3d sum;
        for (std::uint32_t k = around.first[i]; k < around.first[i + 1]; ++k) sum += mesh.points[around.list[k]];
        const Vec3d pull = (1.0 / (around.first[i + 1] - around.first[i])) * sum - mesh.points[i];
        const Vec3d to = mesh.points[i] + 0.6 * (pull - dot(pull, normal[i]) * normal[i]);
        const Sample s = shape.at(to);
        next[i] = drawn_on(to, s, 0.5 * pitch_m);
        normal[i] = unit_of(s.gradient, normal[i]);
      }
    });
    mesh.points.swap(next);
  }
  for_chunks(n, chunk, [&](std::size_t begin, std::size_t end) {
    for (std::size_t i = begin; i < end && !(i % look == 0 && stopped(stop)); ++i)
      for (int step = 0; step < 6; ++step) {
        const Sample s = shape.at(mesh.points[i]);
        if (std::abs(s.distance_m) < 1e-9) break;
        mesh.points[i] = drawn_on(mesh.points[i], s, 0.25 * pitch_m);
      }
  });
}

std::vector<Triangle> split(const QuadMesh& mesh) {
  std::vector<Triangle> out(2 * mesh.quads.size());
  for_chunks(mesh.quads.size(), chunk, [&](std::size_t begin, std::size_t end) {
    for (std::size_t i = begin; i < end; ++i) {
      const Quad& q = mesh.quads[i];
      const auto p = [&](int k) { return mesh.points[q[k]]; };
      // The flatter-cornered diagonal: the one whose smaller triangle angle is larger, here by the shorter diagonal.
      const bool first = length(p(2) - p(0)) <= length(p(3) - p(1));
      out[2 * i] = first ? Triangle{q[0], q[1], q[2]} : Triangle{q[1], q[2], q[3]};
      out[2 * i + 1] = first ? Triangle{q[0], q[2], q[3]} : Triangle{q[1], q[3], q[0]};
    }
  });
  return out;
}

/// Keeps the largest piece where the others are crumbs.
Result<Done> keep_largest(SurfaceMesh& mesh, std::vector<Note>& notes) {
  std::size_t count = 0;
  const std::vector<std::uint32_t> piece = pieces_of(mesh.triangles, mesh.points.size(), count);
  if (count <= 1) return Done{};
  std::vector<double> area(count, 0);
  for (const Triangle& t : mesh.triangles)
    area[piece[t[0]]] +=
        0.5 * length(cross(mesh.points[t[1]] - mesh.points[t[0]], mesh.points[t[2]] - mesh.points[t[0]]));
  const auto largest = static_cast<std::uint32_t>(std::max_element(area.begin(), area.end()) - area.begin());
  double lost = 0;
  for (std::size_t i = 0; i < count; ++i)
    if (i != largest) lost += area[i];
  if (lost > 0.02 * area[largest])
    return Error{fmt::format("the body falls into {} separate pieces", count),
                 {},
                 "one solid body",
                 "check depth and place of contours and cavities: one cuts right through the body"};
  notes.push_back(
      {Severity::caution,
       fmt::format("{} loose fragments, {:.1f} cm2 in all, were removed from the body", count - 1, lost * 1e4),
       "body"});
  std::vector<std::uint32_t> to(mesh.points.size(), 0);
  std::vector<Vec3d> points;
  for (std::size_t i = 0; i < mesh.points.size(); ++i)
    if (piece[i] == largest) to[i] = static_cast<std::uint32_t>(points.size()), points.push_back(mesh.points[i]);
  std::erase_if(mesh.triangles, [&](const Triangle& t) { return piece[t[0]] != largest; });
  for (Triangle& t : mesh.triangles) t = {to[t[0]], to[t[1]], to[t[2]]};
  mesh.points = std::move(points);
  return Done{};
}

}  // namespace

std::vector<std::uint32_t> pieces_of(const std::vector<Triangle>& triangles, std::size_t points, std::size_t& count) {
  std::vector<std::uint32_t> root(points);
  std::iota(root.begin(), root.end(), 0u);
  const auto find = [&](std::uint32_t i) {
    while (root[i] != i) i = root[i] = root[root[i]];
    return i;
  };
  for (const Triangle& t : triangles) {
    root[find(t[1])] = find(t[0]);
    root[find(t[2])] = find(t[0]);
  }
  std::vector<std::uint32_t> number(points, ~0u), out(points);
  count = 0;
  for (std::uint32_t i = 0; i < points; ++i) {
    std::uint32_t& n = number[find(i)];
    if (n == ~0u) n = static_cast<std::uint32_t>(count++);
    out[i] = n;
  }
  return out;
}

std::string fault_of_surface(const std::vector<Triangle>& triangles, std::size_t points) {
  std::vector<std::uint32_t> first(points + 1, 0);
  for (const Triangle& t : triangles) {
    if (t[0] == t[1] || t[1] == t[2] || t[2] == t[0]) return "a triangle has two equal corners";
    for (const std::uint32_t v : t) ++first[v + 1];
  }
  std::partial_sum(first.begin(), first.end(), first.begin());
  struct Turn {
    std::uint32_t from, to;
  };
  std::vector<Turn> turns(first.back());
  std::vector<std::uint32_t> at(first.begin(), first.end() - 1);
  for (const Triangle& t : triangles)
    for (int k = 0; k < 3; ++k) turns[at[t[k]]++] = {t[(k + 1) % 3], t[(k + 2) % 3]};
  for (std::size_t v = 0; v < points; ++v) {
    const auto begin = turns.begin() + first[v], end = turns.begin() + first[v + 1];
    if (end - begin < 3) return "a point has fewer than three triangles";
    std::sort(begin, end, [](const Turn& a, const Turn& b) { return a.from < b.from; });
    const auto same = [](const Turn& a, const Turn& b) { return a.from == b.from; };
    if (std::adjacent_find(begin, end, same) != end) return "an edge has more than two triangles";
    // The triangles around a point form one closed fan: following from -> to visits each once and comes home.
    std::uint32_t here = begin->from;
    std::ptrdiff_t steps = 0;
    do {
      const auto next =
          std::lower_bound(begin, end, here, [](const Turn& t, std::uint32_t from) { return t.from < from; });
      if (next == end || next->from != here) return "an edge has only one triangle";
      here = next->to;
    } while (++steps <= end - begin && here != begin->from);
    if (steps != end - begin) return "two sheets touch in a point";
  }
  return {};
}

Result<SurfaceMesh> surface_of(const Shape& shape, double pitch_m, std::vector<Note>& notes, const StopCheck& stop) {
  // A step of the grid a little over the pitch: slanting places get more points than level ones.
  std::string fault;
  for (int attempt = 0; attempt < 4; ++attempt) {
    // An odd share of the step keeps level faces off the grid's planes; another share for each attempt.
    const double shift = 0.3719 + 0.2113 * attempt;
    const Vec3d low = shape.bounds().low;
    Result<QuadMesh> quads = dual_grid(shape, pitch_m, low - (shift * pitch_m) * Vec3d{1, 1, 1}, stop);
    if (!quads) return quads.errors();
    if (quads->points.empty()) return Error{"the shape has no surface at this pitch", {}, "", "choose a finer pitch"};
    even_out(shape, pitch_m, *quads, stop);
    if (stopped(stop)) return broken_off();
    SurfaceMesh mesh;
    mesh.triangles = split(*quads);
    mesh.points = std::move(quads->points);
    if (auto kept = keep_largest(mesh, notes); !kept) return kept.errors();
    fault = fault_of_surface(mesh.triangles, mesh.points.size());
    if (fault.empty()) return mesh;
  }
  return Error{fmt::format("no closed surface can be made at a pitch of {:.2f} mm: {}", pitch_m * 1e3, fault),
               {},
               "",
               "choose a finer pitch: the body has walls or gaps thinner than this one"};
}

}  // namespace witnessline::body
