#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <numbers>

#include "numerics/linear.h"
#include "numerics/quadrature.h"
#include "numerics/statistics.h"

using namespace witnessline::numerics;

namespace {

TEST(Integral, MatchesKnownIntegrals) {
  EXPECT_NEAR(integral([](double x) { return std::sin(x); }, 0, std::numbers::pi), 2, 1e-14);
  EXPECT_NEAR(integral([](double x) { return std::exp(-x * x); }, -6, 6), std::sqrt(std::numbers::pi), 1e-13);
  EXPECT_NEAR(integral([](double x) { return std::pow(x, 100); }, 0, 1), 1.0 / 101, 1e-15);
}

Matrix matrix(int rows, int columns, std::initializer_list<double> row_by_row) {
  Matrix m(rows, columns);
  int i = 0;
  for (double v : row_by_row) {
    m(i / columns, i % columns) = v;
    ++i;
  }
  return m;
}

TEST(Solve, GivesTheSolution) {
  const std::vector<double> x = solve(matrix(3, 3, {0, 2, 1, 1, -2, -3, -1, 1, 2}), {-8, 0, 3});
  EXPECT_NEAR(x[0], -4, 1e-13);  // worked by hand
  EXPECT_NEAR(x[1], -5, 1e-13);
  EXPECT_NEAR(x[2], 2, 1e-13);
}

TEST(NonnegativeLeastSquares, MeetsTheConditionsOfALeast) {
  // Kuhn-Tucker: where x > 0 the gradient is zero, where x = 0 it must not point inwards.
  const Matrix a = matrix(5, 3, {1, 2, -1, 0.5, -1, 3, 2, 2, 2, -1, 0, 1, 0, 1, -2});
  const std::vector<double> b{1, -3, 2, -2, 3};
  const std::vector<double> x = nonnegative_least_squares(a, b);
  for (int j = 0; j < 3; ++j) {
    double gradient = 0;
    for (int i = 0; i < 5; ++i) {
      double residual = b[static_cast<std::size_t>(i)];
      for (int k = 0; k < 3; ++k) residual -= a(i, k) * x[static_cast<std::size_t>(k)];
      gradient += a(i, j) * residual;
    }
    EXPECT_GE(x[static_cast<std::size_t>(j)], 0);
    if (x[static_cast<std::size_t>(j)] > 0)
      EXPECT_NEAR(gradient, 0, 1e-10);
    else
      EXPECT_LE(gradient, 1e-10);
  }
}

// Source: hyndman1996, definition 7: of 1, 2, ..., 11 the quartiles are 3.5, 6 and 8.5; of 1, 2, 3, 4 they are 1.75,
// 2.5 and 3.25 (by hand).
TEST(Quantile, LiesStraightBetweenOrderStatistics) {
  const std::vector<double> eleven{1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11}, four{1, 2, 3, 4};
  EXPECT_EQ(quantile(eleven, 0.25), 3.5);
  EXPECT_EQ(quantile(eleven, 0.5), 6);
  EXPECT_EQ(quantile(eleven, 0.75), 8.5);
  EXPECT_EQ(quantile(four, 0.25), 1.75);
  EXPECT_EQ(quantile(four, 0.75), 3.25);
  EXPECT_EQ(quantile(four, 0), 1);
  EXPECT_EQ(quantile(four, 1), 4);
}

TEST(Quantile, BearsDrawsWithoutEnd) {
  const double never = std::numeric_limits<double>::infinity();
  EXPECT_EQ(quantile(std::vector<double>{1, 2, never, never}, 0.9), never);
  EXPECT_EQ(quantile(std::vector<double>{1, 2, never, never}, 1.0 / 3), 2);
  EXPECT_EQ(central_band({never, never}).low, never);
}

// 95 in 100 of an even spread from 0 to 1 are 0.95 wide.
TEST(CentralBand, OfAnEvenSpread) {
  std::vector<double> draws;
  for (int i = 1000; i >= 0; --i) draws.push_back(i / 1000.0);
  EXPECT_NEAR(central_band(draws).low, 0.025, 1e-12);
  EXPECT_NEAR(central_band(draws).high, 0.975, 1e-12);
  EXPECT_NEAR(central_band(draws, 0.5).high, 0.75, 1e-12);
}

}  // namespace
