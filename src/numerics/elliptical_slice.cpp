#include "numerics/elliptical_slice.h"

#include <cmath>
#include <numbers>

namespace witnessline::numerics {

namespace {

using Vector = std::vector<double>;

double normal_from(const NextUniform& next) {
  const double radius = std::sqrt(-2 * std::log(next()));
  return radius * std::cos(2 * std::numbers::pi * next());
}

double square(const Vector& x) {
  double sum = 0;
  for (const double v : x) sum += v * v;
  return sum;
}

void to_z(const NormalGuess& guess, const Vector& x, Vector& z) {
  const int n = static_cast<int>(x.size());
  for (int i = 0; i < n; ++i) {
    double sum = guess.mean[static_cast<std::size_t>(i)];
    for (int j = 0; j <= i; ++j) sum += guess.lower(i, j) * x[static_cast<std::size_t>(j)];
    z[static_cast<std::size_t>(i)] = sum;
  }
}

void to_x(const NormalGuess& guess, const Vector& z, Vector& x) {
  const int n = static_cast<int>(z.size());
  for (int i = 0; i < n; ++i) {
    double sum = z[static_cast<std::size_t>(i)] - guess.mean[static_cast<std::size_t>(i)];
    for (int j = 0; j < i; ++j) sum -= guess.lower(i, j) * x[static_cast<std::size_t>(j)];
    x[static_cast<std::size_t>(i)] = sum / guess.lower(i, i);
  }
}

/// One move of `at` on an ellipse through it; level(place) is the logarithm of what is sliced.
template <class Level>
double move(Vector& at, double here, const Level& level, const NextUniform& next, Vector& other, Vector& tried) {
  for (double& v : other) v = normal_from(next);
  const double floor = here + std::log(next());
  double angle = 2 * std::numbers::pi * next(), low = angle - 2 * std::numbers::pi, high = angle;
  constexpr int most_tries = 200;
  for (int i = 0; i < most_tries; ++i) {
    for (std::size_t k = 0; k < at.size(); ++k) tried[k] = at[k] * std::cos(angle) + other[k] * std::sin(angle);
    const double there = level(tried);
    if (there > floor) {
      at.swap(tried);
      return there;
    }
    (angle < 0 ? low : high) = angle;
    angle = low + (high - low) * next();
  }
  return here;
}

}  // namespace

std::vector<Vector> elliptical_slice(const std::function<double(const Vector&)>& log_likelihood,
                                     const NormalGuess& guess, Vector start, int burn, int count, int thin,
                                     const NextUniform& next) {
  Vector z = std::move(start), x(z.size()), other(z.size()), tried(z.size()), place(z.size());
  const auto about_guess = [&](const Vector& at) {
    to_z(guess, at, place);
    return log_likelihood(place) - 0.5 * square(place) + 0.5 * square(at);
  };
  std::vector<Vector> draws;
  draws.reserve(static_cast<std::size_t>(count));
  for (int i = 0; static_cast<int>(draws.size()) < count; ++i) {
    if (i % 4 == 3) {
      move(z, log_likelihood(z), log_likelihood, next, other, tried);
    } else {
      to_x(guess, z, x);
      move(x, about_guess(x), about_guess, next, other, tried);
      to_z(guess, x, z);
    }
    if (i >= burn && (i - burn) % thin == 0) draws.push_back(z);
  }
  return draws;
}

double potential_scale_reduction(const std::vector<Vector>& chains) {
  double within = 0, mean = 0;
  std::vector<double> means;
  std::size_t n = 0;
  for (const Vector& chain : chains) {
    n = chain.size() / 2;
    for (std::size_t from = 0; from + n <= chain.size(); from += n) {
      double m = 0, s = 0;
      for (std::size_t i = 0; i < n; ++i) m += chain[from + i] / static_cast<double>(n);
      for (std::size_t i = 0; i < n; ++i) s += (chain[from + i] - m) * (chain[from + i] - m);
      within += s / static_cast<double>(n - 1);
      mean += m;
      means.push_back(m);
    }
  }
  const double halves = static_cast<double>(means.size());
  within /= halves, mean /= halves;
  double between = 0;
  for (const double m : means) between += (m - mean) * (m - mean) / (halves - 1);
  if (!(within > 0)) return 1;
  return std::sqrt((within * (static_cast<double>(n) - 1) / static_cast<double>(n) + between) / within);
}

}  // namespace witnessline::numerics
