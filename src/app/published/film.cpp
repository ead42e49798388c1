#include <cmath>

#include "app/published/published.h"
#include "bench/laws.h"
#include "body/body_data.h"
#include "film/film.h"
#include "materials/coverage.h"
#include "optics/gloss.h"

namespace witnessline::app {

namespace {

/// A round-over cut by a flat block: the film's signed remaining thickness at the vertices of a mesh of the given
/// pitch, and the width [m] of the strip that shows as bared when it is interpolated between them.
double bared_strip_m(double radius_m, double cut_m, double pitch_m) {
  constexpr int rows = 2;
  const int half = static_cast<int>(std::ceil(6 * std::sqrt(2 * radius_m * cut_m) / pitch_m));
  const int across = 2 * half + 1;
  auto data = std::make_shared<Body::Data>();
  const std::size_t size = static_cast<std::size_t>(across) * rows;
  data->normals.assign(size, Vec3{0, 0, 1});
  data->grain.assign(size, Vec3{0, 1, 0});
  data->areas_m2.assign(size, static_cast<float>(pitch_m * pitch_m));
  data->curvature_min.assign(size, 0.0f);
  data->curvature_max.assign(size, static_cast<float>(1 / radius_m));
  data->wood_of.assign(size, 0);
  data->region_bits.assign(size, 1);
  data->woods = {"wood"};
  data->pitch_m = pitch_m;
  std::vector<float> left_m(size);
  for (int j = 0; j < rows; ++j)
    for (int i = 0; i < across; ++i) {
      // A third of a pitch off the crest, so that no vertex happens to lie on it.
      const double s = (i - half + 1.0 / 3.0) * pitch_m, fall = radius_m * (1 - std::cos(s / radius_m));
      data->positions.push_back({static_cast<float>(radius_m * std::sin(s / radius_m)), static_cast<float>(j * pitch_m),
                                 static_cast<float>(-fall)});
      left_m[static_cast<std::size_t>(j * across + i)] = static_cast<float>(fall - cut_m);
    }
  for (int i = 0; i + 1 < across; ++i) {
    const auto v = [&](int a, int b) { return static_cast<std::uint32_t>(b * across + a); };
    data->triangles.push_back({v(i, 0), v(i + 1, 0), v(i + 1, 1)});
    data->triangles.push_back({v(i, 0), v(i + 1, 1), v(i, 1)});
  }
  data->settle();
  const Body body(data);
  Film film = bare_film(body);
  layer_for(film, std::make_shared<const Mixture>(Mixture{"coat", "", {}}), {Origin::original, "coat"});
  std::vector<float> chunk(field_chunk);
  for (std::size_t c = 0; c < film.layers[0].dry_m.chunk_count(); ++c) {
    std::copy_n(left_m.begin() + static_cast<long>(c * field_chunk), film.layers[0].dry_m.chunk_size(c), chunk.begin());
    film.layers[0].dry_m.write(c, chunk.data());
  }
  // Along the lower side of the strip of triangles, in thousandths of a side.
  constexpr int parts = 1000;
  int bared = 0;
  for (std::size_t t = 0; t < body.triangles().size(); t += 2)
    for (int k = 0; k < parts; ++k)
      bared += stack_at(film, body, {nullptr}, SurfacePoint{static_cast<std::uint32_t>(t), (k + 0.5f) / parts, 0})
                   .thickness_m() <= 0;
  return bared * pitch_m / parts;
}

}  // namespace

void add_film_checks(Registry& registry) {
  registry.add("ring_width", {"radius_mm", "cut_um", "pitch_mm"}, [](const Numbers& in) {
    return 1e3 * bared_strip_m(1e-3 * in["radius_mm"], 1e-6 * in["cut_um"], 1e-3 * in["pitch_mm"]);
  });
  registry.add("gloss", {"n", "roughness_um", "angle_deg"},
               [](const Numbers& in) { return specular_gloss(in["n"], 1e-6 * in["roughness_um"], in["angle_deg"]); });
  registry.add("gloss_kept", {"roughness_um", "angle_deg"}, [](const Numbers& in) {
    constexpr double any_index = 1.5;
    return specular_gloss(any_index, 1e-6 * in["roughness_um"], in["angle_deg"]) /
           specular_gloss(any_index, 0, in["angle_deg"]);
  });
  registry.add("grain_size", {"grit"},
               [](const Numbers& in) { return 1e6 * grain_size_m(static_cast<int>(std::lround(in["grit"]))); });
  registry.add("keying_depth", {"grit"},
               [](const Numbers& in) { return 1e6 * keying_depth_m(static_cast<int>(std::lround(in["grit"]))); });
  // Coats of a material of the library, thinned, less what flatting takes.
  registry.add("film_after_flatting", [&registry](const PublishedRow& row) -> Result<double> {
    const Result<Numbers> in = numbers(row, {"coats", "wet_um", "thinner_per_part", "flatting_um"});
    if (!in) return in.errors();
    const Result<double> solids = datum_of_subject(registry, row, Property::volume_solids);
    if (!solids) return solids.errors();
    return (*in)["coats"] * 1e6 * dry_film_m(1e-6 * (*in)["wet_um"], *solids, (*in)["thinner_per_part"]) -
           (*in)["flatting_um"];
  });
}

}  // namespace witnessline::app
