#include "view/studio.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace witnessline::view {
namespace {

constexpr double degree = std::numbers::pi / 180;

/// A light that faces the middle of the room, seen from there at an azimuth (right of the camera) and an elevation.
AreaLight towards_middle(double azimuth_deg, double elevation_deg, double away, double half_width, double half_height,
                         Lamp lamp) {
  const double a = azimuth_deg * degree, e = elevation_deg * degree;
  const Vec3d out{std::cos(e) * std::sin(a), std::sin(e), std::cos(e) * std::cos(a)};
  const Vec3d across = unit_of(cross(Vec3d{0, 1, 0}, out), {1, 0, 0});
  AreaLight light;
  light.centre = away * out;
  light.half_across = -half_width * across;  // so that across x up points back to the middle
  light.half_up = half_height * cross(out, across);
  light.lamp = lamp;
  return light;
}

/// Sets the light's radiance so that it lights a white card in the middle, facing the camera, to `share`.
AreaLight giving(AreaLight light, double share, Vec3d facing = {0, 0, 1}) {
  light.radiance = 1;
  light.radiance = share / Studio::falling_on(light, {0, 0, 0}, facing);
  return light;
}

/// A step from 0 to 1 around 0, two standard deviations of blur wide to each side.
double step(double x, double blur) {
  const double t = std::clamp(0.5 + x / (4 * blur), 0.0, 1.0);
  return t * t * (3 - 2 * t);
}
double smooth(double from, double to, double x) {
  const double t = std::clamp((x - from) / (to - from), 0.0, 1.0);
  return t * t * (3 - 2 * t);
}
double strip(double from, double to, double x, double blur) { return step(x - from, blur) - step(x - to, blur); }

Xyz between(const Xyz& a, const Xyz& b, double share) {
  return {a.x + share * (b.x - a.x), a.y + share * (b.y - a.y), a.z + share * (b.z - a.z)};
}

}  // namespace

double Studio::walls(Vec3d d) const {
  static const Vec3d at_camera = unit_of({0.10, -0.16, 0.98});
  double light = sky + sky_lift * dot(d, bright_side);
  if (floor < 1) light *= 1 - (1 - floor) * (1 - smooth(-0.45, 0.10, d.y));
  if (camera < 1) light *= 1 - (1 - camera) * smooth(0.90, 0.99, dot(d, at_camera));
  return light;
}

double Studio::walls_on(Vec3d normal) const {
  const Vec3d x = across(normal), y = cross(normal, x);
  constexpr int count = 96;
  double sum = 0;
  for (int i = 0; i < count; ++i) {
    const double out = std::sqrt((i + 0.5) / count), turn = 2.399963229728653 * i;  // the golden angle
    sum += walls(out * std::cos(turn) * x + out * std::sin(turn) * y + std::sqrt(1 - out * out) * normal);
  }
  return sum / count;
}

double AreaLight::extent() const { return length(cross(half_across, half_up)) * (round ? std::numbers::pi : 4.0); }

Vec3d AreaLight::place(double u, double v) const {
  if (!round) return centre + (2 * u - 1) * half_across + (2 * v - 1) * half_up;
  const double r = std::sqrt(u), turn = 2 * std::numbers::pi * v;
  return centre + r * std::cos(turn) * half_across + r * std::sin(turn) * half_up;
}

// Law: E / pi = L / pi sum of cos cos' dA / d^2. Four parts of the light: its own size against its distance is small.
double Studio::falling_on(const AreaLight& light, Vec3d from, Vec3d normal) {
  const Vec3d face = light.normal();
  const double part = light.extent() / 4, side = light.round ? 0.45 : 0.5;
  double sum = 0;
  for (const double u : {-side, side})
    for (const double v : {-side, side}) {
      const Vec3d way = light.centre + u * light.half_across + v * light.half_up - from;
      const double squared = dot(way, way), here = dot(way, normal), there = -dot(way, face);
      if (here > 0 && there > 0) sum += here * there / (squared * squared);
    }
  return light.radiance * part * sum / std::numbers::pi;
}

