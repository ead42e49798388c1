#include "view/card.h"

#include <cmath>
#include <numbers>

#include "base/parallel.h"

namespace witnessline::view {
namespace {

constexpr int mesh_px = 4, rays_a_light = 24;
constexpr double bounce = 0.3;  // what the instrument throws back onto the card, of what falls on it (ESTIMATE)

}  // namespace

Vec3d about_z(Spread at) {
  const double turn = 2 * std::numbers::pi * at.u, out = std::sqrt(at.v);
  return {out * std::cos(turn), out * std::sin(turn), std::sqrt(1 - at.v)};
}

void lay_on_card(Canvas& canvas, const Camera& camera, const Studio& room, const std::vector<LinearRgb>& white_of,
                 const RayScene& scene, const RaysSeen& rays_seen) {
  const int width = canvas.size().width, height = canvas.size().height;
  const int across = (width + mesh_px - 1) / mesh_px + 1, up = (height + mesh_px - 1) / mesh_px + 1;
  const auto index_of = [&](int i, int j) { return static_cast<std::size_t>(j * across + i); };
  // Knots from which no open pixel can be seen are passed over.
  std::vector<char> wanted(static_cast<std::size_t>(across * up));
  for (int y = 0; y < height; ++y)
    for (int x = 0; x < width; ++x)
      if (canvas.covered(static_cast<std::size_t>(y * width + x)) < 0.9999)
        for (int j = y / mesh_px - 2; j <= y / mesh_px + 3; ++j)
          for (int i = x / mesh_px - 2; i <= x / mesh_px + 3; ++i)
            if (i >= 0 && j >= 0 && i < across && j < up) wanted[index_of(i, j)] = 1;

  const double size_m = camera.size_m(), card_z = camera.lowest_m() / size_m - room.behind_m_frac;
  const std::size_t lights = room.lights.size();
  std::vector<LinearRgb> knots(wanted.size());
  for_chunks(static_cast<std::size_t>(up), 2, [&](std::size_t first_row, std::size_t end_row) {
    std::vector<Ray> rays;
    std::vector<std::uint8_t> blocked;
    const auto cast = [&] {
      blocked.resize(rays.size());
      scene.blocked(rays, blocked);
      if (rays_seen) rays_seen(rays, true);
    };
    for (auto j = static_cast<int>(first_row); j < static_cast<int>(end_row); ++j) {
      std::vector<int> row;
      for (int i = 0; i < across; ++i)
        if (wanted[index_of(i, j)]) row.push_back(i);
      std::vector<Vec3d> places(row.size());  // in the room
      for (std::size_t k = 0; k < row.size(); ++k) {
        const Ray ray = camera.ray(row[k] * mesh_px, j * mesh_px);
        const Vec3d eye = (1 / size_m) * camera.into_frame(Vec3d(ray.origin) - camera.middle()),
                    way = camera.into_frame(ray.direction);
        places[k] = eye + ((card_z - eye.z) / way.z) * way;
        knots[index_of(row[k], j)] = {};
      }
      const auto place_of = [&](Vec3d at) {
        return static_cast<Vec3>(camera.middle() + camera.from_frame(size_m * at));
      };
      // Sixteen shifts take turns over the net; the smoothing below adds each of them up alike.
      const auto shift = [&](std::size_t k, std::size_t what) {
        const int turn = (row[k] & 3) + 4 * (j & 3);
        return spread(rays_a_light * turn, shift_of(0, static_cast<int>(what)));
      };
      const auto add = [&](std::size_t k, std::size_t source, double light) {
        for (std::size_t c = 0; c < 3; ++c)
          knots[index_of(row[k], j)][c] += static_cast<float>(room.card * light) * white_of[source][c];
      };
      for (std::size_t l = 0; l < lights; ++l) {
        const AreaLight& light = room.lights[l];
        rays.clear();
        for (std::size_t k = 0; k < row.size(); ++k)
          for (int r = 0; r < rays_a_light; ++r) {
            const Spread in = spread(r, shift(k, l));
            const Vec3d way = light.place(in.u, in.v) - places[k];
            rays.push_back({place_of(places[k]), static_cast<Vec3>(unit_of(camera.from_frame(way)))});
          }
        cast();
        for (std::size_t k = 0; k < row.size(); ++k) {
          int open = 0;
          for (int r = 0; r < rays_a_light; ++r) open += !blocked[k * rays_a_light + static_cast<std::size_t>(r)];
          add(k, l, Studio::falling_on(light, places[k], {0, 0, 1}) * open / rays_a_light);
        }
      }
      rays.clear();
      std::vector<double> walls;
      for (std::size_t k = 0; k < row.size(); ++k)
        for (int r = 0; r < rays_a_light; ++r) {
          const Vec3d way = about_z(spread(r, shift(k, lights)));
          walls.push_back(room.walls(way));
          rays.push_back({place_of(places[k]), static_cast<Vec3>(camera.from_frame(way))});
        }
      cast();
      for (std::size_t k = 0; k < row.size(); ++k) {
        double sum = 0;
        for (std::size_t r = 0; r < rays_a_light; ++r) {
          const std::size_t i = k * rays_a_light + r;
          sum += walls[i] * (blocked[i] ? bounce : 1);
        }
        add(k, lights, sum / rays_a_light);
      }
    }
  });
  // Every shift counts the same in five by five knots whose ends count half.
  std::vector<LinearRgb> smooth(knots.size());
  for (int j = 0; j < up; ++j)
    for (int i = 0; i < across; ++i) {
      float weight = 0;
      LinearRgb sum{};
      for (int b = -2; b <= 2; ++b)
        for (int a = -2; a <= 2; ++a) {
          const int x = i + a, y = j + b;
          if (x < 0 || y < 0 || x >= across || y >= up || !wanted[index_of(x, y)]) continue;
          const float w = (std::abs(a) == 2 ? 0.5f : 1.0f) * (std::abs(b) == 2 ? 0.5f : 1.0f);
          weight += w;
          for (std::size_t c = 0; c < 3; ++c) sum[c] += w * knots[index_of(x, y)][c];
        }
      for (std::size_t c = 0; c < 3; ++c) smooth[index_of(i, j)][c] = weight > 0 ? sum[c] / weight : 0;
    }
  for (int y = 0; y < height; ++y)
    for (int x = 0; x < width; ++x) {
      const auto pixel = static_cast<std::size_t>(y * width + x);
      if (canvas.covered(pixel) >= 0.9999) continue;
      const int i = x / mesh_px, j = y / mesh_px;
      const float s = (static_cast<float>(x - i * mesh_px) + 0.5f) / mesh_px,
                  t = (static_cast<float>(y - j * mesh_px) + 0.5f) / mesh_px;
      LinearRgb behind;
      for (std::size_t c = 0; c < 3; ++c)
        behind[c] = (smooth[index_of(i, j)][c] * (1 - s) + smooth[index_of(i + 1, j)][c] * s) * (1 - t) +
                    (smooth[index_of(i, j + 1)][c] * (1 - s) + smooth[index_of(i + 1, j + 1)][c] * s) * t;
      canvas.fill(pixel, behind);
    }
}

}  // namespace witnessline::view
