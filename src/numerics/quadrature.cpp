#include "numerics/quadrature.h"

#include <array>
#include <cmath>
#include <numbers>

namespace witnessline::numerics {
namespace {

constexpr int points = 64;
struct Rule {
  std::array<double, points> at{}, weight{};
};

// Roots of the Legendre polynomial by Newton from the usual cosine guess.
Rule make_rule() {
  Rule rule;
  for (int i = 0; i < points; ++i) {
    double x = std::cos(std::numbers::pi * (i + 0.75) / (points + 0.5)), slope = 0;
    for (int round = 0; round < 50; ++round) {
      double p0 = 1, p1 = x;
      for (int k = 2; k <= points; ++k) {
        const double p2 = ((2 * k - 1) * x * p1 - (k - 1) * p0) / k;
        p0 = p1;
        p1 = p2;
      }
      slope = points * (x * p1 - p0) / (x * x - 1);
      const double step = p1 / slope;
      x -= step;
      if (std::abs(step) < 1e-16) break;
    }
    rule.at[static_cast<std::size_t>(i)] = x;
    rule.weight[static_cast<std::size_t>(i)] = 2 / ((1 - x * x) * slope * slope);
  }
  return rule;
}

}  // namespace

double integral(const std::function<double(double)>& f, double low, double high) {
  static const Rule rule = make_rule();
  const double middle = (low + high) / 2, half = (high - low) / 2;
  double sum = 0;
  for (std::size_t i = 0; i < points; ++i) sum += rule.weight[i] * f(middle + half * rule.at[i]);
  return half * sum;
}

}  // namespace witnessline::numerics
