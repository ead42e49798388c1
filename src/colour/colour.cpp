#include "colour/colour.h"

#include <algorithm>
#include <cmath>

#include "base/result.h"

namespace witnessline::colour {
namespace {

using Matrix = std::array<std::array<double, 3>, 3>;
using Triple = std::array<double, 3>;

Matrix product(const Matrix& a, const Matrix& b) {
  Matrix c{};
  for (std::size_t i = 0; i < 3; ++i)
    for (std::size_t j = 0; j < 3; ++j)
      for (std::size_t k = 0; k < 3; ++k) c[i][j] += a[i][k] * b[k][j];
  return c;
}

Triple product(const Matrix& a, const Triple& v) {
  Triple r{};
  for (std::size_t i = 0; i < 3; ++i) r[i] = a[i][0] * v[0] + a[i][1] * v[1] + a[i][2] * v[2];
  return r;
}

Matrix inverse(const Matrix& m) {
  Matrix r{};
  double determinant = 0;
  for (std::size_t i = 0; i < 3; ++i) {
    const std::size_t i1 = (i + 1) % 3, i2 = (i + 2) % 3;
    for (std::size_t j = 0; j < 3; ++j) {
      const std::size_t j1 = (j + 1) % 3, j2 = (j + 2) % 3;
      r[j][i] = m[i1][j1] * m[i2][j2] - m[i1][j2] * m[i2][j1];
    }
    determinant += m[0][i] * r[i][0];
    if (i == 2)
      for (auto& row : r)
        for (double& value : row) value /= determinant;
  }
  return r;
}

// sRGB primaries and white, IEC 61966-2-1.
constexpr Triple srgb_white{0.3127 / 0.3290, 1.0, (1 - 0.3127 - 0.3290) / 0.3290};
Matrix xyz_from_linear_srgb() {
  Matrix m{{{0.64 / 0.33, 0.30 / 0.60, 0.15 / 0.06},
            {1, 1, 1},
            {(1 - 0.64 - 0.33) / 0.33, (1 - 0.30 - 0.60) / 0.60, (1 - 0.15 - 0.06) / 0.06}}};
  const auto scale = product(inverse(m), srgb_white);
  for (auto& row : m)
    for (std::size_t j = 0; j < 3; ++j) row[j] *= scale[j];
  return m;
}

// Bradford cone responses. Source: lam1985, as in ICC.1:2022 annex E.
constexpr Matrix bradford{{{0.8951, 0.2664, -0.1614}, {-0.7502, 1.7135, 0.0367}, {0.0389, -0.0685, 1.0296}}};

constexpr double delta = 6.0 / 29.0;
double lab_curve(double t) { return t > delta * delta * delta ? std::cbrt(t) : t / (3 * delta * delta) + 4.0 / 29.0; }
double lab_curve_inverse(double f) { return f > delta ? f * f * f : 3 * delta * delta * (f - 4.0 / 29.0); }

}  // namespace

Xyz to_xyz(const Reflectance& reflectance, Lamp lamp, Observer observer) {
  const Weights& w = weights(lamp, observer);
  Xyz sum;
  for (std::size_t band = 0; band < bands; ++band) {
    sum.x += w.x[band] * reflectance.at[band];
    sum.y += w.y[band] * reflectance.at[band];
    sum.z += w.z[band] * reflectance.at[band];
  }
  return sum;
}

Xyz white_point(Lamp lamp, Observer observer) { return to_xyz(flat_reflectance(1), lamp, observer); }

Lab to_lab(const Xyz& colour, const Xyz& white) {
  const double fx = lab_curve(colour.x / white.x), fy = lab_curve(colour.y / white.y),
               fz = lab_curve(colour.z / white.z);
  return {116 * fy - 16, 500 * (fx - fy), 200 * (fy - fz)};
}

Xyz to_xyz(const Lab& lab, const Xyz& white) {
  const double fy = (lab.l + 16) / 116;
  return {white.x * lab_curve_inverse(fy + lab.a / 500), white.y * lab_curve_inverse(fy),
          white.z * lab_curve_inverse(fy - lab.b / 200)};
}

Lab to_lab(const Reflectance& reflectance, Lamp lamp, Observer observer) {
  return to_lab(to_xyz(reflectance, lamp, observer), white_point(lamp, observer));
}

double delta_e_76(const Lab& one, const Lab& two) { return std::hypot(one.l - two.l, one.a - two.a, one.b - two.b); }

std::array<std::array<double, 3>, 3> linear_srgb_from_xyz(const Xyz& white) {
  static const Matrix to_cones = bradford, from_cones = inverse(bradford), to_rgb = inverse(xyz_from_linear_srgb());
  const auto here = product(to_cones, Triple{white.x, white.y, white.z});
  const auto there = product(to_cones, srgb_white);
  Matrix adapt{};
  for (std::size_t i = 0; i < 3; ++i) adapt[i][i] = there[i] / here[i];
  return product(to_rgb, product(from_cones, product(adapt, to_cones)));
}

double srgb_encode(double linear) {
  return linear <= 0.0031308 ? 12.92 * linear : 1.055 * std::pow(linear, 1 / 2.4) - 0.055;
}

double srgb_decode(double encoded) {
  return encoded <= 0.04045 ? encoded / 12.92 : std::pow((encoded + 0.055) / 1.055, 2.4);
}

Rgb to_srgb(const Xyz& colour, const Xyz& white) {
  const auto linear = product(linear_srgb_from_xyz(white), Triple{colour.x, colour.y, colour.z});
  const auto shown = [](double v) { return srgb_encode(std::clamp(v, 0.0, 1.0)); };
  return {shown(linear[0]), shown(linear[1]), shown(linear[2])};
}

double yellowness_e313(const Xyz& colour, Observer observer, Lamp lamp) {
  expects(lamp == Lamp::D65 || lamp == Lamp::C, "E313 has coefficients for lamps C and D65");
  const bool two = observer == Observer::deg2, d65 = lamp == Lamp::D65;
  const double cx = two ? (d65 ? 1.2985 : 1.2769) : (d65 ? 1.3013 : 1.2871);
  const double cz = two ? (d65 ? 1.1335 : 1.0592) : (d65 ? 1.1498 : 1.0781);
  return 100 * (cx * colour.x - cz * colour.z) / colour.y;
}

Reflectance widened(std::span<const double, 31> from_400_to_700) {
  Reflectance wide;
  for (int band = 0; band < bands; ++band)
    wide[band] = from_400_to_700[static_cast<std::size_t>(std::clamp(band - 2, 0, 30))];
  return wide;
}

}  // namespace witnessline::colour
