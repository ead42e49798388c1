#include "optics/face.h"

#include <cmath>
#include <numbers>

#include "base/result.h"
#include "numerics/quadrature.h"

namespace witnessline::optics {
namespace {
constexpr double degree = std::numbers::pi / 180;
}

double fresnel_reflectance(double n, double angle_deg) {
  expects(n >= 1 && angle_deg >= 0 && angle_deg <= 90, "light from air at 0 to 90 degrees");
  const double cos_air = std::cos(angle_deg * degree), sin_air = std::sin(angle_deg * degree);
  const double cos_film = std::sqrt(1 - sin_air * sin_air / (n * n));
  const double s = (cos_air - n * cos_film) / (cos_air + n * cos_film);
  const double p = (n * cos_air - cos_film) / (n * cos_air + cos_film);
  return (s * s + p * p) / 2;
}

double diffuse_reflectance_outside(double n) {
  return integral([n](double angle) { return fresnel_reflectance(n, angle / degree) * std::sin(2 * angle); }, 0,
                  std::numbers::pi / 2);
}

double diffuse_reflectance_inside(double n) { return 1 - (1 - diffuse_reflectance_outside(n)) / (n * n); }

AirFace air_face(double n, double illumination_deg) {
  return {fresnel_reflectance(n, illumination_deg), diffuse_reflectance_inside(n)};
}

double seen_outside(double internal, AirFace face, double specular_share) {
  return specular_share * face.outside +
         (1 - face.outside) * (1 - face.inside) * internal / (1 - face.inside * internal);
}

double inside_of(double seen, AirFace face, double specular_share) {
  const double body = seen - specular_share * face.outside;
  return body / ((1 - face.outside) * (1 - face.inside) + face.inside * body);
}

double body_of_bare_wood(double bare, AirFace face) {
  // (R' - (1 - h) x)(1 - K2 x) = h A x with R' = R - h K1 and A = (1 - K1)(1 - K2); the smaller root.
  constexpr double h = bare_wood_face_share;
  const double body = bare - h * face.outside;
  if (body <= 0) return 0;
  const double quadratic = (1 - h) * face.inside;
  const double linear = body * face.inside + (1 - h) + h * (1 - face.outside) * (1 - face.inside);
  return 2 * body / (linear + std::sqrt(linear * linear - 4 * quadratic * body));
}

double scattered_share(double roughness_m, double illumination_deg, double wavelength_nm) {
  const double phase =
      4 * std::numbers::pi * roughness_m * std::cos(illumination_deg * degree) / (wavelength_nm * 1e-9);
  return -std::expm1(-phase * phase);
}

}  // namespace witnessline::optics
