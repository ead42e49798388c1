// What goes on around the steps: the gun's losses, the strainer, the shop's own times; and whether a tin is enough.
#include <gtest/gtest.h>

#include "base/random.h"
#include "bench/enough.h"
#include "bench/shop_time.h"
#include "bench/strainer.h"
#include "shapes/every_step.h"

namespace witnessline::bench {
namespace {

using namespace shapes;

TEST(ShopTime, TheLogOfTheShopOverridesTheUsualAndNarrowsWithItsLength) {
  const KnownTime usual = time_of(ShopWork::strip_down, {}, 1);
  EXPECT_EQ(usual.kind, Kind::estimate);
  EXPECT_DOUBLE_EQ(time_of(ShopWork::strip_down, {}, 2).time_s, 2 * usual.time_s) << "a slow shop";
  const std::vector<ShopTime> few{{ShopWork::strip_down, 7200, 1}}, many{{ShopWork::strip_down, 7200, 40}};
  const KnownTime once = time_of(ShopWork::strip_down, few, 2), often = time_of(ShopWork::strip_down, many, 2);
  EXPECT_EQ(once.time_s, 7200) << "measured in this shop: its pace is in it";
  EXPECT_EQ(once.kind, Kind::measured);
  EXPECT_LT(often.band_s.high, once.band_s.high);
  EXPECT_EQ(time_of(ShopWork::reassembly, few, 1).kind, Kind::estimate);
}

TEST(ShopTime, AGunThatIsCleanedSlowlyTakesLongerAndIsOnNoLonger) {
  Bench bench = bench_on(torus(60, 24));
  const Film film = found_film(bench);
  const Step spray = sample(static_cast<const Spray*>(nullptr));
  const Result<StepResult> usual = run_step({"s", "", spray}, film, bench);
  bench.shop.times = {{ShopWork::gun_cleaning, 3 * 3600.0, 5}};
  const Result<StepResult> slow = run_step({"s", "", spray}, film, bench);
  ASSERT_TRUE(usual && slow);
  EXPECT_NEAR(slow->hands_on_s - usual->hands_on_s, 2.5 * 3600, 1);
  EXPECT_GT(usual->gun_on_s, 0);
  EXPECT_EQ(slow->gun_on_s, usual->gun_on_s);
}

TEST(Strainer, IsTheSameForTheTinAndThePlanAndKeepsFlake) {
  Material clear = material("clear", Role::clear, Binder::acrylic, 900), flake = clear;
  flake.metallic = true;
  EXPECT_DOUBLE_EQ(strainer_m(clear), 125e-6);
  EXPECT_DOUBLE_EQ(strainer_m(flake), 250e-6);
  EXPECT_DOUBLE_EQ(strainer_m(flake, 60e-6), 355e-6);
  EXPECT_GE(strainer_m(clear, 20e-6), 5 * 20e-6);
}

// Closed against hand arithmetic: 0.3 m2 of 100 um at 20 % solids and half landing take 300 mL, a filling 20 mL more.
TEST(Enough, NeverCertainAndTheTinItselfIsPartOfIt) {
  const Covering c{{0.3, 0.05}, {0, 0.05}, {100e-6, 0.15}, {0.2, 0.15}, {0.5, 0.15}, 1, 20e-6};
  EXPECT_NEAR(enough_of(c, {1, 0.03}, 1).need.middle_m3, 320e-6, 1e-9);
  const Enough full = enough_of(c, {5e-3, 0.03}, chance_it_sprays(TinVerdict::use));
  EXPECT_TRUE(full.plenty);
  EXPECT_LT(full.chance, 1);
  EXPECT_LT(enough_of(c, {5e-3, 0.03}, chance_it_sprays({})).chance, full.chance) << "nobody tried it";
  EXPECT_LT(enough_of(c, {5e-3, 0.03}, chance_it_sprays(TinVerdict::prove_on_scrap)).chance, 0.9);
  EXPECT_GT(enough_of(c, {1e-6, 0.03}, 1).chance, 0);
  EXPECT_FALSE(enough_of(c, {1e-6, 0.03}, 1).plenty);
}

}  // namespace
}  // namespace witnessline::bench
