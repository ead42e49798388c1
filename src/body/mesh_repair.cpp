#include "body/mesh_repair.h"

#include <fmt/format.h>

#include <algorithm>
#include <cstring>
#include <map>
#include <numeric>
#include <unordered_map>

#include "base/random.h"
#include "body/surface.h"

namespace witnessline::body {
namespace {

constexpr double weld_m = 2e-6;             // ESTIMATE: far under any feature, over the rounding of text files
constexpr double fillable_across_m = 0.02;  // ESTIMATE: a wider hole may be something that was meant
constexpr double crumb_frac = 0.01;         // of the largest piece's volume

std::uint64_t edge_key(std::uint32_t a, std::uint32_t b) {
  return static_cast<std::uint64_t>(std::min(a, b)) << 32 | std::max(a, b);
}

class Repair {
 public:
  Repair(RawMesh& mesh, const std::string& file, std::vector<Note>& notes, const StopCheck& stop)
      : mesh_(mesh), file_(file), notes_(notes), stop_(stop) {}

  Result<Done> run() {
    drop_unused();  // a point of no triangle may lie anywhere, or be no number
    weld();
    if (stopped(stop_)) return broken_off();
    drop_doubles();
    if (mesh_.triangles.empty()) return fault("every triangle of the mesh is collapsed", "");
    if (auto done = pair_edges(); !done) return done;
    if (stopped(stop_)) return broken_off();
    if (auto done = agree(); !done) return done;
    if (stopped(stop_)) return broken_off();
    if (auto done = fill_holes(); !done) return done;
    if (auto done = one_piece(); !done) return done;
    drop_unused();
    const std::string left = fault_of_surface(mesh_.triangles, mesh_.points.size());
    if (!left.empty()) return fault(fmt::format("the mesh is inconsistent: {}", left), "");
    return Done{};
  }

 private:
  Error fault(std::string what, std::string expected) const {
    return {std::move(what),
            {file_, 0, 0, ""},
            std::move(expected),
            "repair the mesh in the program that made it, and export it again"};
  }
  void note(std::string text, Severity severity = Severity::information) {
    notes_.push_back({severity, fmt::format("{}: {}", file_, text), "body"});
  }
  std::string place(Vec3d p) const {
    const double u = mesh_.unit_m;
    return fmt::format("({:.4g}, {:.4g}, {:.4g}) in the file's unit", p.x / u, p.y / u, p.z / u);
  }

  void weld() {
    std::unordered_map<std::uint64_t, std::vector<std::uint32_t>> cells;
    const auto key = [](long long x, long long y, long long z) {
      return Key{}
          .with(static_cast<std::uint64_t>(x))
          .with(static_cast<std::uint64_t>(y))
          .with(static_cast<std::uint64_t>(z))
          .bits;
    };
    std::vector<std::uint32_t> to(mesh_.points.size());
    std::vector<Vec3d> kept;
    constexpr double cell = 4 * weld_m;
    for (std::size_t i = 0; i < mesh_.points.size(); ++i) {
      if (i % 65536 == 0 && stopped(stop_)) return;
      const Vec3d p = mesh_.points[i];
      const auto low = [](double v) { return static_cast<long long>(std::floor((v - weld_m) / cell)); };
      const auto high = [](double v) { return static_cast<long long>(std::floor((v + weld_m) / cell)); };
      std::uint32_t found = ~0u;
      for (long long x = low(p.x); x <= high(p.x) && found == ~0u; ++x)
        for (long long y = low(p.y); y <= high(p.y) && found == ~0u; ++y)
          for (long long z = low(p.z); z <= high(p.z) && found == ~0u; ++z)
            if (const auto at = cells.find(key(x, y, z)); at != cells.end())
              for (const std::uint32_t j : at->second)
                if (length(kept[j] - p) <= weld_m) {
                  found = j;
                  break;
                }
      if (found == ~0u) {
        found = static_cast<std::uint32_t>(kept.size());
        kept.push_back(p);
        const auto mine = [](double v) { return static_cast<long long>(std::floor(v / cell)); };
        cells[key(mine(p.x), mine(p.y), mine(p.z))].push_back(found);
      }
      to[i] = found;
    }
    for (Triangle& t : mesh_.triangles) t = {to[t[0]], to[t[1]], to[t[2]]};
    mesh_.points = std::move(kept);
  }

