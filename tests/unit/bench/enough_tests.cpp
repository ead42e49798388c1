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

TEST(Enough, EdgesAddTheirOvershoot) { EXPECT_NEAR(with_edges_m2(0.32, 2.4, 0.04), 0.416, 1e-12); }

}  // namespace
}  // namespace witnessline::bench
