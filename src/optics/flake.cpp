#include "optics/flake.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "base/result.h"
#include "numerics/quadrature.h"
#include "optics/face.h"

namespace witnessline::optics {
namespace {

constexpr double pi = std::numbers::pi, degree = pi / 180;

// Mean over the flakes of |normal . direction|, by number. The square puts most points where flakes lie flat.
double projected_area(FlakeTilt tilt, double cosine) {
  const double sine = std::sqrt(std::max(0.0, 1 - cosine * cosine));
  double flakes = 0;
  const auto ring = [&](double u, bool projected) {
    const double t = pi / 2 * u * u, up = std::cos(t), out = std::sin(t);
    const double number = slope_density(tilt, out / up) / (up * up * up) * out * pi * u;
    if (!projected) return 2 * pi * number;
    if (up * cosine >= out * sine) return 2 * pi * number * up * cosine;
    const double turn = std::acos(-up * cosine / (out * sine));  // where the flake is edge on
    return 2 * number * ((2 * turn - pi) * up * cosine + 2 * out * sine * std::sin(turn));
  };
  flakes = integral([&](double u) { return ring(u, false); }, 0, 1);
  return integral([&](double u) { return ring(u, true); }, 0, 1) / flakes;
}

// (1 - exp(-x)) / x
double mean_attenuation(double x) { return x < 1e-12 ? 1 : -std::expm1(-x) / x; }

}  // namespace

double slope_spread(double component_sd_deg) { return std::numbers::sqrt2 * std::tan(component_sd_deg * degree); }
double angle_spread_rad(double component_sd_deg) { return std::numbers::sqrt2 * component_sd_deg * degree; }

double slope_density(FlakeTilt tilt, double slope) {
  const double peak = 1 / (pi * tilt.spread * tilt.spread);
  const double x = slope / tilt.spread;
  switch (tilt.law) {
    case TiltLaw::gaussian_slope:
      return peak * std::exp(-x * x);
    case TiltLaw::long_tailed:
      return peak * (tail_exponent - 1) * std::pow(1 + x * x, -tail_exponent);
    case TiltLaw::gaussian_angle:
      break;
  }
  const double t = std::atan(slope), up = std::cos(t);
  return peak * std::exp(-t * t / (tilt.spread * tilt.spread)) * (t > 0 ? t / std::sin(t) : 1) * up * up * up;
}

FlakeView view_at(double aspecular_deg, double illumination_deg) {
  const double viewing_deg = illumination_deg - aspecular_deg;
  return {illumination_deg, std::abs(viewing_deg), viewing_deg < 0 ? 180.0 : 0.0};
}

FlakeAngles flake_angles(double n, const FlakeView& view) {
  expects(n >= 1 && view.illumination_deg >= 0 && view.illumination_deg < 90 && view.viewing_deg >= 0 &&
              view.viewing_deg < 90,
          "light from air at 0 to 90 degrees, seen from air");
  const double in = std::sin(view.illumination_deg * degree) / n, out = std::sin(view.viewing_deg * degree) / n;
  const double in_up = std::sqrt(1 - in * in), out_up = std::sqrt(1 - out * out);
  const double x = out * std::cos(view.azimuth_deg * degree) - in, y = out * std::sin(view.azimuth_deg * degree);
  const double z = in_up + out_up, length = std::sqrt(x * x + y * y + z * z);
  FlakeAngles found;
  found.illumination_inside_deg = std::asin(in) / degree;
  found.viewing_inside_deg = std::asin(out) / degree;
  found.slope = std::hypot(x, y) / z;
  found.tilt_deg = std::atan(found.slope) / degree;
  found.incidence_deg = std::acos(std::min(1.0, length / 2)) / degree;
  found.passed_in = 1 - fresnel_reflectance(n, view.illumination_deg);
  found.passed_out = 1 - fresnel_reflectance(n, view.viewing_deg);
  const double secant_2 = 1 + found.slope * found.slope;
  found.prefactor = found.passed_in * found.passed_out * secant_2 * secant_2 / (4 * n * n * in_up * out_up);
  return found;
}

double carpet_factor(double n, double flake_reflectance, FlakeTilt tilt, const FlakeView& view) {
  const FlakeAngles angles = flake_angles(n, view);
  return pi * flake_reflectance * angles.prefactor * slope_density(tilt, angles.slope);
}

double FlakeCurve::factor(const FlakeView& view) const {
  return brightness * carpet_factor(refractive_index, 1, tilt, view) + diffuse;
}

FlakeCurve curve_through(double factor_15, double factor_45, double factor_110, TiltLaw law, double n) {
  expects(factor_15 > 0 && factor_45 > 0 && factor_110 > 0, "a luminance read is above 0");
  FlakeCurve nearest;
  double least = std::numeric_limits<double>::infinity();
  constexpr int steps = 2000;
  for (int i = 0; i <= steps; ++i) {
    FlakeCurve curve{n, 1, {law, std::pow(10.0, -2 + 2.0 * i / steps)}, 0};
    const double at_15 = curve.factor(view_at(15)), at_110 = curve.factor(view_at(110));
    if (at_15 <= at_110) continue;
    curve.brightness = (factor_15 - factor_110) / (at_15 - at_110);
    curve.diffuse = factor_110 - curve.brightness * at_110;
    if (curve.diffuse < 0) curve = {n, factor_15 / at_15, curve.tilt, 0};
    if (!(curve.brightness > 0)) continue;
    const double off = std::abs(std::cbrt(curve.factor(view_at(45))) - std::cbrt(factor_45));
    if (off < least) least = off, nearest = curve;
  }
  // As light at 110 as at 15: no lobe to be seen.
  return std::isfinite(least) ? nearest : FlakeCurve{n, 0, {law}, factor_45};
}

double flop_index(double lightness_15, double lightness_45, double lightness_110) {
  expects(lightness_45 > 0, "a flop index needs a lightness above 0 at 45 degrees");
  return 2.69 * std::pow(std::max(0.0, lightness_15 - lightness_110), 1.11) / std::pow(lightness_45, 0.86);
}

FlakeCoat::FlakeCoat(const Shape& shape)
    : shape_(shape), face_inside_(diffuse_reflectance_inside(shape.refractive_index)) {
  expects(shape.layers >= 0 && shape.tilt.spread > 0, "a flake coat has flakes of some tilt");
  mean_left_over_ =
      integral([&](double angle) { return left_over(ray(angle / degree)) * std::sin(2 * angle); }, 0, pi / 2);
}

FlakeCoat::Ray FlakeCoat::ray(double outside_deg) const {
  const double n = shape_.refractive_index, sine = std::sin(outside_deg * degree) / n;
  const double cosine = std::sqrt(std::max(0.0, 1 - sine * sine));
  return {sine, cosine, 1 - fresnel_reflectance(n, outside_deg), projected_area(shape_.tilt, cosine)};
}

double FlakeCoat::mirrored(const Ray& in_ray, const Ray& out_ray, double azimuth, double in, double above) const {
  if (shape_.layers == 0) return 0;
  const double x = out_ray.sine * std::cos(azimuth) - in_ray.sine, y = out_ray.sine * std::sin(azimuth);
  const double z = in_ray.cosine + out_ray.cosine;
  if (z < 1e-9) return 0;
  const double slope = std::hypot(x, y) / z, secant_2 = 1 + slope * slope;
  const double number = slope_density(shape_.tilt, slope) * secant_2 * std::sqrt(secant_2);  // a solid angle
  const double paths = 1 / in_ray.cosine + 1 / out_ray.cosine;
  // K and S of Kubelka and Munk count diffuse light, whose path is twice the depth.
  const double met = shape_.layers * (in_ray.projected / in_ray.cosine + out_ray.projected / out_ray.cosine);
  const double n = shape_.refractive_index;
  return pi * number * in_ray.passed * out_ray.passed * shape_.layers / (4 * n * n * in_ray.cosine * out_ray.cosine) *
         mean_attenuation(met + in / 2 * paths) * std::exp(-above / 2 * paths);
}

double FlakeCoat::lobe_total(const Ray& in_ray, double in, double above) const {
  if (shape_.layers == 0) return 0;
  return integral(
      [&](double angle) {
        const Ray out = ray(angle / degree);
        return std::sin(2 * angle) / pi *
               integral([&](double azimuth) { return mirrored(in_ray, out, azimuth, in, above); }, 0, pi);
      },
      0, pi / 2);
}

double FlakeCoat::left_over(const Ray& in_ray) const {
  return in_ray.passed - lobe_total(in_ray, shape_.scattering_in, shape_.scattering_above);
}

double FlakeCoat::diffuse(const Absorbing& k) const {
  const double n_r = shape_.layers * k.flake_reflectance;
  const double below = over_ground(film_optics({k.in + shape_.layers - n_r, shape_.scattering_in + n_r}), k.ground);
  const double body = over_ground(film_optics({k.above, shape_.scattering_above}), below);
  return (1 - face_inside_) * body / (1 - face_inside_ * body);
}

double FlakeCoat::lobe(const Absorbing& k, const FlakeView& view) const {
  return k.flake_reflectance * mirrored(ray(view.illumination_deg), ray(view.viewing_deg), view.azimuth_deg * degree,
                                        k.in + shape_.scattering_in, k.above + shape_.scattering_above);
}

double FlakeCoat::factor(const Absorbing& k, const FlakeView& view) const {
  return lobe(k, view) +
         left_over(ray(view.illumination_deg)) * left_over(ray(view.viewing_deg)) / mean_left_over_ * diffuse(k);
}

double FlakeCoat::total(const Absorbing& k, double illumination_deg) const {
  const Ray in = ray(illumination_deg);
  return 1 - in.passed +
         k.flake_reflectance * lobe_total(in, k.in + shape_.scattering_in, k.above + shape_.scattering_above) +
         left_over(in) * diffuse(k);
}

}  // namespace witnessline::optics