  void drop_doubles() {
    const std::size_t before = mesh_.triangles.size();
    std::erase_if(mesh_.triangles, [](const Triangle& t) { return t[0] == t[1] || t[1] == t[2] || t[2] == t[0]; });
    const std::size_t whole = mesh_.triangles.size();
    // Of equal triangles one is kept; two that lie back to back are a flap without thickness, and both go.
    struct Copies {
      int one_way = 0, other_way = 0;
      bool kept = false;
    };
    std::unordered_map<std::uint64_t, Copies> copies;
    const auto key = [](Triangle t) {
      std::sort(t.begin(), t.end());
      return Key{}.with(std::uint64_t{t[0]}).with(std::uint64_t{t[1]}).with(std::uint64_t{t[2]}).bits;
    };
    const auto one_way = [](const Triangle& t) {
      return (t[0] < t[1]) + (t[1] < t[2]) + (t[2] < t[0]) == 2;  // an even turn of the sorted corners
    };
    for (const Triangle& t : mesh_.triangles) ++(one_way(t) ? copies[key(t)].one_way : copies[key(t)].other_way);
    std::erase_if(mesh_.triangles, [&](const Triangle& t) {
      Copies& c = copies[key(t)];
      if (c.one_way + c.other_way == 1) return false;
      const bool wanted = !c.kept && (one_way(t) ? c.one_way > c.other_way : c.other_way > c.one_way);
      c.kept = c.kept || wanted;
      return !wanted;
    });
    if (before > whole) note(fmt::format("{} collapsed triangles were removed", before - whole));
    if (whole > mesh_.triangles.size())
      note(fmt::format("{} duplicate triangles were removed", whole - mesh_.triangles.size()));
  }

  struct Pair {
    std::uint32_t first = ~0u, second = ~0u;
  };
  Result<Done> pair_edges() {
    std::size_t crowded = 0;
    Vec3d where;
    edges_.reserve(2 * mesh_.triangles.size());
    for (std::uint32_t i = 0; i < mesh_.triangles.size(); ++i)
      for (int k = 0; k < 3; ++k) {
        const std::uint32_t a = mesh_.triangles[i][k], b = mesh_.triangles[i][(k + 1) % 3];
        Pair& pair = edges_[edge_key(a, b)];
        if (pair.first == ~0u)
          pair.first = i;
        else if (pair.second == ~0u)
          pair.second = i;
        else
          ++crowded, where = mesh_.points[a];
      }
    if (crowded > 0)
      return fault(fmt::format("the mesh is inconsistent: {} edges have more than two triangles, one at {}", crowded,
                               place(where)),
                   "a surface without inner walls");
    return Done{};
  }

  bool runs(std::uint32_t triangle, std::uint32_t a, std::uint32_t b) const {
    const Triangle& t = mesh_.triangles[triangle];
    return (t[0] == a && t[1] == b) || (t[1] == a && t[2] == b) || (t[2] == a && t[0] == b);
  }

  /// Turns triangles until neighbours agree on the outside.
  Result<Done> agree() {
    const std::size_t n = mesh_.triangles.size();
    std::vector<std::uint8_t> seen(n, 0);
    std::size_t turned_all = 0;
    for (std::uint32_t start = 0; start < n; ++start) {
      if (seen[start]) continue;
      std::vector<std::uint32_t> open{start}, all, turned;
      seen[start] = 1;
      while (!open.empty()) {
        const std::uint32_t i = open.back();
        open.pop_back();
        all.push_back(i);
        const Triangle t = mesh_.triangles[i];
        for (int k = 0; k < 3; ++k) {
          const std::uint32_t a = t[k], b = t[(k + 1) % 3];
          const Pair& pair = edges_.at(edge_key(a, b));
          const std::uint32_t j = pair.first == i ? pair.second : pair.first;
          if (j == ~0u || j == i) continue;
          if (runs(j, a, b)) {
            if (seen[j])
              return fault(fmt::format("the surface is one-sided near {}", place(mesh_.points[a])),
                           "a surface with an inside and an outside");
            std::swap(mesh_.triangles[j][1], mesh_.triangles[j][2]);
            turned.push_back(j);
          }
          if (!seen[j]) seen[j] = 1, open.push_back(j);
        }
      }
      turned_all += std::min(turned.size(), all.size() - turned.size());
    }
    if (turned_all > 0) note(fmt::format("{} triangles faced the wrong way and were turned", turned_all));
    return Done{};
  }

