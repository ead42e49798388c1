#include "safety/room.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

#include "safety/spraying.h"

namespace witnessline::safety {
namespace {

constexpr double never_s = std::numeric_limits<double>::infinity();

/// The balance itself by classical Runge-Kutta: no part of the closed form is used.
double integrated(const std::vector<Release>& releases, double air_m3_s, double volume_m3, double time_s) {
  const int steps = 40000;
  const double h = time_s / steps;
  const auto slope = [&](double t, double c) { return (release_m3_s(releases, t) - air_m3_s * c) / volume_m3; };
  double c = 0;
  for (int i = 0; i < steps; ++i) {
    const double t = i * h, a = slope(t, c), b = slope(t + h / 2, c + h / 2 * a), d = slope(t + h / 2, c + h / 2 * b),
                 e = slope(t + h * (1 - 1e-9), c + h * d);
    c += h / 6 * (a + 2 * b + 2 * d + e);
  }
  return c;
}

TEST(Room, TheClosedFormIsTheBalanceIntegrated) {
  const std::vector<Release> releases{{0, 600, 4e-5, 0}, {600, never_s, 1e-5, 900}, {300, 900, 2e-5, 200}};
  for (const double air_m3_s : {0.0, 0.05, 0.6})
    for (const double time_s : {300.0, 600.0, 1500.0, 7200.0}) {
      const double numeric = integrated(releases, air_m3_s, 60, time_s);
      EXPECT_NEAR(concentration(releases, air_m3_s, 60, time_s), numeric, 2e-4 * numeric) << air_m3_s << " " << time_s;
    }
}

TEST(Room, EndsAtSourceOverAir) {
  const std::vector<Release> steady{{0, never_s, 5e-5, 0}};
  EXPECT_NEAR(concentration(steady, 0.25, 40, 1e6), 5e-5 / 0.25, 1e-12);
  EXPECT_NEAR(concentration(steady, 0, 40, 100), 5e-5 * 100 / 40, 1e-15);  // a closed room fills
}

TEST(Room, EqualRatesOfAirAndFadingAreNoSpecialCase) {
  const double k = 0.25 / 40;
  const auto at = [&](double fade_s) {
    return concentration(std::vector<Release>{{0, never_s, 1e-5, fade_s}}, 0.25, 40, 300);
  };
  EXPECT_NEAR(at(1 / k), 1e-5 / 40 * 300 * std::exp(-k * 300), 1e-14);
  EXPECT_NEAR(at(1 / k * (1 + 1e-9)), at(1 / k), 1e-12);
}

TEST(Room, ClearsWhenTheClosedFormSays) {
  const std::vector<Release> one{{0, 600, 4e-5, 0}};
  const double peak = concentration(one, 0.3, 50, 600);
  const auto clear = clear_from_s(one, 0.3, 50, peak / 20);
  ASSERT_TRUE(clear);
  EXPECT_NEAR(*clear, 600 + purge_time_s(0.3, 50, peak, peak / 20), 0.01);
  EXPECT_NEAR(purge_time_s(0.3, 50, 20, 1), 50 / 0.3 * std::log(20), 1e-9);
  EXPECT_EQ(clear_from_s(one, 0.3, 50, 2 * peak), 0.0);
  EXPECT_FALSE(clear_from_s(one, 0, 50, peak / 20)) << "no air, no clearing";
  EXPECT_FALSE(clear_from_s(std::vector<Release>{{0, never_s, 4e-5, 0}}, 0.3, 50, 1e-6)) << "a source that never stops";
}

// What the gun gave has all gone out with the air in the end, in one room or two.
TEST(Spraying, NoVapourIsLostOnTheWay) {
  Spraying s;
  s.coats = 3, s.coat_s = 240, s.flash_s = 900, s.landed_fraction = 0.4, s.fade_s = 700;
  const double given = 1e-4 * 3 * 240;
  const auto let_in = [](const std::vector<Release>& releases) {
    double sum = 0;
    for (const Release& r : releases) {
      const double x = r.until_s - r.from_s;
      sum += r.vapour_m3_s * (r.fade_s > 0 ? r.fade_s * -std::expm1(-x / r.fade_s) : x);
    }
    return sum;
  };
  const Releases one = releases_of(s, 1e-4, false), two = releases_of(s, 1e-4, true);
  EXPECT_NEAR(let_in(one.spraying), given, 1e-12 * given);
  EXPECT_TRUE(one.drying.empty());
  EXPECT_NEAR(let_in(two.spraying) + let_in(two.drying), given, 1e-12 * given);
  EXPECT_GT(let_in(two.drying), 0.05 * given);
  for (double t = 0; t < 9000; t += 37) EXPECT_GE(release_m3_s(one.spraying, t), -1e-18) << t;
}

TEST(Respirators, FactorsAreThoseOfTheTable) {
  EXPECT_EQ(protection_factor(Respirator::none), 1);
  EXPECT_EQ(protection_factor(Respirator::half_mask), 10);
  EXPECT_EQ(protection_factor(Respirator::full_face), 50);
}

}  // namespace
}  // namespace witnessline::safety
