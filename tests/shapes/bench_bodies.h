// Bodies with known curvature and a small shelf of invented materials, for tests and benchmarks of the bench.
#pragma once

#include <cmath>
#include <numeric>
#include <vector>

#include "bench/run.h"
#include "body/body_data.h"

namespace witnessline::shapes {

using namespace bench;

inline std::uint16_t bit(Region r) { return static_cast<std::uint16_t>(1u << static_cast<unsigned>(r)); }

/// A grid of m x n vertices bent by `at(i, j, position, normal, curvature)`, joined up in i and, when closed, in j.
template <class At>
Body grid_body(std::size_t m, std::size_t n, bool joined_i, bool joined_j, double pitch_m, const At& at) {
  auto data = std::make_shared<Body::Data>();
  const std::size_t size = m * n;
  data->positions.resize(size);
  data->normals.resize(size);
  data->grain.assign(size, Vec3{0, 1, 0});
  data->curvature_min.assign(size, 0.0f);
  data->curvature_max.resize(size);
  data->areas_m2.assign(size, 0.0f);
  data->wood_of.assign(size, 0);
  data->woods = {"spruce"};
  data->region_bits.resize(size);
  for (std::size_t j = 0; j < n; ++j)
    for (std::size_t i = 0; i < m; ++i) {
      const std::size_t v = j * m + i;
      at(i, j, data->positions[v], data->normals[v], data->curvature_max[v]);
      const Vec3 p = data->positions[v], normal = data->normals[v];
      std::uint16_t bits = data->curvature_max[v] > 100 ? bit(Region::edge)
                           : normal.z > 0.5f            ? bit(Region::front)
                           : normal.z < -0.5f           ? bit(Region::back)
                                                        : bit(Region::sides);
      bits |= p.x > 0 ? bit(Region::treble) : bit(Region::bass);
      data->region_bits[v] = bits;
    }
  const auto area = [&](const Triangle& t) {
    const Vec3 a = data->positions[t[0]], b = data->positions[t[1]], c = data->positions[t[2]];
    const double u[3] = {b.x - a.x, b.y - a.y, b.z - a.z}, w[3] = {c.x - a.x, c.y - a.y, c.z - a.z};
    return 0.5 * std::hypot(u[1] * w[2] - u[2] * w[1], u[2] * w[0] - u[0] * w[2], u[0] * w[1] - u[1] * w[0]);
  };
  for (std::size_t j = 0; j + (joined_j ? 0 : 1) < n; ++j)
    for (std::size_t i = 0; i + (joined_i ? 0 : 1) < m; ++i) {
      const auto v = [&](std::size_t a, std::size_t b) { return static_cast<std::uint32_t>((b % n) * m + a % m); };
      for (const Triangle& t :
           {Triangle{v(i, j), v(i + 1, j), v(i + 1, j + 1)}, Triangle{v(i, j), v(i + 1, j + 1), v(i, j + 1)}}) {
        data->triangles.push_back(t);
        for (const std::uint32_t corner : t) data->areas_m2[corner] += static_cast<float>(area(t) / 3.0);
      }
    }
  data->pitch_m = pitch_m;
  data->settle();
  return Body(data);
}

/// A torus standing in for an instrument: smooth, closed, about 1 mm pitch for m = 2 pi (R + r) / 1 mm.
inline Body torus(std::size_t m, std::size_t n, double ring_m = 0.10, double tube_m = 0.02) {
  return grid_body(m, n, true, true, 2 * M_PI * ring_m / static_cast<double>(m),
                   [=](std::size_t i, std::size_t j, Vec3& p, Vec3& normal, float& k) {
                     const double a = 2 * M_PI * static_cast<double>(i) / static_cast<double>(m);
                     const double b = 2 * M_PI * static_cast<double>(j) / static_cast<double>(n);
                     const double out = ring_m + tube_m * std::cos(b);
                     p = {static_cast<float>(out * std::cos(a)), static_cast<float>(out * std::sin(a)),
                          static_cast<float>(tube_m * std::sin(b))};
                     normal = {static_cast<float>(std::cos(b) * std::cos(a)),
                               static_cast<float>(std::cos(b) * std::sin(a)), static_cast<float>(std::sin(b))};
                     k = static_cast<float>(std::max(1.0 / tube_m, std::cos(b) / out));
                   });
}

/// The rounded long edge of a board: `flat_m` of front, a quarter round of `radius_m`, `flat_m` of side, at a pitch.
inline Body round_over(double radius_m, double flat_m, double length_m, double pitch_m, double shift_m = 0) {
  const double arc_m = 0.5 * M_PI * radius_m;
  const auto m = static_cast<std::size_t>((2 * flat_m + arc_m) / pitch_m) + 1;
  const auto n = static_cast<std::size_t>(length_m / pitch_m) + 1;
  return grid_body(m, n, false, false, pitch_m, [=](std::size_t i, std::size_t j, Vec3& p, Vec3& normal, float& k) {
    const double s = pitch_m * static_cast<double>(i) + shift_m - flat_m, y = pitch_m * static_cast<double>(j);
    const double angle = std::clamp(s / radius_m, 0.0, 0.5 * M_PI);
    const double along = s < 0 ? s : 0, down = s > arc_m ? s - arc_m : 0;
    p = {static_cast<float>(along + radius_m * std::sin(angle)), static_cast<float>(y),
         static_cast<float>(radius_m * std::cos(angle) - radius_m - down)};
    normal = {static_cast<float>(std::sin(angle)), 0, static_cast<float>(std::cos(angle))};
    k = s < 0 || s > arc_m ? 0.0f : static_cast<float>(1.0 / radius_m);
  });
}

/// The same body with its vertices in another order: vertex v becomes order[v].
inline Body reordered(const Body& body, const std::vector<std::uint32_t>& order) {
  auto data = std::make_shared<Body::Data>();
  const auto moved = [&](const auto& from) {
    std::vector<std::decay_t<decltype(from[0])>> to(from.size());
    for (std::size_t v = 0; v < from.size(); ++v) to[order[v]] = from[v];
    return to;
  };
  data->positions = moved(body.positions());
  data->normals = moved(body.normals());
  data->grain = moved(body.grain());
  data->areas_m2 = moved(body.areas_m2());
  data->curvature_min = moved(body.curvature_min());
  data->curvature_max = moved(body.curvature_max());
  data->wood_of = moved(body.wood_of());
  data->region_bits = moved(body.region_bits());
  data->woods = body.woods();
  data->pitch_m = body.pitch_m();
  for (const Triangle& t : body.triangles()) data->triangles.push_back({order[t[0]], order[t[1]], order[t[2]]});
  data->settle();
  return Body(data);
}

inline Material material(std::string id, Role role, Binder binder, double density_kg_m3, double volume_solids = -1) {
  Material m;
  m.id = m.name = std::move(id);
  m.role = role;
  m.binder = binder;
  const auto give = [&](Property p, double value) {
    Datum d;
    d.value = value;
    m.data[p] = d;
  };
  give(Property::density, density_kg_m3);
  if (volume_solids >= 0) give(Property::volume_solids, volume_solids), give(Property::dry_density, 1200);
  return m;
}

/// The solvent coats are taken to be laid in. Source: as in data/materials/solvents.toml.
inline Material butyl_acetate() {
  Material m = material("butyl_acetate", Role::solvent, Binder::none, 882.5);
  for (const auto& [property, value] : {std::pair{Property::molar_mass, 0.11616},
                                        {Property::antoine_a, 9.5},
                                        {Property::antoine_b, 1596.7},
                                        {Property::antoine_c, -43.85},
                                        {Property::heat_of_vaporisation, 43860.0},
                                        {Property::diffusion_volume, 133.72e-6},
                                        {Property::hansen_d, 15.8e3},
                                        {Property::hansen_p, 3.7e3},
                                        {Property::hansen_h, 6.3e3}}) {
    Datum d;
    d.value = value;
    m.data[property] = d;
  }
  return m;
}

/// Invented: round figures, only to have something on the shelf.
inline Library shelf() {
  Material lead = material("white_lead_enamel", Role::colorant, Binder::alkyd, 1600, 0.5);
  lead.holds = {Harmful::lead};
  Material metallic = material("gold_flake", Role::colorant, Binder::nitrocellulose, 950, 0.2);
  metallic.metallic = true;
  return Library({material("spruce", Role::wood, Binder::none, 400),
                  material("lacquer", Role::clear, Binder::nitrocellulose, 920, 0.20),
                  material("spirit_varnish", Role::clear, Binder::spirit_varnish, 900, 0.25),
                  material("polyurethane", Role::clear, Binder::polyurethane, 950, 0.40), lead, metallic,
                  material("thinner", Role::solvent, Binder::none, 870), butyl_acetate(),
                  material("naphtha", Role::cleaner, Binder::none, 750),
                  material("fine_compound", Role::compound, Binder::none, 1300)},
                 {}, 4711, {},
                 {{Binder::nitrocellulose, "butyl_acetate", 1, true}, {Binder::none, "butyl_acetate", 1, true}});
}

}  // namespace witnessline::shapes