  Result<Done> fill_holes() {
    // from -> to, as the missing triangle would run; in order, so that the same file is always filled the same way.
    std::multimap<std::uint32_t, std::uint32_t> rim;
    std::vector<std::pair<std::uint32_t, std::uint32_t>> open;
    for (const auto& [key, pair] : edges_) {
      if (pair.second != ~0u) continue;
      auto a = static_cast<std::uint32_t>(key >> 32), b = static_cast<std::uint32_t>(key);
      if (runs(pair.first, a, b)) std::swap(a, b);
      open.emplace_back(a, b);
    }
    if (open.empty()) return Done{};
    std::sort(open.begin(), open.end());
    for (const auto& [a, b] : open) rim.emplace_hint(rim.end(), a, b);
    std::vector<std::vector<std::uint32_t>> loops;
    while (!rim.empty()) {
      const std::uint32_t start = rim.begin()->first;
      std::vector<std::uint32_t> loop;
      for (std::uint32_t at = start; loop.empty() || at != start;) {
        const auto next = rim.find(at);
        if (next == rim.end()) break;
        loop.push_back(at);
        at = next->second;
        rim.erase(next);
      }
      loops.push_back(std::move(loop));
      if (loops.size() > 2000) break;
    }
    double widest = 0;
    Vec3d where;
    for (const auto& loop : loops) {
      Box3 box;
      for (const std::uint32_t v : loop) box.add(mesh_.points[v]);
      if (length(box.size()) >= widest) widest = length(box.size()), where = mesh_.points[loop.front()];
    }
    if (widest > fillable_across_m || !rim.empty())
      return fault(fmt::format("the mesh is not closed: {} holes, the widest {:.0f} mm across at {}", loops.size(),
                               widest * 1e3, place(where)),
                   fmt::format("a closed surface (holes up to {:.0f} mm are filled)", fillable_across_m * 1e3));
    for (const auto& loop : loops) {
      Vec3d middle;
      for (const std::uint32_t v : loop) middle += (1.0 / static_cast<double>(loop.size())) * mesh_.points[v];
      if (loop.size() == 3) {
        mesh_.triangles.push_back({loop[0], loop[1], loop[2]});
        continue;
      }
      const auto centre = static_cast<std::uint32_t>(mesh_.points.size());
      mesh_.points.push_back(middle);
      for (std::size_t k = 0; k < loop.size(); ++k)
        mesh_.triangles.push_back({loop[k], loop[(k + 1) % loop.size()], centre});
    }
    note(fmt::format("{} small holes were filled, the widest {:.1f} mm across, at {}", loops.size(), widest * 1e3,
                     place(where)),
         Severity::caution);
    return Done{};
  }

  Result<Done> one_piece() {
    std::size_t count = 0;
    const std::vector<std::uint32_t> piece = pieces_of(mesh_.triangles, mesh_.points.size(), count);
    std::vector<double> volume(count, 0);
    for (const Triangle& t : mesh_.triangles)
      volume[piece[t[0]]] += dot(mesh_.points[t[0]], cross(mesh_.points[t[1]], mesh_.points[t[2]])) / 6;
    std::size_t largest = 0, shells = 0, crumbs = 0;
    for (std::size_t i = 0; i < count; ++i)
      if (std::abs(volume[i]) > std::abs(volume[largest])) largest = i;
    std::vector<std::uint8_t> used(count, 0);
    for (const Triangle& t : mesh_.triangles) used[piece[t[0]]] = 1;
    for (std::size_t i = 0; i < count; ++i)
      if (used[i] && i != largest) (std::abs(volume[i]) > crumb_frac * std::abs(volume[largest]) ? shells : crumbs)++;
    if (shells > 0) return fault(fmt::format("the mesh is {} separate surfaces", shells + 1), "one closed surface");
    if (crumbs > 0) note(fmt::format("{} loose fragments were removed", crumbs), Severity::caution);
    std::erase_if(mesh_.triangles, [&](const Triangle& t) { return piece[t[0]] != largest; });
    if (volume[largest] < 0) {
      for (Triangle& t : mesh_.triangles) std::swap(t[1], t[2]);
      note("the surface was inside out and was turned");
    }
    if (std::abs(volume[largest]) < 1e-9) return fault("the mesh encloses no volume", "a solid body");
    return Done{};
  }

  void drop_unused() {
    std::vector<std::uint32_t> to(mesh_.points.size(), ~0u);
    std::vector<Vec3d> kept;
    for (Triangle& t : mesh_.triangles)
      for (std::uint32_t& v : t) {
        if (to[v] == ~0u) to[v] = static_cast<std::uint32_t>(kept.size()), kept.push_back(mesh_.points[v]);
        v = to[v];
      }
    mesh_.points = std::move(kept);
  }

  RawMesh& mesh_;
  const std::string& file_;
  std::vector<Note>& notes_;
  const StopCheck& stop_;
  std::unordered_map<std::uint64_t, Pair> edges_;
};

}  // namespace

Result<Done> repair(RawMesh& mesh, const std::string& file_name, std::vector<Note>& notes, const StopCheck& stop) {
  return Repair(mesh, file_name, notes, stop).run();
}

}  // namespace witnessline::body
