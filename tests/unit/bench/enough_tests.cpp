#include "bench/enough.h"

#include <gtest/gtest.h>

namespace witnessline::bench {
namespace {

Covering back_and_sides() { return {{0.33, 0.05}, {0.04, 0.05}, {45e-6, 0.15}, {0.2, 0.15}, {0.5, 0.15}, 3, 20e-6}; }

// Geometry: 10 x VS% / DFT_um m2 a litre; 20 % solids, 25 um, all of it landing: 8 m2 a litre.
TEST(Enough, WithoutSpreadIsCoverage) {
  const Covering c{{8, 0}, {0, 0}, {25e-6, 0}, {0.2, 0}, {1, 0}, 1, 0};
  EXPECT_NEAR(needed(c).middle_m3, 1e-3, 1e-12);
  EXPECT_EQ(chance_enough(c, {1.01e-3, 0}), 1);
  EXPECT_EQ(chance_enough(c, {0.99e-3, 0}), 0);
}

// The closed form against draws of the same lognormals, from hopeless to sure.
TEST(Enough, ClosedFormMeetsTheDraws) {
  const Covering c = back_and_sides();
  for (const double have_mL : {120.0, 180.0, 220.0, 260.0, 350.0, 500.0}) {
    const Spread have{have_mL * 1e-6, 0.03};
    EXPECT_NEAR(chance_enough(c, have), chance_enough_drawn(c, have, 3, 40000), 0.012) << have_mL;
  }
}

TEST(Enough, MoreInTheTinIsNeverLessSure) {
  double before = 0;
  for (double have_mL = 10; have_mL < 800; have_mL += 10) {
    const double chance = chance_enough(back_and_sides(), {have_mL * 1e-6, 0.03});
    EXPECT_GE(chance, before - 1e-12);
    before = chance;
  }
  EXPECT_GT(before, 0.99);
}

TEST(Enough, WhatIsLostInTheGunAloneCanUseUpTheTin) { EXPECT_EQ(chance_enough(back_and_sides(), {50e-6, 0.03}), 0); }

TEST(Enough, GivingUpOnlyHelps) {
  const Spread have{200e-6, 0.03};
  const double now = chance_enough(back_and_sides(), have);
  double before = now;
  const std::vector<GivenUp> list = give_up(back_and_sides(), have, 0.4, 30e-6);
  ASSERT_EQ(list.size(), 5u);
  for (const GivenUp& g : list) {
    EXPECT_GE(g.chance, now) << g.what;
    EXPECT_GE(g.chance_with, before) << g.what;
    before = g.chance_with;
  }
}

// Without spreads what is needed is geometry: (area + panels) x film / (solids x transfer) + fillings x 20 mL. Each
// offer is put to the volume it alone, and with those before it, brings that down to: a drop more is enough, a drop
// less not.
TEST(Enough, EachThingGivenUpSavesWhatGeometrySays) {
  const Covering c{{0.3, 0}, {0.1, 0}, {50e-6, 0}, {0.2, 0}, {0.5, 0}, 3, 20e-6};  // 200 mL and 60
  struct Row {
    const char* what;
    double alone_mL, so_far_mL;
  };
  const Row rows[] = {{"filling", 200 + 20, 200 + 20},
                      {"panels", 175 + 60, 175 + 20},
                      {"mist", 200 * 0.5 / 0.6 + 60, 175 * 0.5 / 0.6 + 20},
                      {"does not show", 200 - 0.4 * 150 + 60, (0.6 * 0.3 + 0.05) * 500 * 0.5 / 0.6 + 20},
                      {"thinnest film", 120 + 60, (0.6 * 0.3 + 0.05) * 500 * 0.5 / 0.6 * 0.6 + 20}};
  for (std::size_t i = 0; i < std::size(rows); ++i)
    for (const double drop_mL : {-0.1, 0.1}) {
      const auto alone = give_up(c, {(rows[i].alone_mL + drop_mL) * 1e-6, 0}, 0.4, 30e-6);
      const auto so_far = give_up(c, {(rows[i].so_far_mL + drop_mL) * 1e-6, 0}, 0.4, 30e-6);
      ASSERT_EQ(alone.size(), std::size(rows));
      EXPECT_NE(alone[i].what.find(rows[i].what), std::string::npos) << alone[i].what;
      EXPECT_EQ(alone[i].chance, drop_mL > 0 ? 1 : 0) << rows[i].what;
      EXPECT_EQ(so_far[i].chance_with, drop_mL > 0 ? 1 : 0) << rows[i].what;
    }
}

TEST(Enough, OnlyWhatThereIsCanBeGivenUp) {
  Covering c = back_and_sides();
  c.fillings = 1, c.panels_m2.value = 0, c.transfer.value = 0.65;
  EXPECT_TRUE(give_up(c, {200e-6, 0.03}, 0, 0).empty());
  EXPECT_TRUE(give_up(c, {200e-6, 0.03}, 0, 60e-6).empty()) << "thicker than asked for is nothing given up";
}

// Nobody fills a gun for a touch-up: 20 cm2 at 30 um take 1.5 mL, out of an airbrush that keeps a millilitre.
TEST(Enough, ATouchUpIsNotPutOnWithAGun) {
  const double touch_up_m3 = 20e-4 * 30e-6 / (0.2 * 0.2);
  EXPECT_EQ(usual_applicator(touch_up_m3), Applicator::airbrush);
  EXPECT_LT(filling_of(usual_applicator(touch_up_m3)).lost_m3, touch_up_m3);
  EXPECT_EQ(usual_applicator(80e-6), Applicator::small_gun);
  EXPECT_EQ(usual_applicator(500e-6), Applicator::gun);
}

TEST(Enough, EdgesAddTheirOvershoot) { EXPECT_NEAR(with_edges_m2(0.32, 2.4, 0.04), 0.416, 1e-12); }

}  // namespace
}  // namespace witnessline::bench
