#include "base/chance.h"

#include <gtest/gtest.h>

namespace witnessline::base {
namespace {

TEST(Chance, IsNeverNoneAndNeverCertain) {
  for (const double chance : {-1.0, 0.0, 0.003, 0.5, 0.999, 1.0, 2.0}) {
    EXPECT_GT(bounded_chance(chance), 0);
    EXPECT_LT(bounded_chance(chance), 1);
    EXPECT_EQ(in_a_hundred(chance).find("100 in"), std::string::npos);
    EXPECT_NE(in_a_hundred(chance), "0 in 100");
  }
  EXPECT_EQ(in_a_hundred(1.0), "more than 97 in 100");
  EXPECT_EQ(in_a_hundred(0.0), "less than 3 in 100");
  EXPECT_EQ(in_a_hundred(0.62), "62 in 100");
}

// Wilson 1927; worked example of Newcombe, Statistics in Medicine 17 (1998) 857, table I, method 3, from memory:
// 81 of 263 is 0.2553 to 0.3662, 15 of 148 is 0.0624 to 0.1605.
TEST(Chance, CountedChanceIsWilsonsInterval) {
  EXPECT_NEAR(counted_chance(81, 263).band.low, 0.2553, 1e-4);
  EXPECT_NEAR(counted_chance(81, 263).band.high, 0.3662, 1e-4);
  EXPECT_NEAR(counted_chance(15, 148).band.low, 0.0624, 1e-4);
  EXPECT_NEAR(counted_chance(15, 148).band.high, 0.1605, 1e-4);
}

TEST(Chance, AllOfFewDrawsIsNotSure) {
  const CountedChance all = counted_chance(32, 32);
  EXPECT_LT(all.value, 0.96);
  EXPECT_GT(all.value, 0.90);
  EXPECT_NEAR(all.band.low, 32.0 / (32.0 + 1.959964 * 1.959964), 1e-6);
  EXPECT_LT(counted_chance(3, 3).value, all.value);
}

}  // namespace
}  // namespace witnessline::base
