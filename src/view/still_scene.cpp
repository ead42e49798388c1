#include "view/still_scene.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "base/parallel.h"
#include "base/random.h"
#include "optics/face.h"
#include "optics/reflectance.h"
#include "view/card.h"

namespace witnessline::view {
namespace {

constexpr int figure_shades = 16;
constexpr double second_light = 0.7;  // ESTIMATE: share of unshadowed light on what is seen by reflection

std::vector<WoodFigure> figures_of(const ViewContext& view_context) {
  std::vector<Vec3d> axes(view_context.woods.size());
  std::vector<double> counts(view_context.woods.size());
  const auto grain = view_context.body.grain();
  const auto wood_of = view_context.body.wood_of();
  for (std::size_t v = 0; v < grain.size(); ++v) {
    const std::size_t wood = std::min<std::size_t>(wood_of[v], axes.size() - 1);
    const Vec3d along = grain[v];
    axes[wood] += (along.y < 0 || (along.y == 0 && along.x < 0) ? -1.0 : 1.0) * along;
    counts[wood] += 1;
  }
  std::vector<WoodFigure> figures;
  for (std::size_t w = 0; w < axes.size(); ++w)
    figures.emplace_back(*view_context.woods[w], counts[w] > 0 ? (1 / counts[w]) * axes[w] : Vec3d{0, 1, 0});
  return figures;
}

/// Each wood in shades of its figure, so that the mean over the body stays the wood's own.
std::vector<Reflectance> figured_grounds(const ViewContext& view_context, const std::vector<WoodFigure>& figures) {
  const Body& body = view_context.body;
  std::vector<double> sum(figures.size()), counts(figures.size());
  const std::size_t stride = std::max<std::size_t>(1, body.size() / 6000);
  for (std::size_t v = 0; v < body.size(); v += stride) {
    const std::size_t wood = std::min<std::size_t>(body.wood_of()[v], figures.size() - 1);
    sum[wood] += figures[wood].at(body.positions()[v], body.grain()[v], body.normals()[v]);
    counts[wood] += 1;
  }
  std::vector<Reflectance> grounds;
  for (std::size_t w = 0; w < figures.size(); ++w)
    for (int shade = 0; shade < figure_shades; ++shade) {
      Reflectance r = view_context.palette.bare(view_context.woods[w]->id);
      const double dark = (shade + 0.5) / figure_shades - (counts[w] > 0 ? sum[w] / counts[w] : 0.4);
      for (int b = 0; b < bands; ++b)
        r[b] = std::clamp(r[b] * (1 - figures[w].contrast() * dark * (1.25 - 0.5 * b / (bands - 1.0))), 0.0, 1.0);
      grounds.push_back(r);
    }
  return grounds;
}

LinearRgb to_linear(const std::array<std::array<double, 3>, 3>& to_screen, double x, double y, double z) {
  LinearRgb rgb;
  for (std::size_t c = 0; c < 3; ++c)
    rgb[c] = static_cast<float>(std::max(0.0, to_screen[c][0] * x + to_screen[c][1] * y + to_screen[c][2] * z));
  return rgb;
}

/// Colours of vertices as other places see them: under light that nothing shadows, somewhat dimmed.
void light_again(const StillScene& scene, std::span<const Vec3> normals, std::vector<LinearRgb>& colours) {
  const Studio& room = scene.room;
  // One light by direction: 3 x 3 x 3 would do; six faces of a cube, squared, come close enough.
  std::array<double, 6> faces{};
  for (std::size_t f = 0; f < 6; ++f) {
    const double sign = f % 2 ? -1 : 1;
    const Vec3d n{f / 2 == 0 ? sign : 0, f / 2 == 1 ? sign : 0, f / 2 == 2 ? sign : 0};
    faces[f] = room.walls_on(n);
    for (const AreaLight& one : room.lights) faces[f] += Studio::falling_on(one, {0, 0, 0}, n);
  }
  for_chunks(colours.size(), field_chunk, [&](std::size_t begin, std::size_t end) {
    for (std::size_t v = begin; v < end; ++v) {
      const Vec3d n = scene.camera.into_frame(normals[v]);
      const double light =
          n.x * n.x * faces[n.x < 0] + n.y * n.y * faces[2 + (n.y < 0)] + n.z * n.z * faces[4 + (n.z < 0)];
      for (float& c : colours[v]) c *= static_cast<float>(second_light * light);
    }
  });
}

std::vector<LinearRgb> vertex_colours_under(const Film& film, const ViewContext& view_context, Lamp lamp,
                                            const std::array<std::array<double, 3>, 3>& to_screen) {
  std::vector<LinearRgb> colours(film.size());
  for_blocks(film, view_context, [&](std::size_t first, std::size_t count, const BlockSpectra& spectra) {
    const BlockXyz xyz = to_xyz(spectra, lamp, view_context.observer);
    for (std::size_t i = 0; i < count; ++i) colours[first + i] = to_linear(to_screen, xyz.x[i], xyz.y[i], xyz.z[i]);
  });
  return colours;
}

}  // namespace

FaceTable::FaceTable(double index) {
  for (std::size_t i = 0; i < table_.size(); ++i)
    table_[i] = fresnel_reflectance(index, std::acos(static_cast<double>(i) / last) * 180 / std::numbers::pi);
}

void colour_block(const StillScene& scene, std::span<Spot* const> spots, const std::vector<Sample>& samples) {
  ColumnBlock columns(scene.table.layers().size());
  std::array<float, block> dirt{};
  const auto triangles = scene.body.triangles();
  const auto positions = scene.body.positions();
  for (std::size_t i = 0; i < spots.size(); ++i) {
    Spot& s = *spots[i];
    const Triangle& t = triangles[s.at.triangle];
    const float w = 1 - s.at.u - s.at.v;
    const std::uint32_t corner = w >= s.at.u && w >= s.at.v ? t[0] : s.at.u >= s.at.v ? t[1] : t[2];
    MarkHere mark;
    const double chance = fraction(0.6180339887498949 * samples[s.first].index + 1e-6 * (mixed(s.pixel) & 0xfffff));
    const bool marked = scene.relief.mark_at(s.place, s.flat, chance, mark);
    const ColumnTable::Here here = scene.table.load(columns, i, t, s.at.u, s.at.v, mark.cut_m);
    const std::size_t wood = std::min<std::size_t>(scene.body.wood_of()[corner], scene.figures.size() - 1);
    const double dark = scene.figures[wood].at(s.place, scene.body.grain()[corner], s.flat);
    columns.ground_of[i] =
        static_cast<std::uint8_t>(static_cast<int>(wood) * figure_shades +
                                  std::clamp(static_cast<int>(dark * figure_shades), 0, figure_shades - 1));
    s.is_fine = here.at_ring || marked;
    s.roughness_m = std::max(columns.roughness_m[i], mark.roughness_m);
    columns.roughness_m[i] = 0;  // the face's own light is worked out below, by direction
    Vec3d slope = here.at_ring ? Relief::slope_in(positions[t[0]], positions[t[1]], positions[t[2]], here.corner_m)
                               : scene.relief.slope(t, s.at.u, s.at.v);
    slope += mark.slope;
    dirt[i] = mark.dirt;
    s.open = mark.open;
    s.normal = unit_of(s.flat - slope, s.flat);
    s.face = 0;
    if (here.outermost >= 0) {
      const FaceTable& face = scene.faces[static_cast<std::size_t>(here.outermost)];
      const double wetted = wetting_out(here.film_m);
      s.face = wetted * face(dot(s.normal, s.to_camera));
      // What the face throws back before light comes in is missing from what comes out, more so at a slant.
      s.open *= (1 - s.face) / (1 - wetted * face(1));
    }
  }
  for (std::size_t i = spots.size(); i < block; ++i) {  // the kernel works on whole blocks
    columns.ground_of[i] = columns.ground_of[0];
    for (Lane& lane : columns.thickness_m) lane[i] = lane[0];
  }
  BlockSpectra spectra;
  reflectance(scene.sequence, columns, spectra);
  for (std::size_t source = 0; source <= scene.lights(); ++source) {
    if (source > 0 && scene.lamp(source) == scene.lamp(source - 1)) {
      for (Spot* s : spots) s->colour[source] = s->colour[source - 1];
      continue;
    }
    const BlockXyz xyz = to_xyz(spectra, scene.lamp(source), scene.view_context.observer);
    for (std::size_t i = 0; i < spots.size(); ++i)
      spots[i]->colour[source] = to_linear(scene.to_screen[source], xyz.x[i], xyz.y[i], xyz.z[i]);
  }
  // Dirt packed into marks hides what lies under it: dark on a light colour, pale on a dark one.
  for (std::size_t i = 0; i < spots.size(); ++i)
    for (std::size_t source = 0; dirt[i] > 0 && source <= scene.lights(); ++source)
      for (std::size_t c = 0; c < 3; ++c) {
        float& colour = spots[i]->colour[source][c];
        colour += dirt[i] * (scene.dirt[source][c] - colour);
      }
}

Vec3d normal_at(const StillScene& scene, SurfacePoint at) {
  const std::size_t own = scene.body.triangles().size();
  const bool is_body = at.triangle < own;
  const Triangle& t = is_body ? scene.body.triangles()[at.triangle] : scene.fittings->triangles[at.triangle - own];
  const auto normals = is_body ? scene.body.normals() : std::span<const Vec3>(scene.fittings->normals);
  return unit_of((1 - double{at.u} - at.v) * Vec3d(normals[t[0]]) + double{at.u} * Vec3d(normals[t[1]]) +
                 double{at.v} * Vec3d(normals[t[2]]));
}

LinearRgb second_sight(const StillScene& scene, const Hit& hit) {
  const std::size_t own = scene.body.triangles().size();
  const bool is_body = hit.at.triangle < own;
  const Triangle& t =
      is_body ? scene.body.triangles()[hit.at.triangle] : scene.fittings->triangles[hit.at.triangle - own];
  const std::vector<LinearRgb>& colours = is_body ? scene.body_again : scene.fittings_again;
  const float w = 1 - hit.at.u - hit.at.v;
  LinearRgb colour;
  for (std::size_t c = 0; c < 3; ++c)
    colour[c] = w * colours[t[0]][c] + hit.at.u * colours[t[1]][c] + hit.at.v * colours[t[2]][c];
  return colour;
}

LinearRgb room_seen(const StillScene& scene, Vec3d from, Vec3d direction, double blur) {
  // Behind stands the card.
  const double card = std::clamp(0.5 - direction.z / (0.06 + 2 * blur), 0.0, 1.0);
  const auto walls = static_cast<float>((1 - card) * scene.room.walls(direction));
  LinearRgb seen;
  for (std::size_t c = 0; c < 3; ++c)
    seen[c] = walls * scene.white.back()[c] + static_cast<float>(card) * scene.card[c];
  for (std::size_t l = 0; l < scene.lights(); ++l) {
    const AreaLight& light = scene.room.lights[l];
    const auto share = static_cast<float>(light.radiance * Studio::seen_in_mirror(light, from, direction, blur));
    if (share > 0)
      for (std::size_t c = 0; c < 3; ++c) seen[c] += share * scene.white[l][c];
  }
  return seen;
}

StillScene still_scene(const Film& film, const ViewContext& view_context, Face face, const Studio& room, StillSize size,
                       const FittingMesh* fittings, const RaysSeen& rays_seen) {
  expects(size.width > 0 && size.height > 0 && size.samples > 0, "a still has a size");
  expects(film.size() == view_context.body.size(), "a film lies on its own body");
  expects(view_context.woods.size() * figure_shades <= 256, "a body has at most 16 woods");
  expects(room.lights.size() < most_lamps, "a room has at most three lights");
  // Spectra come with Y = 100 for the perfect diffuser, in whichever lamp they are seen.
  std::vector<std::array<std::array<double, 3>, 3>> to_screen(room.lights.size() + 1,
                                                              linear_srgb_from_xyz(room.adopted_white));
  std::vector<LinearRgb> white, dirt;
  const auto& to_y = to_screen.front()[1];
  const double full = to_y[0] * room.adopted_white.x + to_y[1] * room.adopted_white.y + to_y[2] * room.adopted_white.z;
  for (auto& matrix : to_screen)
    for (auto& row : matrix)
      for (double& value : row) value /= full;
  for (std::size_t source = 0; source < to_screen.size(); ++source) {
    const Lamp lamp = source < room.lights.size() ? room.lights[source].lamp : room.air;
    const Xyz card = white_point(lamp, view_context.observer),
              packed = to_xyz(packed_dirt(), lamp, view_context.observer);
    white.push_back(to_linear(to_screen[source], card.x, card.y, card.z));
    dirt.push_back(to_linear(to_screen[source], packed.x, packed.y, packed.z));
  }
  const Camera camera(view_context.body, face, size);
  ColumnTable table(film);
  std::vector<FaceTable> faces;
  for (const CoatOptics& coat : table.optics(film, view_context.palette)) faces.emplace_back(coat.refractive_index);
  auto figures = figures_of(view_context);
  CoatSequence sequence(table.optics(film, view_context.palette), figured_grounds(view_context, figures));
  auto body_again = vertex_colours_under(film, view_context, room.air, to_screen.back());
  const bool dressed = fittings && !fittings->triangles.empty();
  StillScene scene{
      film,
      view_context,
      view_context.body,
      room,
      dressed ? fittings : nullptr,
      rays_seen,
      camera,
      RayScene(view_context.body, dressed ? std::span<const Vec3>(fittings->points) : std::span<const Vec3>(),
               dressed ? std::span<const Triangle>(fittings->triangles) : std::span<const Triangle>()),
      Relief(film, view_context.body, camera.pixel_m()),
      std::move(table),
      std::move(figures),
      std::move(sequence),
      std::move(faces),
      std::move(to_screen),
      std::move(white),
      std::move(dirt),
      std::move(body_again)};
  light_again(scene, view_context.body.normals(), scene.body_again);
  if (dressed) {
    scene.fittings_again.resize(fittings->points.size());
    for (std::size_t t = 0; t < fittings->triangles.size(); ++t)
      for (const std::uint32_t v : fittings->triangles[t]) {
        const FittingStuff& stuff = fittings->stuffs[fittings->stuff_of[t]];
        for (std::size_t c = 0; c < 3; ++c)
          scene.fittings_again[v][c] =
              static_cast<float>(stuff.body[c] + 0.6 * stuff.mirror[c]) * scene.white.back()[c];
      }
    light_again(scene, fittings->normals, scene.fittings_again);
  }
  for (const AreaLight& light : room.lights) {
    LightPoints& points = scene.light_points.emplace_back();
    for (std::uint32_t set = 0; set < light_shifts; ++set)
      for (int sample = 0; sample < size.samples; ++sample) {
        const Spread at = spread(sample, shift_of(set, 2 * static_cast<int>(scene.light_points.size())));
        points.push_back(
            static_cast<Vec3>(camera.middle() + camera.from_frame(camera.size_m() * light.place(at.u, at.v))));
      }
  }
  for (std::size_t source = 0; source <= scene.lights(); ++source) {
    const double share = source < scene.lights() ? Studio::falling_on(room.lights[source], {0, 0, 0}, {0, 0, 1})
                                                 : room.walls_on({0, 0, 1});
    add_scaled(scene.card, scene.white[source], room.card * share);
  }
  return scene;
}

}  // namespace witnessline::view
