// Identities of a room's air over random rooms and sources.
#include <gtest/gtest.h>

#include <cmath>
#include <limits>

#include "base/random.h"
#include "safety/spraying.h"

namespace witnessline::app {
namespace {

constexpr double never_s = std::numeric_limits<double>::infinity();

std::vector<Release> random_releases(Key key) {
  std::vector<Release> releases;
  for (std::uint64_t i = 0; i < 1 + static_cast<std::uint64_t>(4 * uniform(key.with("count"))); ++i) {
    const Key k = key.with(i);
    const double from_s = 3600 * uniform(k.with("from"));
    const bool steady = uniform(k.with("kind")) < 0.5;
    releases.push_back({from_s, steady ? from_s + 1800 * uniform(k.with("length")) : never_s,
                        1e-4 * uniform(k.with("rate")), steady ? 0 : 30 + 2000 * uniform(k.with("fade"))});
  }
  return releases;
}

TEST(AirLaws, MoreAirNeverRaisesTheConcentration) {
  for (std::uint64_t i = 0; i < 200; ++i) {
    const Key key = Key{23}.with(i);
    const auto releases = random_releases(key);
    const double volume_m3 = 5 + 200 * uniform(key.with("volume"));
    const double air_m3_s = 1.5 * uniform(key.with("air"));
    for (double t = 0; t < 20000; t += 331) {
      const double c = concentration(releases, air_m3_s, volume_m3, t);
      EXPECT_GE(c, 0);
      EXPECT_LE(concentration(releases, 1.1 * air_m3_s + 1e-3, volume_m3, t), c * (1 + 1e-12)) << i << " " << t;
    }
  }
}

TEST(AirLaws, WithoutASourceItClearsExponentially) {
  for (std::uint64_t i = 0; i < 50; ++i) {
    const Key key = Key{29}.with(i);
    const double volume_m3 = 5 + 200 * uniform(key.with("volume")), air_m3_s = 1.5 * uniform(key.with("air"));
    const double a = concentration({}, air_m3_s, volume_m3, 700, 1e-3);
    EXPECT_NEAR(a, 1e-3 * std::exp(-700 * air_m3_s / volume_m3), 1e-15);
    EXPECT_NEAR(concentration({}, air_m3_s, volume_m3, 300, a), concentration({}, air_m3_s, volume_m3, 1000, 1e-3),
                1e-15)
        << "two waits are one";
  }
}

TEST(AirLaws, ConcentrationsOfTwoSourcesAdd) {
  for (std::uint64_t i = 0; i < 50; ++i) {
    const Key key = Key{31}.with(i);
    auto a = random_releases(key.with("a"));
    const auto b = random_releases(key.with("b"));
    const double both = concentration(a, 0.2, 40, 2500) + concentration(b, 0.2, 40, 2500);
    a.insert(a.end(), b.begin(), b.end());
    EXPECT_NEAR(concentration(a, 0.2, 40, 2500), both, 1e-12 * (1 + both));
  }
}

TEST(AirLaws, ClearMeansUnderFromThenOn) {
  for (std::uint64_t i = 0; i < 60; ++i) {
    const Key key = Key{37}.with(i);
    const auto releases = random_releases(key);
    const double below = 1e-5 + 2e-4 * uniform(key.with("below"));
    const auto clear = clear_from_s(releases, 0.15, 45, below);
    ASSERT_TRUE(clear) << i;
    for (double t = *clear; t < *clear + 40000; t += 97)
      EXPECT_LE(concentration(releases, 0.15, 45, t), below * (1 + 1e-6)) << i << " " << t;
    if (*clear > 1) EXPECT_GT(concentration(releases, 0.15, 45, *clear - 0.5), below * (1 - 1e-3)) << i;
  }
}

}  // namespace
}  // namespace witnessline::app
