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
constexpr std::size_t most_together = 8;
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

/// A small place of one pixel, seen through some of its samples: rays go out for every sample, colours and light
/// are worked out once.
struct Spot {
  std::uint32_t pixel = 0;
  std::uint32_t first = 0;  ///< of its samples
  int count = 1;
  SurfacePoint at;
  int stuff = -1;                              ///< of a fitting; -1: the body
  Vec3d place, flat, normal, to_camera;        ///< body's frame; `flat` without film and marks
  std::array<LinearRgb, most_lamps> colour{};  ///< what it scatters of each light, of the air last
  LinearRgb light{};
  double roughness_m = 0, open = 1;
  double face = 0;       ///< what the air face reflects
  bool is_fine = false;  ///< a ring or a mark runs through: every sample for itself
};

/// Where one sample met the surface.
struct Sample {
  Vec3d place;
  SurfacePoint at;
  std::uint8_t index;  ///< in its pixel
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
  std::vector<LinearRgb> body_again, fittings_again = {};       ///< vertices, as other places see them
  std::vector<AreaLight> lights_m = {};                         ///< the room's, in the body's frame [m]
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
void colour_block(const Scene& scene, std::span<Spot* const> spots, const std::vector<Sample>& samples) {
  ColumnBlock columns(scene.table.layers().size());
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
    columns.grime_kg_m2[i] += mark.grime_kg_m2;
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
    const BlockXyz xyz = to_xyz(spectra, scene.lamp(source), scene.looking.observer);
    for (std::size_t i = 0; i < spots.size(); ++i)
      spots[i]->colour[source] = to_linear(scene.to_screen[source], xyz.x[i], xyz.y[i], xyz.z[i]);
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

/// Colours of vertices as other places see them: under light that nothing shadows, somewhat dimmed.
void light_again(const Scene& scene, std::span<const Vec3> normals, std::vector<LinearRgb>& colours) {
  const Room& room = scene.room;
  // One light by direction: 3 x 3 x 3 would do; six faces of a cube, squared, come close enough.
  std::array<double, 6> faces{};
  for (std::size_t f = 0; f < 6; ++f) {
    const double sign = f % 2 ? -1 : 1;
    const Vec3d n{f / 2 == 0 ? sign : 0, f / 2 == 1 ? sign : 0, f / 2 == 2 ? sign : 0};
    faces[f] = room.walls_on(n);
    for (const AreaLight& one : room.lights) faces[f] += Room::light_on(one, {0, 0, 0}, n);
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

/// What is seen where a second ray ends.
LinearRgb second_sight(const Scene& scene, const Hit& hit) {
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
    colour();
    for (std::size_t l = 0; l < scene_.lights(); ++l) light(l);
    air();
    mirror();
    for (const Spot& s : spots_) {
      LinearRgb shown = s.light;
      for (float& c : shown) c *= static_cast<float>(scene_.room.exposure);
      canvas.add(s.pixel, shown, s.count);
    }
  }

 private:
  /// First hits of the tile; the body's spots come first.
  void see(const StillSize& size, int left, int top) {
    rays_.clear(), samples_.clear(), spots_.clear();
    const int right = std::min(left + tile_width, size.width), bottom = std::min(top + tile_height, size.height);
    std::vector<std::uint32_t> pixels;
    for (int y = top; y < bottom; ++y)
      for (int x = left; x < right; ++x) {
        pixels.push_back(static_cast<std::uint32_t>(y * size.width + x));
        for (int s = 0; s < size.samples; ++s) {
          const Spread in = spread(s);
          rays_.push_back(scene_.camera.ray(x + in.u, y + in.v));
        }
      }
    cast();
    if (std::all_of(hits_.begin(), hits_.end(), [](const Hit& hit) { return hit.missed(); })) return;
    const auto a_pixel = static_cast<std::size_t>(size.samples);
    const std::size_t together =
        std::clamp<std::size_t>(a_pixel / 2, 1, most_together);  // at least two colours a pixel
    for (const bool of_body : {true, false}) {
      if (!of_body && !scene_.fittings) break;
      for (std::size_t p = 0; p < pixels.size(); ++p)
        for (std::size_t s = 0; s < a_pixel; s += together) {
          const std::size_t first = p * a_pixel + s, count = std::min(together, a_pixel - s);
          see_spot(pixels[p], first, count, static_cast<std::uint8_t>(s), of_body);
        }
      if (of_body) body_count_ = spots_.size();
    }
  }

  /// One spot for samples that see one piece of one surface, else one for each.
  void see_spot(std::uint32_t pixel, std::size_t first, std::size_t count, std::uint8_t index, bool of_body) {
    const std::size_t own = scene_.body.triangles().size();
    const auto is_wanted = [&](const Hit& hit) { return !hit.missed() && (hit.at.triangle < own) == of_body; };
    const auto hit_of = [&](std::size_t i) -> const Hit& { return hits_[first + i]; };
    float nearest = 1e9f, farthest = 0;
    bool all = true;
    for (std::size_t i = 0; i < count; ++i) {
      all = all && is_wanted(hit_of(i)) &&
            (of_body || scene_.fittings->stuff_of[hit_of(i).at.triangle - own] ==
                            scene_.fittings->stuff_of[hit_of(0).at.triangle - own]);
      nearest = std::min(nearest, hit_of(i).distance), farthest = std::max(farthest, hit_of(i).distance);
    }
    const bool together = all && farthest - nearest < 3 * scene_.camera.pixel_m() && of_body;
    for (std::size_t i = 0; i < count; ++i) {
      const Hit& hit = hit_of(i);
      if (!is_wanted(hit)) continue;
      const Ray& ray = rays_[first + i];
      const Vec3d place = Vec3d(ray.origin) + double{hit.distance} * Vec3d(ray.direction);
      if (!together || i == 0) {
        Spot spot;
        spot.pixel = pixel;
        spot.first = static_cast<std::uint32_t>(samples_.size());
        spot.count = together ? static_cast<int>(count) : 1;
        spot.to_camera = -1.0 * Vec3d(ray.direction);
        place_spot(spot, {place, hit.at, 0});
        if (!of_body) dress(spot, own);
        spots_.push_back(spot);
      }
      samples_.push_back({place, hit.at, static_cast<std::uint8_t>(index + i)});
    }
  }
  void place_spot(Spot& spot, const Sample& sample) const {
    spot.at = sample.at;
    spot.place = sample.place;
    spot.flat = spot.normal = normal_at(scene_, sample.at);
  }

  void dress(Spot& s, std::size_t own) {
    s.stuff = scene_.fittings->stuff_of[s.at.triangle - own];
    const FittingStuff& stuff = scene_.fittings->stuffs[static_cast<std::size_t>(s.stuff)];
    for (std::size_t source = 0; source <= scene_.lights(); ++source)
      for (std::size_t c = 0; c < 3; ++c)
        s.colour[source][c] = static_cast<float>(stuff.body[c]) * scene_.white[source][c];
  }

  void colour() {
    std::vector<Spot*> wanted;
    for (std::size_t i = 0; i < body_count_; ++i) wanted.push_back(&spots_[i]);
    colour_all(wanted);
    // Where a ring or a mark runs through, every sample gets a spot of its own.
    std::vector<Spot> finer;
    for (std::size_t i = 0; i < body_count_; ++i) {
      Spot& spot = spots_[i];
      if (!spot.is_fine || spot.count == 1) continue;
      for (int k = 1; k < spot.count; ++k) {
        Spot one = spot;
        one.first = spot.first + static_cast<std::uint32_t>(k), one.count = 1;
        place_spot(one, samples_[one.first]);
        finer.push_back(one);
      }
      spot.count = 1;
    }
    wanted.clear();
    for (Spot& spot : finer) wanted.push_back(&spot);
    colour_all(wanted);
    spots_.insert(spots_.end(), finer.begin(), finer.end());
  }
  void colour_all(const std::vector<Spot*>& wanted) {
    for (std::size_t first = 0; first < wanted.size(); first += block)
      colour_block(scene_, std::span(wanted).subspan(first, std::min<std::size_t>(block, wanted.size() - first)),
                   samples_);
  }

  void light(std::size_t l) {
    const AreaLight &light = scene_.room.lights[l], &light_m = scene_.lights_m[l];
    rays_.clear(), asked_.clear(), shares_.clear();
    for (std::size_t i = 0; i < spots_.size(); ++i) {
      const Spot& s = spots_[i];
      const double share =
          s.open * Room::light_on(light, scene_.into_room(s.place), scene_.camera.into_frame(s.normal));
      if (share < 1e-4) continue;
      const Spread shift = shift_of(s.pixel, 2 * static_cast<int>(l));
      for (int k = 0; k < s.count; ++k) {
        const Sample& sample = samples_[s.first + static_cast<std::uint32_t>(k)];
        const Spread at = spread(sample.index, shift);
        const Vec3d way = light_m.place(at.u, at.v) - sample.place;
        if (dot(way, s.flat) <= 0) continue;
        rays_.push_back({off(sample.place, s.flat), static_cast<Vec3>((1 / length(way)) * way)});
        asked_.push_back(i), shares_.push_back(share / s.count);
      }
    }
    blocked_.resize(rays_.size());
    scene_.rays.blocked(rays_, blocked_);
    if (scene_.rays_seen) scene_.rays_seen(rays_, true);
    for (std::size_t k = 0; k < asked_.size(); ++k)
      if (!blocked_[k]) add_scaled(spots_[asked_[k]].light, spots_[asked_[k]].colour[l], shares_[k]);
  }

  /// Light from walls and card, and what other surfaces pass on: one ray a sample, as often as its cosine.
  void air() {
    rays_.clear();
    for (const Spot& s : spots_) {
      const Spread shift = shift_of(s.pixel, 1);
      const Vec3d x = across(s.flat), y = cross(s.flat, x);
      // One fixed set of directions, turned about the normal from pixel to pixel.
      const double turn = 2 * std::numbers::pi * shift.u, c = std::cos(turn), sn = std::sin(turn);
      const Vec3d x_turned = c * x + sn * y, y_turned = c * y - sn * x;
      for (int k = 0; k < s.count; ++k) {
        const Sample& sample = samples_[s.first + static_cast<std::uint32_t>(k)];
        const Vec3d& d = directions_[sample.index % directions_.size()];
        rays_.push_back({off(sample.place, s.flat), static_cast<Vec3>(d.x * x_turned + d.y * y_turned + d.z * s.flat)});
      }
    }
    cast();
    const LinearRgb& white = scene_.white.back();
    std::size_t ray = 0;
    for (Spot& s : spots_) {
      LinearRgb from{};
      for (int k = 0; k < s.count; ++k, ++ray) {
        if (!hits_[ray].missed()) {
          add_scaled(from, second_sight(scene_, hits_[ray]), 1);
          continue;
        }
        const Vec3d way = scene_.camera.into_frame(rays_[ray].direction);
        const double card = std::clamp(0.5 - way.z / 0.06, 0.0, 1.0);
        if (card < 1) add_scaled(from, white, (1 - card) * scene_.room.walls(way));
        if (card > 0) add_scaled(from, scene_.card, card);
      }
      for (std::size_t c = 0; c < 3; ++c) from[c] /= std::max(1e-6f, white[c]);
      add_scaled(s.light, s.colour[scene_.lights()], from, s.open / s.count);
    }
  }

  /// The room in the clear coat: a sharp image as far as the face is smooth, the rest blurred by its slopes.
  void mirror() {
    rays_.clear(), asked_.clear();
    for (std::size_t i = 0; i < spots_.size(); ++i) {
      const Spot& s = spots_[i];
      const double cosine = dot(s.normal, s.to_camera);
      if (cosine <= 0 || (s.stuff < 0 && s.face < least_mirror)) continue;
      Vec3d way = 2 * cosine * s.normal - s.to_camera;
      // A mirror image from below the true surface is one of the surface itself.
      const double under = dot(way, s.flat);
      if (under < 0.01) way = unit_of(way + (0.01 - under) * s.flat);
      asked_.push_back(i);
      for (int k = 0; k < s.count; ++k)
        rays_.push_back({off(samples_[s.first + static_cast<std::uint32_t>(k)].place, s.flat), static_cast<Vec3>(way)});
    }
    cast();
    std::size_t ray = 0;
    for (const std::size_t i : asked_) {
      Spot& s = spots_[i];
      const double cosine = dot(s.normal, s.to_camera);
      const Vec3d way = scene_.camera.into_frame(rays_[ray].direction), from = scene_.into_room(s.place);
      LinearRgb other{};
      int open = 0;
      for (int k = 0; k < s.count; ++k, ++ray) {
        if (hits_[ray].missed())
          ++open;
        else
          add_scaled(other, second_sight(scene_, hits_[ray]), 1.0 / s.count);
      }
      const auto seen = [&](double blur) {
        LinearRgb all = other;
        if (open > 0) add_scaled(all, room_seen(scene_, from, way, blur), static_cast<double>(open) / s.count);
        return all;
      };
      if (s.stuff >= 0) {
        const FittingStuff& stuff = scene_.fittings->stuffs[static_cast<std::size_t>(s.stuff)];
        const double grazing = std::pow(1 - cosine, 5);
        LinearRgb mirror;
        for (std::size_t c = 0; c < 3; ++c)
          mirror[c] = static_cast<float>(stuff.mirror[c] * (1 - grazing) + grazing * (stuff.mirror[c] > 0 ? 1 : 0));
        add_scaled(s.light, seen(stuff.blur), mirror, 1);
        continue;
      }
      // Law: exp(-(4 pi sigma cos / lambda)^2) stays a mirror (bennett1961 eq. 5, at 550 nm); the rest is spread by
      // the face's slopes, sqrt(2) sigma / correlation length, twice as far as the face is tilted.
      const double phase = 4 * std::numbers::pi * s.roughness_m * cosine / 550e-9;
      const double sharp = std::exp(-phase * phase);
      const double wide = std::min(0.6, 2 * std::numbers::sqrt2 * s.roughness_m / texture_length_m) + lens_blur;
      if (sharp > 0.01) add_scaled(s.light, seen(lens_blur), s.face * (sharp > 0.99 ? 1 : sharp));
      if (sharp <= 0.99) add_scaled(s.light, seen(wide), s.face * (sharp > 0.01 ? 1 - sharp : 1));
    }
  }

  static Vec3 off(Vec3d place, Vec3d flat) { return static_cast<Vec3>(place + off_surface_m * flat); }
  void cast() {
    hits_.resize(rays_.size());
    scene_.rays.cast(rays_, hits_);
    if (scene_.rays_seen) scene_.rays_seen(rays_, false);
  }
  static std::array<Vec3d, 64> spread_directions() {
    std::array<Vec3d, 64> all;
    for (std::size_t i = 0; i < all.size(); ++i) all[i] = about_z(spread(static_cast<int>(i), {0.5, 0.5}));
    return all;
  }

  const Scene& scene_;
  std::vector<Sample> samples_;
  std::vector<Spot> spots_;
  std::size_t body_count_ = 0;
  std::vector<Ray> rays_;
  std::vector<Hit> hits_;
  std::vector<std::uint8_t> blocked_;
  std::vector<std::size_t> asked_;
  std::vector<double> shares_;
  const std::array<Vec3d, 64> directions_ = spread_directions();
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
  const auto& to_y = to_screen.front()[1];
  const double full = to_y[0] * room.adopted_white.x + to_y[1] * room.adopted_white.y + to_y[2] * room.adopted_white.z;
  for (auto& matrix : to_screen)
    for (auto& row : matrix)
      for (double& value : row) value /= full;
  for (std::size_t source = 0; source < to_screen.size(); ++source) {
    const Xyz card = white_point(source < room.lights.size() ? room.lights[source].lamp : room.air, looking.observer);
    white.push_back(to_linear(to_screen[source], card.x, card.y, card.z));
  }
  const Camera camera(looking.body, face, size);
  ColumnTable table(film);
  std::vector<FaceTable> faces;
  for (const CoatOptics& coat : table.optics(film, looking.palette)) faces.emplace_back(coat.refractive_index);
  auto figures = figures_of(looking);
  CoatSequence sequence(table.optics(film, looking.palette), figured_grounds(looking, figures));
  auto body_again = vertex_colours_under(film, looking, room.air, to_screen.back());
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
              std::move(body_again)};
  light_again(scene, looking.body.normals(), scene.body_again);
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
  for (AreaLight light : room.lights) {
    light.centre = camera.middle() + camera.size_m() * camera.from_frame(light.centre);
    light.half_across = camera.size_m() * camera.from_frame(light.half_across);
    light.half_up = camera.size_m() * camera.from_frame(light.half_up);
    scene.lights_m.push_back(light);
  }
  for (std::size_t source = 0; source <= scene.lights(); ++source) {
    const double share =
        source < scene.lights() ? Room::light_on(room.lights[source], {0, 0, 0}, {0, 0, 1}) : room.walls_on({0, 0, 1});
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
