// Stills: rays to the surface, spots of what they meet, then light, shadow and mirror.
#include "view/still.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "base/parallel.h"
#include "view/card.h"
#include "view/still_scene.h"

namespace witnessline::view {
namespace {

constexpr int tile_width = 32, tile_height = 8;
constexpr std::size_t most_together = 8;
constexpr double lens_blur = 0.006;        // the room is out of focus when the instrument is in it [rad]
constexpr double texture_length_m = 8e-6;  // ESTIMATE: correlation length of a handled or rubbed face
constexpr double off_surface_m = 2e-4;     // rays start a little off the face
constexpr double least_mirror = 2e-3;      // fainter mirror images are not traced

class Tile {
 public:
  explicit Tile(const StillScene& scene) : scene_(scene) {}

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
    std::vector<Spread> in(static_cast<std::size_t>(size.samples));
    for (std::size_t i = 0; i < in.size(); ++i) in[i] = spread(static_cast<int>(i));
    for (int y = top; y < bottom; ++y)
      for (int x = left; x < right; ++x) {
        pixels.push_back(static_cast<std::uint32_t>(y * size.width + x));
        for (const Spread& at : in) rays_.push_back(scene_.camera.ray(x + at.u, y + at.v));
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
      samples_.push_back({place, hit.at, static_cast<std::uint8_t>(index + i), off(place, spots_.back().flat)});
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
        Sample& sample = samples_[one.first];
        place_spot(one, sample);
        sample.start = off(sample.place, one.flat);
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
    const AreaLight& light = scene_.room.lights[l];
    const LightPoints& points = scene_.light_points[l];
    const std::size_t a_set = points.size() / light_shifts;
    rays_.clear(), asked_.clear(), shares_.clear();
    for (std::size_t i = 0; i < spots_.size(); ++i) {
      const Spot& s = spots_[i];
      const double share =
          s.open * Studio::falling_on(light, scene_.into_room(s.place), scene_.camera.into_frame(s.normal));
      if (share < 1e-4) continue;
      const Vec3* const lit_from = &points[(mixed((std::uint64_t{s.pixel} << 4) + l) % light_shifts) * a_set];
      const auto flat = static_cast<Vec3>(s.flat);
      for (int k = 0; k < s.count; ++k) {
        const Sample& sample = samples_[s.first + static_cast<std::uint32_t>(k)];
        const Vec3 &to = lit_from[sample.index], &from = sample.start;
        const Vec3 way{to.x - from.x, to.y - from.y, to.z - from.z};
        if (way.x * flat.x + way.y * flat.y + way.z * flat.z <= 0) continue;
        rays_.push_back({from, way});
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
        rays_.push_back({sample.start, static_cast<Vec3>(d.x * x_turned + d.y * y_turned + d.z * s.flat)});
      }
    }
    cast();
    const LinearRgb& white = scene_.white.back();
    std::size_t ray = 0;
    for (Spot& s : spots_) {
      LinearRgb from{};
      double walls = 0, cards = 0;
      for (int k = 0; k < s.count; ++k, ++ray) {
        if (!hits_[ray].missed()) {
          add_scaled(from, second_sight(scene_, hits_[ray]), 1);
          continue;
        }
        const Vec3d way = scene_.camera.into_frame(rays_[ray].direction);
        const double card = std::clamp(0.5 - way.z / 0.06, 0.0, 1.0);
        if (card < 1) walls += (1 - card) * scene_.room.walls(way);
        cards += card;
      }
      add_scaled(from, white, walls);
      add_scaled(from, scene_.card, cards);
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
        rays_.push_back({samples_[s.first + static_cast<std::uint32_t>(k)].start, static_cast<Vec3>(way)});
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
        const double slant = 1 - cosine, grazing = slant * slant * slant * slant * slant;
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

  const StillScene& scene_;
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

}  // namespace

Canvas expose(const Film& film, const ViewContext& view_context, Face face, const Studio& room, StillSize size,
              const FittingMesh* fittings, const RaysSeen& rays_seen) {
  const StillScene scene = still_scene(film, view_context, face, room, size, fittings, rays_seen);
  Canvas canvas(size);
  const int across = (size.width + tile_width - 1) / tile_width, down = (size.height + tile_height - 1) / tile_height;
  for_chunks(static_cast<std::size_t>(across) * static_cast<std::size_t>(down), 1, [&](std::size_t begin, std::size_t) {
    Tile(scene).render(size, static_cast<int>(begin) % across * tile_width,
                       static_cast<int>(begin) / across * tile_height, canvas);
  });
  lay_on_card(canvas, scene.camera, room, scene.white, scene.rays, rays_seen);
  return canvas;
}

Image still(const Film& film, const ViewContext& view_context, Face face, Light light, StillSize size,
            const FittingMesh* fittings) {
  Canvas canvas = expose(film, view_context, face, studio_of(light, view_context.observer), size, fittings);
  return canvas.image();
}

}  // namespace witnessline::view
