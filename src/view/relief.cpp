#include "view/relief.h"

#include <algorithm>
#include <cmath>

#include "base/random.h"
#include "bench/knocks.h"
#include "optics/reflectance.h"

namespace witnessline::view {
namespace {

constexpr double cell_m = 3e-3;
// Drawn in, all ESTIMATE (docs/estimates.md, Pictures).
constexpr double lip_m = 0.12e-3, lip_slope = 0.05;  // the edges of a check stand up a little
constexpr float broken_roughness_m = 0.7e-6f;        // the floor of a chip
constexpr double rim_m = 0.15e-3, steepest = 0.7;

std::uint64_t cell_key(double x, double y, double z) {  // whole numbers
  const auto part = [](double v) { return static_cast<std::uint64_t>(static_cast<std::int64_t>(v) + (1 << 20)); };
  return part(x) << 42 | part(y) << 21 | part(z);
}

/// Ragged outline of a chip: its radius over the mean, by direction.
double ragged(double turn, std::uint64_t key) {
  const auto phase = [&](unsigned i) { return 6.283 * static_cast<double>(key >> (8 * i) & 0xff) / 256; };
  return chip_radius_share + 0.10 * std::sin(2 * turn + phase(0)) + 0.08 * std::sin(3 * turn + phase(1)) +
         0.06 * std::sin(5 * turn + phase(2)) + 0.05 * std::sin(9 * turn + phase(3));
}

}  // namespace

double slot_openness(double depth_m, double width_m) {
  const double aspect = depth_m / width_m;
  return std::sqrt(1 + aspect * aspect) - aspect;
}

Relief::Relief(const Film& film, const Body& body, double pixel_m) : pixel_m_(pixel_m), slopes_(body.size()) {
  std::vector<float> height_m(body.size());
  std::vector<float> values(field_chunk);
  for (std::size_t c = 0; c < film.wood_cut_m.chunk_count(); ++c) {
    const std::size_t n = film.wood_cut_m.chunk_size(c);
    film.wood_cut_m.read(c, values.data());
    for (std::size_t i = 0; i < n; ++i) height_m[c * field_chunk + i] = -values[i];
    for (const FilmLayer& layer : film.layers) {
      layer.dry_m.read(c, values.data());
      for (std::size_t i = 0; i < n; ++i) height_m[c * field_chunk + i] += std::max(0.0f, values[i]);
    }
  }
  const auto positions = body.positions();
  std::vector<float> weight(body.size());
  for (const Triangle& t : body.triangles()) {
    const Vec3d a = positions[t[0]], b = positions[t[1]], c = positions[t[2]];
    const double twice = length(cross(b - a, c - a));
    const Vec3 part = static_cast<Vec3>(twice * slope_in(a, b, c, {height_m[t[0]], height_m[t[1]], height_m[t[2]]}));
    for (const std::uint32_t v : t) {
      slopes_[v] = {slopes_[v].x + part.x, slopes_[v].y + part.y, slopes_[v].z + part.z};
      weight[v] += static_cast<float>(twice);
    }
  }
  for (std::size_t v = 0; v < slopes_.size(); ++v)
    if (weight[v] > 0) slopes_[v] = {slopes_[v].x / weight[v], slopes_[v].y / weight[v], slopes_[v].z / weight[v]};
  for (const Mark& mark : *film.marks) add(mark, body);
}

Vec3d Relief::slope_in(Vec3d a, Vec3d b, Vec3d c, const std::array<float, 3>& height_m) {
  const Vec3d ab = b - a, ac = c - a, normal = cross(ab, ac);
  const double squared = dot(normal, normal);
  if (squared <= 0) return {0, 0, 0};
  const double up_b = double{height_m[1]} - height_m[0], up_c = double{height_m[2]} - height_m[0];
  return (1 / squared) * (up_b * cross(ac, normal) + up_c * cross(normal, ab));
}

Vec3d Relief::slope(const Triangle& t, float u, float v) const {
  const Vec3 &a = slopes_[t[0]], &b = slopes_[t[1]], &c = slopes_[t[2]];
  const float w = 1 - u - v;
  return {w * a.x + u * b.x + v * c.x, w * a.y + u * b.y + v * c.y, w * a.z + u * b.z + v * c.z};
}

void Relief::add(const Mark& mark, const Body& body) {
  if (mark.path.empty() || !(mark.width_m > 0) || !(mark.depth_m > 0)) return;
  const auto fine_m = static_cast<float>(0.8 * pixel_m_);
  const bool is_line = mark.kind == MarkKind::check || mark.kind == MarkKind::scratch;
  const float shown_m = is_line ? std::max(mark.width_m, fine_m) : mark.width_m;
  const double reach_m = shown_m / 2 + (mark.kind == MarkKind::check ? lip_m : 0);
  for (std::size_t i = 0; i < std::max<std::size_t>(1, mark.path.size() - 1); ++i) {
    const Vec3d from = body.position(mark.path[i]),
                to = body.position(mark.path[std::min(i + 1, mark.path.size() - 1)]);
    const auto index = static_cast<std::uint32_t>(strokes_.size());
    strokes_.push_back({from, to, mark.width_m, mark.depth_m,
                        static_cast<float>(dirt_hides(static_cast<double>(mark.grime_kg_m2))), shown_m, mark.kind});
    // Every cell that a ball of the mark's reach, drawn along the stroke, comes into.
    const int dots = 1 + static_cast<int>(length(to - from) / (0.5 * cell_m));
    const double ball_m = reach_m + 0.25 * cell_m;
    const auto first = [&](double v) { return std::floor((v - ball_m) / cell_m); };
    const auto last = [&](double v) { return std::floor((v + ball_m) / cell_m); };
    for (int d = 0; d <= dots; ++d) {
      const Vec3d at = from + (static_cast<double>(d) / dots) * (to - from);
      for (double x = first(at.x); x <= last(at.x); ++x)
        for (double y = first(at.y); y <= last(at.y); ++y)
          for (double z = first(at.z); z <= last(at.z); ++z) {
            auto& cell = cells_[cell_key(x, y, z)];
            if (cell.empty() || cell.back() != index) cell.push_back(index);
          }
    }
  }
}

bool Relief::mark_at(Vec3d place, Vec3d normal, double chance, MarkHere& here) const {
  if (cells_.empty()) return false;
  const auto cell =
      cells_.find(cell_key(std::floor(place.x / cell_m), std::floor(place.y / cell_m), std::floor(place.z / cell_m)));
  if (cell == cells_.end()) return false;
  bool found = false;
  for (const std::uint32_t index : cell->second) {
    const Stroke& stroke = strokes_[index];
    const Vec3d along = stroke.to - stroke.from;
    const double squared = dot(along, along);
    const double share = squared > 0 ? std::clamp(dot(place - stroke.from, along) / squared, 0.0, 1.0) : 0;
    Vec3d off = place - stroke.from - share * along;
    const double above = dot(off, normal);
    if (std::abs(above) > cell_m) continue;
    off = off - above * normal;
    const double away = length(off), half = stroke.width_m / 2, depth = stroke.depth_m;
    const Vec3d out = unit_of(off, across(normal));
    switch (stroke.kind) {
      case MarkKind::check:
      case MarkKind::scratch: {
        const bool is_check = stroke.kind == MarkKind::check;
        const bool is_fine = is_check && stroke.shown_m > stroke.width_m;
        const double shown = stroke.shown_m / 2;
        if (is_fine && away < shown) {
          // Too fine for the samples: it darkens all of them by its share, and shades off to the sides.
          const double share = std::min(1.0, stroke.width_m / stroke.shown_m * 2 * (1 - away / shown));
          here.open *= static_cast<float>(1 - share * (1 - slot_openness(depth, stroke.width_m)));
          here.dirt = std::min(1.0f, here.dirt + static_cast<float>(share) * stroke.dirt);
          here.slope += (-lip_slope * std::min(1.0, lip_m / shown)) * out;
          found = true;
        } else if (!is_fine && away < shown && chance * shown < half) {
          here.cut_m = std::max(here.cut_m, stroke.depth_m);
          here.dirt = std::max(here.dirt, stroke.dirt);
          if (is_check) {
            here.open = std::min(here.open, static_cast<float>(slot_openness(depth, stroke.width_m)));
            here.roughness_m = 2e-6f;
          } else {
            here.slope +=
                (-std::min(steepest, 2 * depth / stroke.width_m) * (chance < 0.5 * half / shown ? 1 : -1)) * out;
            here.roughness_m = std::max(here.roughness_m, 0.4e-6f);
          }
          found = true;
        } else if (is_check && away < half + lip_m) {
          const double t = 1 - (away - half) / lip_m;
          here.slope += (-lip_slope * std::clamp(t, 0.0, 1.0)) * out;
          found = true;
        }
        break;
      }
      case MarkKind::ding: {
        const double r = away / half;
        if (r >= 1) break;
        here.slope += (4 * depth / half * r * (1 - r * r)) * out;
        found = true;
        break;
      }
      case MarkKind::chip: {
        const Vec3d x = across(normal), y = cross(normal, x);
        const std::uint64_t key = mixed(index + 77);
        const double edge = squared > 0 ? half : half * ragged(std::atan2(dot(off, y), dot(off, x)), key);
        if (away >= edge) break;
        here.cut_m = std::max(here.cut_m, stroke.depth_m);
        here.roughness_m = std::max(here.roughness_m, broken_roughness_m);
        here.dirt = std::max(here.dirt, stroke.dirt);
        const double rim = std::min(rim_m, 0.4 * edge);
        if (away > edge - rim) here.slope += std::min(steepest, depth / rim) * out;
        found = true;
        break;
      }
      case MarkKind::tape_ridge: {
        const double r = away / half;
        if (r >= 1) break;
        here.slope += (-4 * depth / half * r * (1 - r * r)) * out;
        found = true;
        break;
      }
    }
  }
  return found;
}

}  // namespace witnessline::view
