// Stills: rays to the surface, columns inside the triangles, spectra under each lamp, then light, shadow and mirror.
#include "view/still.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "base/parallel.h"
#include "base/random.h"
#include "optics/face.h"
#include "view/camera.h"
#include "view/card.h"
#include "view/columns.h"
#include "view/relief.h"
#include "view/wood_figure.h"

namespace witnessline {
namespace {

constexpr int tile_width = 32, tile_height = 8;
constexpr int figure_shades = 16;
constexpr std::size_t most_lamps = 4;      // lights and air of a room
constexpr double lens_blur = 0.006;        // the room is out of focus when the instrument is in it [rad]
constexpr double texture_length_m = 8e-6;  // ESTIMATE: correlation length of a handled or rubbed face
constexpr double off_surface_m = 2e-4;     // rays start a little off the face
constexpr double least_mirror = 2e-3;      // fainter mirror images are not traced
constexpr double second_light = 0.7;       // ESTIMATE: share of unshadowed light on what is seen by reflection

/// Fresnel by the cosine from air.
class FaceTable {
 public:
  explicit FaceTable(double index) {
    for (std::size_t i = 0; i < table_.size(); ++i)
      table_[i] = fresnel_reflectance(index, std::acos(static_cast<double>(i) / last) * 180 / std::numbers::pi);
  }
  double operator()(double cosine) const {
    const double x = std::clamp(cosine, 0.0, 1.0) * last;
    const auto i = std::min(static_cast<std::size_t>(x), table_.size() - 2);
    return table_[i] + (x - static_cast<double>(i)) * (table_[i + 1] - table_[i]);
  }

 private:
  static constexpr double last = 256;
  std::array<double, 257> table_{};
};

/// A place seen through one sample of a pixel.
struct Sample {
  std::uint32_t pixel = 0;
  int index = 0;
  SurfacePoint at;
  int stuff = -1;                              ///< of a fitting; -1: the body
  Vec3d place, room_place;                     ///< in the body's frame [m]; in the room's [body sizes]
  Vec3d flat, normal, to_camera;               ///< body's frame; `flat` without film and marks
  std::array<LinearRgb, most_lamps> colour{};  ///< what it scatters of each light, of the air last
  LinearRgb light{};
  double roughness_m = 0, open = 1;
  double wetted = 1;  ///< share that has an air face of its own
  double face = 0;    ///< what the air face reflects
};

/// Everything one still is made from.
struct Scene {
  const Film& film;
  const Looking& looking;
  const Body& body;
  const Room& room;
  const FittingMesh* fittings;
  const RaysSeen& rays_seen;
  Camera camera;
  RayScene rays;
  Relief relief;
  ColumnTable table;
  std::vector<WoodFigure> figures;
  CoatSequence sequence;
  std::vector<FaceTable> faces;                                 ///< of the table's layers
  std::vector<std::array<std::array<double, 3>, 3>> to_screen;  ///< of each light, of the air last
  std::vector<LinearRgb> white;                                 ///< a white card under each
  std::vector<LinearRgb> vertex_colours;                        ///< under the air, for second sight
  LinearRgb card{};                                             ///< the card behind, seen by reflection

