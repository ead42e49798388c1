#include "cracking/flaw.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "base/result.h"

namespace witnessline::cracking {

double tip_power(const Mismatch& m) {
  const double unlike = 2 * (m.alpha - m.beta) / (1 - m.beta),
               rest = (m.alpha - m.beta * m.beta) / (1 - m.beta * m.beta);
  double low = 0, high = 1;
  for (int i = 0; i < 60; ++i) {
    const double s = (low + high) / 2;
    (std::cos(s * std::numbers::pi) - unlike * (1 - s) * (1 - s) + rest > 0 ? low : high) = s;
  }
  return (low + high) / 2;
}

namespace {
constexpr double edge = 1.1215 * 1.1215;  // of an edge crack in a half space
}

FlawEnergy::FlawEnergy(const Mismatch& m)
    : power_(1 - 2 * tip_power(m)), channel_(std::numbers::pi / 2 * channel_g(m)) {
  // Moments of (1 - x)^p are Beta functions; what is left is a quadratic in the slope k.
  const double p = power_;
  const double one = 1 / ((p + 1) * (p + 2)), linear = 4 / (p + 3), square = 6 / ((p + 3) * (p + 4));
  const double lack = 1 - channel_ / (edge * std::numbers::pi) / one;
  slope_ = (-linear + std::sqrt(std::max(0.0, linear * linear - 4 * square * lack))) / (2 * square);
}

double FlawEnergy::at(double x) const {
  expects(x >= 0 && x < 1, "a flaw in a film is less deep than the film");
  const double along = 1 + slope_ * x;
  return edge * std::numbers::pi * x * std::pow(1 - x, power_) * along * along;
}

double FlawEnergy::mean_to(double x) const {
  if (x <= 0) return 0;
  constexpr int steps = 12;  // Simpson
  double sum = 0;
  for (int i = 0; i <= steps; ++i) sum += (i == 0 || i == steps ? 1 : i % 2 ? 4 : 2) * at(x * i / steps);
  return sum / (3 * steps);
}

double FlawEnergy::share_of_channel(double x) const {
  if (x >= 0.98) return 1;
  return std::min(1.0, std::max(mean_to(x), std::min(at(x), channel_)) / channel_);
}

}  // namespace witnessline::cracking