double Studio::seen_in_mirror(const AreaLight& light, Vec3d from, Vec3d direction, double blur) {
  const Vec3d face = light.normal();
  const double against = -dot(direction, face);
  if (against < 0.02) return 0;
  const double away = -dot(light.centre - from, face) / against;
  if (away <= 0) return 0;
  const Vec3d at = from + away * direction - light.centre;
  const double width = length(light.half_across), height = length(light.half_up);
  const double s = dot(at, light.half_across) / (width * width), t = dot(at, light.half_up) / (height * height);
  const double blur_s = blur * away / width, blur_t = blur * away / height;
  if (std::abs(s) > 1 + 2 * blur_s || std::abs(t) > 1 + 2 * blur_t) return 0;
  if (light.round) {
    const double spread = blur_s * blur_t;
    return step(1 - std::sqrt(s * s + t * t), std::sqrt(spread)) / (1 + 2 * spread);
  }
  const double whole_s = strip(-1, 1, s, blur_s), whole_t = strip(-1, 1, t, blur_t);
  if (!light.paned) return whole_s * whole_t;
  const double upright = strip(-0.035, 0.035, s, blur_s);
  const double rails = strip(-0.355, -0.310, t, blur_t) + strip(0.310, 0.355, t, blur_t);
  // The sky is brighter than what stands below it.
  return (0.86 + 0.14 * std::clamp(t, -1.0, 1.0)) * std::max(0.0, (whole_s - upright) * (whole_t - rails));
}

Studio studio_of(Light light, Observer observer) {
  Studio room;
  const auto white = [&](Lamp lamp) { return white_point(lamp, observer); };
  switch (light) {
    case Light::window: {
      // One tall window to the left, a pale wall to the right, daylight all about.
      AreaLight window = giving(towards_middle(-61, 24, 2.8, 0.85, 1.25, Lamp::D65), 0.50);
      window.paned = true;
      const AreaLight wall = giving(towards_middle(72, 4, 3.4, 0.8, 1.7, Lamp::D65), 0.08);
      room.lights = {window, wall};
      room.air = Lamp::D65;
      room.sky = 0.38, room.sky_lift = 0.14, room.bright_side = unit_of({-0.55, 0.6, 0.45});
      room.floor = 0.55, room.camera = 0.45;
      room.card = 0.50;
      room.adopted_white = white(Lamp::D65);
      break;
    }
    case Light::lamp: {
      // One warm lamp to the upper right in a dim room. The eye adapts to it in part only (ESTIMATE: seven tenths).
      AreaLight lamp = giving(towards_middle(38, 40, 1.9, 0.20, 0.20, Lamp::A), 0.84);
      lamp.round = true;
      room.lights = {lamp};
      room.air = Lamp::A;
      room.sky = 0.14, room.sky_lift = 0.07, room.bright_side = unit_of({0.5, 0.7, 0.2});
      room.floor = 0.5, room.camera = 0.5;
      room.card = 0.34;
      room.adopted_white = between(white(Lamp::D65), white(Lamp::A), 0.7);
      break;
    }
    case Light::stage: {
      // A warm spot from the front, daylight from behind on the other side, a narrow-band lamp low down. The camera is
      // set between them, so that one reads warm and the other cold.
      AreaLight key = giving(towards_middle(-34, 44, 1.8, 0.12, 0.12, Lamp::A), 0.74);
      AreaLight rim = giving(towards_middle(118, 28, 2.4, 0.22, 0.22, Lamp::D65), 0.85, unit_of({0.8, 0.3, -0.5}));
      AreaLight low = giving(towards_middle(48, -22, 2.6, 0.25, 0.25, Lamp::LED_B3), 0.22);
      key.round = rim.round = low.round = true;
      room.lights = {key, rim, low};
      room.air = Lamp::LED_B3;
      room.sky = 0.05, room.sky_lift = 0.02;
      room.card = 0.05;
      room.behind_m_frac = 0.5;
      room.adopted_white = white(Lamp::LED_B3);
      break;
    }
  }
  double all = room.walls_on({0, 0, 1});
  for (const AreaLight& one : room.lights) all += Studio::falling_on(one, {0, 0, 0}, {0, 0, 1});
  room.exposure = 1 / all;
  return room;
}

Studio furnace(Observer observer) {
  Studio room;
  room.air = Lamp::D65;
  room.sky = 1;
  room.card = 1;
  room.adopted_white = white_point(Lamp::D65, observer);
  return room;
}

double shoulder(double linear) {
  constexpr double knee = 0.75;
  return linear < knee ? std::max(0.0, linear) : knee + (1 - knee) * (1 - std::exp(-(linear - knee) / (1 - knee)));
}

}  // namespace witnessline::view
