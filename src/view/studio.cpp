#include "view/studio.h"

#include <algorithm>
#include <cmath>

#include "optics/face.h"

namespace witnessline {
namespace {

constexpr double degree = 0.017453292519943295;
constexpr double face_index = 1.5;  // of the mirror image only; the colours use each coat's own

// The window: azimuth and elevation of its middle and half its size, as seen from the instrument [degrees].
constexpr double window_azimuth = -36, window_elevation = 37, window_half_width = 23, window_half_height = 21;

double smooth(double edge, double width, double x) {
  const double t = std::clamp((x - edge) / width + 0.5, 0.0, 1.0);
  return t * t * (3 - 2 * t);
}

double within(double middle, double half, double softness, double x) {
  return smooth(middle - half, softness, x) * (1 - smooth(middle + half, softness, x));
}

Vec3d direction(double azimuth_deg, double elevation_deg) {
  const double a = azimuth_deg * degree, e = elevation_deg * degree;
  return {std::cos(e) * std::sin(a), std::sin(e), std::cos(e) * std::cos(a)};
}

/// Brightness of the room in a direction, blurred by `softness` degrees.
double room(Vec3d d, double softness) {
  const double azimuth = std::atan2(d.x, d.z) / degree, elevation = std::asin(std::clamp(d.y, -1.0, 1.0)) / degree;
  double light = 0.32 + 0.22 * d.y;
  // The glow of the wall around the window gives flat fronts their gradient.
  const double glow = std::max(0.0, dot(d, direction(-22, 30)));
  light += 1.5 * std::pow(glow, 7);
  const double pane = within(window_azimuth, window_half_width, softness, azimuth) *
                      within(window_elevation, window_half_height, softness, elevation);
  const double bars = (1 - within(window_azimuth + 3, 0.9, softness, azimuth) * std::min(1.0, 1.8 / softness)) *
                      (1 - within(window_elevation + 4, 0.9, softness, elevation) * std::min(1.0, 1.8 / softness));
  light += 6.5 * pane * bars;
  // A tall pale screen on the other side draws the far edges.
  light += 1.9 * within(58, 9, softness + 4, azimuth) * within(5, 45, softness + 8, elevation);
  return light;
}

double fresnel(double cosine) {
  static const auto table = [] {
    std::array<double, 513> t{};
    for (std::size_t i = 0; i < t.size(); ++i)
      t[i] = fresnel_reflectance(face_index, std::acos(static_cast<double>(i) / 512) / degree);
    return t;
  }();
  return table[static_cast<std::size_t>(std::clamp(cosine, 0.0, 1.0) * 512 + 0.5)];
}

}  // namespace

Vec3d window_direction(double u, double v) {
  return direction(window_azimuth + window_half_width * (2 * u - 1),
                   window_elevation + window_half_height * (2 * v - 1));
}

double illumination(const Glint& g) {
  static const Vec3d key = direction(window_azimuth, window_elevation);
  static const Vec3d fill = direction(52, 8);
  // Scaled so that a card facing the camera reads 1.
  const double window = std::max(0.0, dot(g.normal, key)) / key.z;
  const double side = std::max(0.0, dot(g.normal, fill));
  const double sky = 0.82 + 0.18 * g.normal.y;
  return 0.60 * window * g.window_seen + (0.15 * side / fill.z + 0.25 * sky / 0.82) * (0.25 + 0.75 * g.open_around);
}

double mirror_image(const Glint& g) {
  const double cosine = dot(g.normal, g.to_camera);
  if (cosine <= 0 || g.wetted <= 0) return 0;
  const double height = 4 * 3.141592653589793 * g.roughness_m * cosine / 550e-9;
  const double specular = std::exp(-height * height);
  if (specular < 1e-4) return 0;
  const Vec3d mirrored = 2 * cosine * g.normal - g.to_camera;
  const double softness = 2.5 + 40 * (1 - specular);
  return g.wetted * specular * fresnel(cosine) * room(mirrored, softness) * (0.3 + 0.7 * g.open_around);
}

double backdrop(double across, double up) {
  const double x = across - 0.38, y = up - 0.66;
  return 0.66 - 0.20 * (x * x + y * y);
}

double shoulder(double linear) {
  constexpr double knee = 0.75;
  return linear < knee ? std::max(0.0, linear) : knee + (1 - knee) * (1 - std::exp(-(linear - knee) / (1 - knee)));
}

}  // namespace witnessline
