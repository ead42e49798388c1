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
  Spray days = std::get<Spray>(spray);
  days.coats = 10, days.flash_s = 3600;
  Spray one_day = days;
  one_day.flash_s = 1200;
  const auto hours = [&](const Spray& s) { return run_step({"s", "", s}, film, bench)->hands_on_s; };
  EXPECT_NEAR(hours(days) - hours(one_day), 3 * 3600, 1) << "nine hours of flashing off are two days: cleaned twice";
  EXPECT_GT(usual->gun_on_s, 0);
  EXPECT_EQ(slow->gun_on_s, usual->gun_on_s);
}

TEST(Strainer, IsTheSameForTheTinAndThePlanAndKeepsFlake) {
  Paint clear, flake, white;
  flake.metallic = true, white.pigmented = true;
  EXPECT_DOUBLE_EQ(strainer_m(white), 180e-6);
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

/// A check straight across a flat board, from its middle to both sides, under 100 um of clear.
struct Checked {
  Bench bench = bench_on(round_over(0.004, 0.06, 0.02, 1e-3));
  Film film = *existing_film({{"clear", "nitrocellulose_lacquer", Origin::original, 100e-6, 0, 0, {}}}, bench, 0);
  Checked() {
    auto marks = std::make_shared<std::vector<Mark>>();
    Mark check{MarkKind::check, {}, 20e-6f, 50e-6f, "clear"};
    const auto triangles = bench.body.triangles();
    const auto place = bench.body.positions();
    // A row of triangles across the flat front, x from -50 to 0 mm.
    for (double x_m = -50e-3; x_m <= -1e-3; x_m += 1e-3)
      for (std::uint32_t t = 0; t < triangles.size(); ++t) {
        const Vec3 a = place[triangles[t][0]];
        if (std::abs(static_cast<double>(a.x) - x_m) < 0.5e-3 && std::abs(static_cast<double>(a.y) - 0.01) < 0.4e-3) {
          check.path.push_back({t, 0.1f, 0.1f});
          break;
        }
      }
    marks->push_back(check);
    film.marks = marks;
  }
};

// Half of a check is worn away and the other half is not touched: it is cut there, and the rest keeps all its depth.
TEST(Marks, ACheckHalfOfWhichIsWornAwayKeepsTheOtherHalf) {
  const Checked old;
  const Mark& whole = old.film.marks->front();
  ASSERT_GT(whole.path.size(), 40u);
  Wear wear;
  wear.depth_m = 60e-6, wear.where.patches = {{-0.050, 0.01, {}, {}, 0.025, "front"}};
  const Result<StepResult> worn = run_step({"worn", "", wear}, old.film, old.bench);
  ASSERT_TRUE(worn) << worn.errors().front().text();
  double kept_share = 0;
  bool untouched = false;
  for (const Mark& mark : *worn->film.marks) {
    if (mark.kind != MarkKind::check) continue;
    kept_share += static_cast<double>(mark.path.size()) / static_cast<double>(whole.path.size());
    untouched |= mark.path.back().triangle == whole.path.back().triangle && mark.depth_m > 0.9f * whole.depth_m;
  }
  EXPECT_GT(kept_share, 0.4);
  EXPECT_LT(kept_share, 0.7);
  EXPECT_TRUE(untouched) << "the far end keeps its depth";
}

}  // namespace
}  // namespace witnessline::bench
