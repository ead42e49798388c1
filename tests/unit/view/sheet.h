// Bodies and films with known answers for the readings: a flat sheet and a bent one.
#pragma once

#include <cmath>
#include <functional>

#include "body/body_data.h"
#include "view/pictures.h"

namespace witnessline::view {

/// A sheet of (across x along) cells of one pitch; `shape(s, t)` places a point [m]. Open: only for readings and
/// stills.
inline Body sheet(int across, int along, double pitch_m, const std::function<Vec3d(double, double)>& shape) {
  auto data = std::make_shared<Body::Data>();
  for (int j = 0; j <= along; ++j)
    for (int i = 0; i <= across; ++i) {
      data->positions.push_back(static_cast<Vec3>(shape(i * pitch_m, j * pitch_m)));
      data->normals.push_back({0, 0, 1});
      data->grain.push_back({0, 1, 0});
    }
  const auto at = [&](int i, int j) { return static_cast<std::uint32_t>(j * (across + 1) + i); };
  for (int j = 0; j < along; ++j)
    for (int i = 0; i < across; ++i) {
      data->triangles.push_back({at(i, j), at(i + 1, j), at(i + 1, j + 1)});
      data->triangles.push_back({at(i, j), at(i + 1, j + 1), at(i, j + 1)});
    }
  const std::size_t n = data->positions.size();
  data->areas_m2.assign(n, 0.0f);
  std::vector<Vec3d> normals(n);
  for (const Triangle& t : data->triangles) {
    const Vec3d a = data->positions[t[0]], b = data->positions[t[1]], c = data->positions[t[2]];
    const Vec3d twice = cross(b - a, c - a);
    for (const std::uint32_t v : t) {
      data->areas_m2[v] += static_cast<float>(length(twice) / 6);
      normals[v] += twice;
    }
  }
  for (std::size_t v = 0; v < n; ++v) data->normals[v] = static_cast<Vec3>(unit_of(normals[v]));
  data->curvature_min.assign(n, 0.0f);
  data->curvature_max.assign(n, 0.0f);
  data->wood_of.assign(n, 0);
  data->woods = {"spruce"};
  data->region_bits.assign(n, static_cast<std::uint16_t>(1u << static_cast<unsigned>(Region::front)));
  data->pitch_m = pitch_m;
  data->settle();
  return Body(data);
}

inline Body flat_sheet(int across, int along, double pitch_m) {
  return sheet(across, along, pitch_m, [](double s, double t) { return Vec3d{s, t, 0}; });
}

/// Materials made up for these tests only: pale wood, a clear and a dark opaque.
inline Library test_library() {
  Material spruce, clear, opaque;
  spruce.id = "spruce", spruce.name = "spruce", spruce.role = Role::wood, spruce.invented = true;
  spruce.reflectance = Reflectance{};
  for (int b = 0; b < bands; ++b) (*spruce.reflectance)[b] = 0.3 + 0.4 * b / bands;
  clear.id = "clear", clear.name = "clear", clear.role = Role::clear, clear.invented = true;
  clear.absorption_per_m = Spectrum{}, clear.yellowing_per_m = Spectrum{};
  for (int b = 0; b < bands; ++b) (*clear.absorption_per_m)[b] = b < 10 ? 800 : 20;
  opaque.id = "opaque", opaque.name = "opaque", opaque.role = Role::toner, opaque.invented = true;
  opaque.absorption_per_m = Spectrum{};
  for (int b = 0; b < bands; ++b) (*opaque.absorption_per_m)[b] = b < 20 ? 90e3 : 60e3;
  return Library({spruce, clear, opaque}, {}, 1);
}

inline std::size_t add_layer(Film& film, const std::string& material, const std::string& name, Origin origin,
                             const std::function<double(std::size_t)>& dry_m) {
  FilmLayer layer;
  layer.mixture = std::make_shared<Mixture>(Mixture{material, material, {{material, 1.0}}});
  layer.provenance = {origin, name};
  layer.dry_m = layer.solvent_m = Field<float>(film.size(), 0.0f);
  layer.melted = Field<std::uint8_t>(film.size(), 0);
  layer.light_at_lay = film.light_lx_s;
  for (std::size_t c = 0; c < layer.dry_m.chunk_count(); ++c) {
    std::vector<float> values(layer.dry_m.chunk_size(c));
    for (std::size_t i = 0; i < values.size(); ++i) values[i] = static_cast<float>(dry_m(c * field_chunk + i));
    layer.dry_m.write(c, values.data());
  }
  film.layers.push_back(std::move(layer));
  return film.layers.size() - 1;
}

/// A body, its film and what is needed to look at it.
struct Scenario {
  Body body;
  Library library = test_library();
  Palette palette{library};
  std::vector<std::shared_ptr<const Material>> woods{std::make_shared<Material>(*library.find("spruce"))};
  Film film = bare_film(body);
  explicit Scenario(Body b) : body(std::move(b)) {}
  ViewContext view_context() const { return {body, woods, palette}; }
};

}  // namespace witnessline::view