  std::size_t lights() const { return room.lights.size(); }
  Lamp lamp(std::size_t source) const { return source < lights() ? room.lights[source].lamp : room.air; }
  Vec3d into_room(Vec3d place) const { return (1 / camera.size_m()) * camera.into_frame(place - camera.middle()); }
};

std::vector<WoodFigure> figures_of(const Looking& looking) {
  std::vector<Vec3d> axes(looking.woods.size());
  std::vector<double> counts(looking.woods.size());
  const auto grain = looking.body.grain();
  const auto wood_of = looking.body.wood_of();
  for (std::size_t v = 0; v < grain.size(); ++v) {
    const std::size_t wood = std::min<std::size_t>(wood_of[v], axes.size() - 1);
    const Vec3d along = grain[v];
    axes[wood] += (along.y < 0 || (along.y == 0 && along.x < 0) ? -1.0 : 1.0) * along;
    counts[wood] += 1;
  }
  std::vector<WoodFigure> figures;
  for (std::size_t w = 0; w < axes.size(); ++w)
    figures.emplace_back(looking.woods[w]->id, counts[w] > 0 ? (1 / counts[w]) * axes[w] : Vec3d{0, 1, 0});
  return figures;
}

/// Each wood in shades of its figure, so that the mean over the body stays the wood's own.
std::vector<Reflectance> figured_grounds(const Looking& looking, const std::vector<WoodFigure>& figures) {
  const Body& body = looking.body;
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
      Reflectance r = looking.palette.bare(looking.woods[w]->id);
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

/// What 64 places of the body scatter under every light, from their coats; and the face that the film has there.
void colour_block(const Scene& scene, std::span<Sample> samples) {
  ColumnBlock columns(scene.table.layers().size());
  const auto triangles = scene.body.triangles();
  const auto positions = scene.body.positions();
  for (std::size_t i = 0; i < block; ++i) {
    Sample& s = samples[std::min(i, samples.size() - 1)];
    const Triangle& t = triangles[s.at.triangle];
    const float w = 1 - s.at.u - s.at.v;
    const std::uint32_t corner = w >= s.at.u && w >= s.at.v ? t[0] : s.at.u >= s.at.v ? t[1] : t[2];
    MarkHere mark;
    const double chance = spread(s.index, mixed(s.pixel + 0x51ull)).u;
    const bool marked = i < samples.size() && scene.relief.mark_at(s.place, s.flat, chance, mark);
    const ColumnTable::Here here = scene.table.load(columns, i, t, s.at.u, s.at.v, mark.cut_m);
    const std::size_t wood = std::min<std::size_t>(scene.body.wood_of()[corner], scene.figures.size() - 1);
    if (i >= samples.size()) continue;
    const double dark = scene.figures[wood].at(s.place, scene.body.grain()[corner], s.flat);
    columns.ground_of[i] =
        static_cast<std::uint8_t>(static_cast<int>(wood) * figure_shades +
                                  std::clamp(static_cast<int>(dark * figure_shades), 0, figure_shades - 1));
    s.wetted = wetting_out(here.film_m);
    s.roughness_m = std::max(columns.roughness_m[i], mark.roughness_m);
    columns.roughness_m[i] = 0;  // the face's own light is worked out below, by direction
    Vec3d slope = here.at_ring ? Relief::slope_in(positions[t[0]], positions[t[1]], positions[t[2]], here.corner_m)
                               : scene.relief.slope(t, s.at.u, s.at.v);
    if (marked) {
      slope += mark.slope;
      columns.grime_kg_m2[i] *= mark.grime_share;
      s.open = mark.open;
    }
    s.normal = unit_of(s.flat - slope, s.flat);
    const double cosine = dot(s.normal, s.to_camera);
    if (here.outermost >= 0) {
      const FaceTable& face = scene.faces[static_cast<std::size_t>(here.outermost)];
      s.face = s.wetted * face(cosine);
      // What the face throws back before light comes in is missing from what comes out, more so at a slant.
      s.open *= (1 - s.face) / (1 - s.wetted * face(1));
    }
  }
  for (std::size_t i = samples.size(); i < block; ++i) {
    columns.ground_of[i] = columns.ground_of[samples.size() - 1];
    columns.grime_kg_m2[i] = columns.roughness_m[i] = 0;
  }
  BlockSpectra spectra;
  reflectance(scene.sequence, columns, spectra);
  for (std::size_t source = 0; source <= scene.lights(); ++source) {
    if (source > 0 && scene.lamp(source) == scene.lamp(source - 1)) {
      for (Sample& s : samples) s.colour[source] = s.colour[source - 1];
      continue;
    }
    const BlockXyz xyz = to_xyz(spectra, scene.lamp(source), scene.looking.observer);
    for (std::size_t i = 0; i < samples.size(); ++i)
      samples[i].colour[source] = to_linear(scene.to_screen[source], xyz.x[i], xyz.y[i], xyz.z[i]);
  }
}

/// Unit normal of a fitting or of the body inside a triangle.
Vec3d normal_at(const Scene& scene, SurfacePoint at) {
  const std::size_t own = scene.body.triangles().size();
  const bool is_body = at.triangle < own;
  const Triangle& t = is_body ? scene.body.triangles()[at.triangle] : scene.fittings->triangles[at.triangle - own];
  const auto normals = is_body ? scene.body.normals() : std::span<const Vec3>(scene.fittings->normals);
  return unit_of((1 - double{at.u} - at.v) * Vec3d(normals[t[0]]) + double{at.u} * Vec3d(normals[t[1]]) +
                 double{at.v} * Vec3d(normals[t[2]]));
}

/// What is seen where a second ray ends: its colour under light that nothing shadows.
LinearRgb second_sight(const Scene& scene, const Hit& hit) {
  const std::size_t own = scene.body.triangles().size();
  const SurfacePoint at = hit.at;
  const Vec3d normal = normal_at(scene, at);
  LinearRgb colour;
  if (at.triangle < own) {
    const Triangle& t = scene.body.triangles()[at.triangle];
    const float w = 1 - at.u - at.v;
    for (std::size_t c = 0; c < 3; ++c)
      colour[c] = w * scene.vertex_colours[t[0]][c] + at.u * scene.vertex_colours[t[1]][c] +
                  at.v * scene.vertex_colours[t[2]][c];
  } else {
    const FittingStuff& stuff = scene.fittings->stuffs[scene.fittings->stuff_of[at.triangle - own]];
    for (std::size_t c = 0; c < 3; ++c)
      colour[c] = static_cast<float>(stuff.body[c] + 0.6 * stuff.mirror[c]) * scene.white.back()[c];
  }
  const Vec3d in_room = scene.camera.into_frame(normal);
  double light = scene.room.sky + 2.0 / 3 * scene.room.sky_lift * dot(in_room, scene.room.bright_side);
  for (const AreaLight& one : scene.room.lights) light += Room::light_on(one, {0, 0, 0}, in_room);
  for (float& c : colour) c *= static_cast<float>(second_light * light);
  return colour;
}

/// The room in a direction, lights and card included, blurred.
LinearRgb room_seen(const Scene& scene, Vec3d from, Vec3d direction, double blur) {
  // Behind stands the card.
  const double card = std::clamp(0.5 - direction.z / (0.06 + 2 * blur), 0.0, 1.0);
  const auto walls = static_cast<float>((1 - card) * scene.room.walls(direction));
  LinearRgb seen;
  for (std::size_t c = 0; c < 3; ++c)
    seen[c] = walls * scene.white.back()[c] + static_cast<float>(card) * scene.card[c];
  for (std::size_t l = 0; l < scene.lights(); ++l) {
    const AreaLight& light = scene.room.lights[l];
    const auto share = static_cast<float>(light.radiance * Room::seen_in_mirror(light, from, direction, blur));
    if (share > 0)
      for (std::size_t c = 0; c < 3; ++c) seen[c] += share * scene.white[l][c];
  }
  return seen;
}

void add_scaled(LinearRgb& sum, const LinearRgb& colour, const LinearRgb& times, double share) {
  for (std::size_t c = 0; c < 3; ++c) sum[c] += static_cast<float>(share) * colour[c] * times[c];
}
void add_scaled(LinearRgb& sum, const LinearRgb& colour, double share) {
  for (std::size_t c = 0; c < 3; ++c) sum[c] += static_cast<float>(share) * colour[c];
}

class Tile {
 public:
  explicit Tile(const Scene& scene) : scene_(scene) {}

  void render(const StillSize& size, int left, int top, Canvas& canvas) {
    see(size, left, top);
    for (std::size_t first = 0; first < body_count_; first += block)
      colour_block(scene_, std::span(samples_).subspan(first, std::min<std::size_t>(block, body_count_ - first)));
    for (Sample& s : samples_) s.room_place = scene_.into_room(s.place);
    for (std::size_t l = 0; l < scene_.lights(); ++l) light(l);
    air();
    mirror();
    for (const Sample& s : samples_) {
      LinearRgb shown = s.light;
      for (float& c : shown) c *= static_cast<float>(scene_.room.exposure);
      canvas.add(s.pixel, shown);
    }
  }

 private:
  /// First hits of the tile; the body's samples come first.
  void see(const StillSize& size, int left, int top) {
    rays_.clear(), samples_.clear();
    const int right = std::min(left + tile_width, size.width), bottom = std::min(top + tile_height, size.height);
    std::vector<std::uint32_t> pixels;
    for (int y = top; y < bottom; ++y)
      for (int x = left; x < right; ++x) {
        pixels.push_back(static_cast<std::uint32_t>(y * size.width + x));
        for (int s = 0; s < size.samples; ++s) {
          const Spread in = spread(s, 0);
          rays_.push_back(scene_.camera.ray(x + in.u, y + in.v));
        }
      }
    cast();
    const std::size_t own = scene_.body.triangles().size();
    const auto samples_a_pixel = static_cast<std::size_t>(size.samples);
    for (const bool of_body : {true, false}) {
      for (std::size_t i = 0; i < rays_.size(); ++i) {
        const Hit& hit = hits_[i];
        if (hit.missed() || (hit.at.triangle < own) != of_body) continue;
        Sample s;
        s.pixel = pixels[i / samples_a_pixel];
        s.index = static_cast<int>(i % samples_a_pixel);
        s.at = hit.at;
        s.to_camera = -1.0 * Vec3d(rays_[i].direction);
        s.place = Vec3d(rays_[i].origin) + double{hit.distance} * Vec3d(rays_[i].direction);
        s.flat = s.normal = normal_at(scene_, hit.at);
        if (of_body)
          s.place = scene_.body.position(hit.at);
        else
          dress(s, own);
        samples_.push_back(s);
      }
      if (of_body) body_count_ = samples_.size();
    }
  }

  void dress(Sample& s, std::size_t own) {
    s.stuff = scene_.fittings->stuff_of[s.at.triangle - own];
    const FittingStuff& stuff = scene_.fittings->stuffs[static_cast<std::size_t>(s.stuff)];
    for (std::size_t source = 0; source <= scene_.lights(); ++source)
      for (std::size_t c = 0; c < 3; ++c)
        s.colour[source][c] = static_cast<float>(stuff.body[c]) * scene_.white[source][c];
  }

  void light(std::size_t l) {
    const AreaLight& light = scene_.room.lights[l];
    rays_.clear(), asked_.clear(), shares_.clear();
    for (std::size_t i = 0; i < samples_.size(); ++i) {
      const Sample& s = samples_[i];
      const double share = s.open * Room::light_on(light, s.room_place, scene_.camera.into_frame(s.normal));
      if (share < 1e-4) continue;
      const Spread at = spread(s.index, mixed((std::uint64_t{s.pixel} << 3) + l));
      const Vec3d way = scene_.camera.from_frame(light.place(at.u, at.v) - s.room_place);
      if (dot(way, s.flat) <= 0) continue;
      rays_.push_back({off(s), static_cast<Vec3>(unit_of(way))});
      asked_.push_back(i), shares_.push_back(share);
    }
    blocked_.resize(rays_.size());
    scene_.rays.blocked(rays_, blocked_);
    if (scene_.rays_seen) scene_.rays_seen(rays_);
    for (std::size_t k = 0; k < asked_.size(); ++k)
      if (!blocked_[k]) add_scaled(samples_[asked_[k]].light, samples_[asked_[k]].colour[l], shares_[k]);
  }

  /// Light from walls and card, and what other surfaces pass on: one ray a sample, as often as its cosine.
  void air() {
    rays_.clear();
    for (const Sample& s : samples_)
      rays_.push_back(
          {off(s), static_cast<Vec3>(around(s.flat, spread(s.index, mixed((std::uint64_t{s.pixel} << 3) + 7))))});
    cast();
    for (std::size_t i = 0; i < samples_.size(); ++i) {
      Sample& s = samples_[i];
      const LinearRgb& colour = s.colour[scene_.lights()];
      const LinearRgb& white = scene_.white.back();
      const Vec3d way = scene_.camera.into_frame(rays_[i].direction);
      LinearRgb from;
      if (!hits_[i].missed()) {
        from = second_sight(scene_, hits_[i]);
        for (std::size_t c = 0; c < 3; ++c) from[c] /= std::max(1e-6f, white[c]);
      } else {
        const double card = std::clamp(0.5 - way.z / 0.06, 0.0, 1.0);
        for (std::size_t c = 0; c < 3; ++c)
          from[c] = static_cast<float>((1 - card) * scene_.room.walls(way)) +
                    static_cast<float>(card) * scene_.card[c] / std::max(1e-6f, white[c]);
      }
      add_scaled(s.light, colour, from, s.open);
    }
  }

  /// The room in the clear coat: a sharp image as far as the face is smooth, the rest blurred by its slopes.
  void mirror() {
    rays_.clear(), asked_.clear();
    for (std::size_t i = 0; i < samples_.size(); ++i) {
      const Sample& s = samples_[i];
      const double cosine = dot(s.normal, s.to_camera);
      if (cosine <= 0 || (s.stuff < 0 && s.face < least_mirror)) continue;
      const Vec3d way = 2 * cosine * s.normal - s.to_camera;
      // A mirror image below the true surface is one of the surface itself.
      const double under = dot(way, s.flat);
      rays_.push_back({off(s), static_cast<Vec3>(unit_of(under > 0.01 ? way : way + (0.01 - under) * s.flat))});
      asked_.push_back(i);
    }
    cast();
    for (std::size_t k = 0; k < asked_.size(); ++k) {
      Sample& s = samples_[asked_[k]];
      const double cosine = dot(s.normal, s.to_camera);
      const bool hit = !hits_[k].missed();
      const LinearRgb other = hit ? second_sight(scene_, hits_[k]) : LinearRgb{};
      const Vec3d way = scene_.camera.into_frame(rays_[k].direction);
      if (s.stuff >= 0) {
        const FittingStuff& stuff = scene_.fittings->stuffs[static_cast<std::size_t>(s.stuff)];
        const LinearRgb seen = hit ? other : room_seen(scene_, s.room_place, way, stuff.blur);
        const double grazing = std::pow(1 - cosine, 5);
        LinearRgb mirror;
        for (std::size_t c = 0; c < 3; ++c)
          mirror[c] = static_cast<float>(stuff.mirror[c] + (1 - stuff.mirror[c]) * grazing);
        add_scaled(s.light, seen, mirror, 1);
        continue;
      }
      // Law: exp(-(4 pi sigma cos / lambda)^2) stays a mirror (bennett1961 eq. 5, at 550 nm); the rest is spread by
      // the face's slopes, sqrt(2) sigma / correlation length, twice as far as the face is tilted.
      const double phase = 4 * std::numbers::pi * s.roughness_m * cosine / 550e-9;
      const double sharp = std::exp(-phase * phase);
      const double spread = std::min(0.6, 2 * std::numbers::sqrt2 * s.roughness_m / texture_length_m) + lens_blur;
      // Each part goes towards what is in the way, or past it to the room.
      for (const auto& [share, blur] : {std::pair{sharp, lens_blur}, std::pair{1 - sharp, spread}}) {
        if (share < 0.01) continue;
        add_scaled(s.light, hit ? other : room_seen(scene_, s.room_place, way, blur), s.face * share);
      }
    }
  }

  static Vec3 off(const Sample& s) { return static_cast<Vec3>(s.place + off_surface_m * s.flat); }
  void cast() {
    hits_.resize(rays_.size());
    scene_.rays.cast(rays_, hits_);
    if (scene_.rays_seen) scene_.rays_seen(rays_);
  }

  const Scene& scene_;
  std::vector<Sample> samples_;
  std::size_t body_count_ = 0;
  std::vector<Ray> rays_;
  std::vector<Hit> hits_;
  std::vector<std::uint8_t> blocked_;
  std::vector<std::size_t> asked_;
  std::vector<double> shares_;
};

std::vector<LinearRgb> vertex_colours_under(const Film& film, const Looking& looking, Lamp lamp,
                                            const std::array<std::array<double, 3>, 3>& to_screen) {
  std::vector<LinearRgb> colours(film.size());
  for_blocks(film, looking, [&](std::size_t first, std::size_t count, const BlockSpectra& spectra) {
    const BlockXyz xyz = to_xyz(spectra, lamp, looking.observer);
    for (std::size_t i = 0; i < count; ++i) colours[first + i] = to_linear(to_screen, xyz.x[i], xyz.y[i], xyz.z[i]);
  });
  return colours;
}

}  // namespace

Canvas expose(const Film& film, const Looking& looking, Face face, const Room& room, StillSize size,
              const FittingMesh* fittings, const RaysSeen& rays_seen) {
  expects(size.width > 0 && size.height > 0 && size.samples > 0, "a still has a size");
  expects(film.size() == looking.body.size(), "a film lies on its own body");
  expects(looking.woods.size() * figure_shades <= 256, "a body has at most 16 woods");
  expects(room.lights.size() < most_lamps, "a room has at most three lights");
  // Spectra come with Y = 100 for the perfect diffuser, in whichever lamp they are seen.
  std::vector<std::array<std::array<double, 3>, 3>> to_screen(room.lights.size() + 1,
                                                              linear_srgb_from_xyz(room.adopted_white));
  std::vector<LinearRgb> white;
  for (std::size_t source = 0; source < to_screen.size(); ++source) {
    for (auto& row : to_screen[source])
      for (double& value : row) value /= 100;
    const Xyz card = white_point(source < room.lights.size() ? room.lights[source].lamp : room.air, looking.observer);
    white.push_back(to_linear(to_screen[source], card.x, card.y, card.z));
  }
  const Camera camera(looking.body, face, size);
  ColumnTable table(film);
  std::vector<FaceTable> faces;
  for (const CoatOptics& coat : table.optics(film, looking.palette)) faces.emplace_back(coat.refractive_index);
  auto figures = figures_of(looking);
  CoatSequence sequence(table.optics(film, looking.palette), figured_grounds(looking, figures));
  auto seen_again = vertex_colours_under(film, looking, room.air, to_screen.back());
  const bool dressed = fittings && !fittings->triangles.empty();
  Scene scene{film,
              looking,
              looking.body,
              room,
              dressed ? fittings : nullptr,
              rays_seen,
              camera,
              RayScene(looking.body, dressed ? std::span<const Vec3>(fittings->points) : std::span<const Vec3>(),
                       dressed ? std::span<const Triangle>(fittings->triangles) : std::span<const Triangle>()),
              Relief(film, looking.body, camera.pixel_m()),
              std::move(table),
              std::move(figures),
              std::move(sequence),
              std::move(faces),
              std::move(to_screen),
              std::move(white),
              std::move(seen_again)};
  for (std::size_t source = 0; source <= scene.lights(); ++source) {
    const double share = source < scene.lights() ? Room::light_on(room.lights[source], {0, 0, 0}, {0, 0, 1})
                                                 : room.sky + 2.0 / 3 * room.sky_lift * room.bright_side.z;
    add_scaled(scene.card, scene.white[source], room.card * share);
  }
  Canvas canvas(size);
  const int across = (size.width + tile_width - 1) / tile_width, down = (size.height + tile_height - 1) / tile_height;
  for_chunks(static_cast<std::size_t>(across) * static_cast<std::size_t>(down), 1, [&](std::size_t begin, std::size_t) {
    Tile(scene).render(size, static_cast<int>(begin) % across * tile_width,
                       static_cast<int>(begin) / across * tile_height, canvas);
  });
  lay_on_card(canvas, camera, room, scene.white, scene.rays, rays_seen);
  return canvas;
}

Image still(const Film& film, const Looking& looking, Face face, Light light, StillSize size,
            const FittingMesh* fittings) {
  Canvas canvas = expose(film, looking, face, room_of(light, looking.observer), size, fittings);
  return canvas.image();
}

}  // namespace witnessline
