// Stills: rays to the surface, columns inside the triangles, spectra, then light.
#include <algorithm>
#include <cmath>

#include "base/parallel.h"
#include "base/random.h"
#include "view/camera.h"
#include "view/canvas.h"
#include "view/columns.h"
#include "view/studio.h"

namespace witnessline {
namespace {

constexpr std::size_t rows_at_once = 8;
constexpr int grain_shades = 16;
constexpr double grain_contrast = 0.11;  // picture only, ESTIMATE: how much darker late wood is drawn
constexpr double crevice_m = 0.06;       // picture only: what stands nearer than this darkens a place

/// Evenly spread points (the R2 sequence: Roberts 2018), shifted by a key.
struct Spread {
  double u, v;
};
Spread spread(int index, std::uint64_t key) {
  const auto fraction = [](double x) { return x - std::floor(x); };
  return {fraction(0.5 + 0.7548776662466927 * index + static_cast<double>(key & 0xffff) / 65536.0),
          fraction(0.5 + 0.5698402909980532 * index + static_cast<double>((key >> 16) & 0xffff) / 65536.0)};
}

double smooth_noise(double x, double y) {
  const double x0 = std::floor(x), y0 = std::floor(y);
  const auto at = [&](int i, int j) {
    return uniform(Key{}
                       .with(static_cast<std::uint64_t>(static_cast<std::int64_t>(x0) + i + (1 << 20)))
                       .with(static_cast<std::uint64_t>(static_cast<std::int64_t>(y0) + j + (1 << 20))));
  };
  const auto ease = [](double t) { return t * t * (3 - 2 * t); };
  const double s = ease(x - x0), t = ease(y - y0);
  return (at(0, 0) * (1 - s) + at(1, 0) * s) * (1 - t) + (at(0, 1) * (1 - s) + at(1, 1) * s) * t;
}

/// Drawn wood grain: 0 early wood .. 1 late wood. Decoration: no reading sees it.
double grain_at(Vec3d place, Vec3d along, Vec3d normal) {
  // Across the fibres within the board: by the face it mostly looks out of, so that rings do not bend with the surface.
  const double ax = std::abs(normal.x), ay = std::abs(normal.y), az = std::abs(normal.z);
  const Vec3d face = az >= 0.6 ? Vec3d{0, 0, 1} : ax >= ay ? Vec3d{1, 0, 0} : Vec3d{0, 1, 0};
  const Vec3d side = unit_of(cross(face, along), {1, 0, 0});
  const double x = dot(place, side) * 1e3, y = dot(place, along) * 1e3;
  const double ring = x / 2.1 + 2.6 * smooth_noise(x / 31, y / 190) + 1.1 * smooth_noise(x / 9, y / 70);
  const double phase = ring - std::floor(ring);
  const double late = phase < 0.8 ? phase / 0.8 : (1 - phase) / 0.2;  // rings darken slowly and end sharply
  return 0.75 * late * late + 0.25 * smooth_noise(x / 0.22, y / 9);
}

/// Everything one still is made from.
struct Scene {
  const Body& body;
  Camera camera;
  ColumnTable table;
  CoatSequence sequence;
  std::array<std::array<double, 3>, 3> to_screen;
  Lamp lamp;
  Observer observer;
};

std::vector<Reflectance> grained_grounds(const Looking& looking) {
  std::vector<Reflectance> grounds;
  for (const auto& wood : looking.woods)
    for (int shade = 0; shade < grain_shades; ++shade) {
      Reflectance r = looking.palette.bare(wood->id);
      const double late = (shade + 0.5) / grain_shades - 0.36;  // 0.36: mean of the drawn grain, so the mean stays
      for (int b = 0; b < bands; ++b) r[b] *= 1 - grain_contrast * late * (1.25 - 0.5 * b / (bands - 1.0));
      grounds.push_back(r);
    }
  return grounds;
}

/// A place seen through one sample of a pixel.
struct Sample {
  std::uint32_t pixel;
  SurfacePoint at;
  float distance_m;
  Glint glint;
  Vec3d place;
};

void shade_block(const Scene& scene, std::span<const Sample> samples, Canvas& canvas) {
  ColumnBlock columns(scene.table.layers().size());
  const auto triangles = scene.body.triangles();
  std::array<double, block> wetted{};
  for (std::size_t i = 0; i < block; ++i) {
    const Sample& s = samples[std::min(i, samples.size() - 1)];
    const Triangle& t = triangles[s.at.triangle];
    const float w = 1 - s.at.u - s.at.v;
    const std::uint32_t corner = w >= s.at.u && w >= s.at.v ? t[0] : s.at.u >= s.at.v ? t[1] : t[2];
    scene.table.load(columns, i, t, s.at.u, s.at.v);
    double film_m = 0;
    for (const Lane& lane : columns.thickness_m) film_m += std::max(0.0f, lane[i]);
    wetted[i] = wetting_out(film_m);
    const double grain =
        i < samples.size() ? grain_at(s.place, unit_of(scene.body.grain()[corner], {0, 1, 0}), s.glint.normal) : 0;
    columns.ground_of[i] =
        static_cast<std::uint8_t>(scene.body.wood_of()[corner] * grain_shades +
                                  std::clamp(static_cast<int>(grain * grain_shades), 0, grain_shades - 1));
  }
  BlockSpectra spectra;
  reflectance(scene.sequence, columns, spectra);
  const BlockXyz xyz = to_xyz(spectra, scene.lamp, scene.observer);
  for (std::size_t i = 0; i < samples.size(); ++i) {
    Glint glint = samples[i].glint;
    glint.normal = scene.camera.into_frame(glint.normal);
    glint.to_camera = scene.camera.into_frame(glint.to_camera);
    glint.roughness_m = columns.roughness_m[i];
    glint.wetted = wetted[i];
    const double light = illumination(glint), mirror = mirror_image(glint);
    std::array<float, 3> rgb;
    for (std::size_t c = 0; c < 3; ++c) {
      const auto& row = scene.to_screen[c];
      const double colour = row[0] * xyz.x[i] + row[1] * xyz.y[i] + row[2] * xyz.z[i];
      rgb[c] = static_cast<float>(shoulder(std::max(0.0, colour) * light + mirror));
    }
    canvas.add(samples[i].pixel, rgb, samples[i].distance_m);
  }
}

/// What stands between each sample and the window, and around it: one ray each, spread over the samples of a pixel.
void find_shadows(const Scene& scene, std::vector<Sample>& samples, std::span<const int> index) {
  std::vector<Ray> rays;
  rays.reserve(2 * samples.size());
  for (std::size_t i = 0; i < samples.size(); ++i) {
    const Sample& s = samples[i];
    const Vec3d from = s.place + 2e-4 * s.glint.normal;
    const std::uint64_t key = mixed(s.pixel);
    const Spread a = spread(index[i], key), b = spread(index[i], key >> 32);
    const Vec3d to_window = scene.camera.from_frame(window_direction(a.u, a.v));
    const Vec3d x = across(s.glint.normal), y = cross(s.glint.normal, x);
    const double turn = 6.283185307179586 * b.u, out = std::sqrt(b.v);
    const Vec3d around = out * std::cos(turn) * x + out * std::sin(turn) * y + std::sqrt(1 - b.v) * s.glint.normal;
    rays.push_back({static_cast<Vec3>(from), static_cast<Vec3>(unit_of(to_window))});
    rays.push_back({static_cast<Vec3>(from), static_cast<Vec3>(unit_of(around))});
  }
  const std::vector<Hit> hits = scene.body.cast(rays);
  for (std::size_t i = 0; i < samples.size(); ++i) {
    samples[i].glint.window_seen = hits[2 * i].missed() ? 1 : 0;
    samples[i].glint.open_around = hits[2 * i + 1].missed() || hits[2 * i + 1].distance > crevice_m ? 1 : 0;
  }
}

void render_rows(const Scene& scene, const StillSize& size, std::size_t first_row, std::size_t end_row,
                 Canvas& canvas) {
  const auto width = static_cast<std::size_t>(size.width);
  std::vector<Ray> rays;
  rays.reserve((end_row - first_row) * width * static_cast<std::size_t>(size.samples));
  for (std::size_t y = first_row; y < end_row; ++y)
    for (std::size_t x = 0; x < width; ++x)
      for (int s = 0; s < size.samples; ++s) {
        const Spread in = spread(s, 0);
        rays.push_back(scene.camera.ray(static_cast<double>(x) + in.u, static_cast<double>(y) + in.v));
      }
  const std::vector<Hit> hits = scene.body.cast(rays);
  const auto normals = scene.body.normals();
  const auto triangles = scene.body.triangles();
  std::vector<Sample> samples;
  std::vector<int> index;
  for (std::size_t i = 0; i < hits.size(); ++i) {
    if (hits[i].missed()) continue;
    const auto pixel = first_row * width + i / static_cast<std::size_t>(size.samples);
    const Triangle& t = triangles[hits[i].at.triangle];
    const double u = hits[i].at.u, v = hits[i].at.v;
    Sample sample{static_cast<std::uint32_t>(pixel), hits[i].at, hits[i].distance, {}, scene.body.position(hits[i].at)};
    sample.glint.to_camera = -1.0 * Vec3d(rays[i].direction);
    sample.glint.normal =
        unit_of((1 - u - v) * Vec3d(normals[t[0]]) + u * Vec3d(normals[t[1]]) + v * Vec3d(normals[t[2]]),
                sample.glint.to_camera);
    samples.push_back(sample);
    index.push_back(static_cast<int>(i % static_cast<std::size_t>(size.samples)));
  }
  find_shadows(scene, samples, index);
  for (std::size_t first = 0; first < samples.size(); first += block)
    shade_block(scene, std::span(samples).subspan(first, std::min<std::size_t>(block, samples.size() - first)), canvas);
}

}  // namespace

Image still(const Film& film, const Looking& looking, Face face, StillSize size) {
  expects(size.width > 0 && size.height > 0 && size.samples > 0, "a still has a size");
  expects(film.size() == looking.body.size(), "a film lies on its own body");
  expects(looking.woods.size() * grain_shades <= 256, "a body has at most 16 woods");
  ColumnTable table(film);
  CoatSequence sequence(table.optics(film, looking.palette), grained_grounds(looking));
  auto to_screen = linear_srgb_from_xyz(white_point(looking.lamp, looking.observer));
  // Spectra come with Y = 100 for the perfect diffuser.
  const Xyz white = white_point(looking.lamp, looking.observer);
  const double full = to_screen[1][0] * white.x + to_screen[1][1] * white.y + to_screen[1][2] * white.z;
  for (auto& row : to_screen)
    for (double& value : row) value /= full;
  const Scene scene{
      looking.body,    Camera(looking.body, face, size), std::move(table), std::move(sequence), to_screen, looking.lamp,
      looking.observer};
  Canvas canvas(size);
  for_chunks(static_cast<std::size_t>(size.height), rows_at_once,
             [&](std::size_t begin, std::size_t end) { render_rows(scene, size, begin, end, canvas); });
  canvas.lay_on_backdrop();
  canvas.draw_marks(film, looking.body, scene.camera);
  return canvas.image();
}

}  // namespace witnessline
