#include "colour/recover.h"

#include <cmath>

#include "numerics/linear.h"

namespace witnessline::colour {
namespace {

// R, dR/dz and d2R/dz2.
struct Curve {
  double value, slope, bend;
};
Curve curve(Smoothest kind, double z) {
  if (kind == Smoothest::log_slope) {
    const double r = std::exp(z);
    return {r, r, r};
  }
  const double t = std::tanh(z), s = 1 - t * t;
  return {(t + 1) / 2, s / 2, -t * s};
}

}  // namespace

Result<Reflectance> recover_reflectance(const Xyz& target, const Weights& weights, Smoothest kind) {
  const std::array<const std::array<double, bands>*, 3> w{&weights.x, &weights.y, &weights.z};
  const std::array<double, 3> wanted{target.x, target.y, target.z};
  const Error impossible{"no smooth reflectance has this colour",
                         {},
                         "a colour a real surface can have, lighter than black and darker than white",
                         "check the colour's numbers and the lamp and observer they belong to"};
  double white_y = 0;
  for (double y : weights.y) white_y += y;
  if (!(target.y > 0) || !std::isfinite(target.x + target.y + target.z)) return impossible;

  const double mean = std::min(target.y / white_y, 0.999);
  std::vector<double> z(bands, kind == Smoothest::log_slope ? std::log(mean) : std::atanh(2 * mean - 1));
  std::vector<double> lambda(3, 0.0);
  constexpr int n = bands + 3;
  // Newton on the Lagrangian: rows 0..35 its gradient in z, rows 36..38 the three sums.
  const auto residual = [&](const std::vector<double>& at_z, const std::vector<double>& at_lambda, Matrix* jacobian) {
    std::vector<double> r(n, 0.0);
    for (int i = 0; i < bands; ++i) {
      const auto iz = static_cast<std::size_t>(i);
      const Curve c = curve(kind, at_z[iz]);
      double pull = 0;
      for (std::size_t k = 0; k < 3; ++k) {
        pull += at_lambda[k] * (*w[k])[iz];
        r[bands + k] += (*w[k])[iz] * c.value;
        if (jacobian)
          (*jacobian)(i, bands + static_cast<int>(k)) = (*jacobian)(bands + static_cast<int>(k), i) =
              (*w[k])[iz] * c.slope;
      }
      const double left = i > 0 ? at_z[iz] - at_z[iz - 1] : 0, right = i + 1 < bands ? at_z[iz + 1] - at_z[iz] : 0;
      r[iz] = 2 * (left - right) + pull * c.slope;
      if (jacobian) {
        (*jacobian)(i, i) = 2.0 * ((i > 0) + (i + 1 < bands)) + pull * c.bend;
        if (i > 0) (*jacobian)(i, i - 1) = -2;
        if (i + 1 < bands) (*jacobian)(i, i + 1) = -2;
      }
    }
    for (std::size_t k = 0; k < 3; ++k) r[bands + k] -= wanted[k];
    return r;
  };
  const auto size_of = [](const std::vector<double>& r) {
    double sum = 0;
    for (double v : r) sum += v * v;
    return std::sqrt(sum);
  };

  double size = size_of(residual(z, lambda, nullptr));
  for (int round = 0; round < 200; ++round) {
    Matrix jacobian(n, n);
    const std::vector<double> r = residual(z, lambda, &jacobian);
    const std::vector<double> step = solve(jacobian, r);
    double length = 1, new_size = 0;
    std::vector<double> new_z = z, new_lambda = lambda;
    for (int halving = 0; halving < 30; ++halving, length /= 2) {
      for (std::size_t i = 0; i < bands; ++i) new_z[i] = z[i] - length * step[i];
      for (std::size_t k = 0; k < 3; ++k) new_lambda[k] = lambda[k] - length * step[bands + k];
      new_size = size_of(residual(new_z, new_lambda, nullptr));
      if (new_size < size) break;
    }
    if (!std::isfinite(new_size)) return impossible;
    z = new_z;
    lambda = new_lambda;
    size = new_size;
    if (size < 1e-10) break;
  }
  if (!(size < 1e-6)) return impossible;
  Reflectance found;
  for (int i = 0; i < bands; ++i) found[i] = curve(kind, z[static_cast<std::size_t>(i)]).value;
  return found;
}

}  // namespace witnessline::colour
