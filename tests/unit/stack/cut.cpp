#include <gtest/gtest.h>

#include "base/result.h"
#include "stack/stack.h"

namespace witnessline::stack {
namespace {

Stack of(std::vector<double> dry_um, double solvent_share = 0) {
  Stack stack;
  for (const double d : dry_um) {
    Layer layer;
    layer.dry_m = d * 1e-6;
    layer.solvent_m = d > 0 ? layer.dry_m * solvent_share : 0.0;
    stack.layers.push_back(layer);
  }
  return stack;
}

TEST(Cut, ThinnerThanTheTopCoatLeavesTheRest) {
  Stack stack = of({20, 30});
  const Cut taken = cut(stack, 10e-6);
  EXPECT_NEAR(stack.layers[1].dry_m, 20e-6, 1e-18);
  EXPECT_NEAR(taken.dry_removed_m[1], 10e-6, 1e-18);
  EXPECT_DOUBLE_EQ(stack.layers[0].dry_m, 20e-6);
  EXPECT_EQ(taken.wood_removed_m, 0);
}

TEST(Cut, ThroughACoatRecordsHowFarItPassed) {
  Stack stack = of({20, 30});
  cut(stack, 35e-6);
  EXPECT_NEAR(stack.layers[1].dry_m, -5e-6, 1e-18);
  EXPECT_NEAR(stack.layers[0].dry_m, 15e-6, 1e-18);
  cut(stack, 5e-6);  // a second cut goes further below the coat that is gone
  EXPECT_NEAR(stack.layers[1].dry_m, -10e-6, 1e-18);
  EXPECT_NEAR(stack.layers[0].dry_m, 10e-6, 1e-18);
  EXPECT_EQ(exposed_layer(stack), 0);
}

TEST(Cut, IntoTheWood) {
  Stack stack = of({20, 30});
  const Cut taken = cut(stack, 60e-6);
  EXPECT_NEAR(taken.wood_removed_m, 10e-6, 1e-18);
  EXPECT_NEAR(stack.wood_cut_m, 10e-6, 1e-18);
  EXPECT_NEAR(stack.layers[0].dry_m, -10e-6, 1e-18);
  EXPECT_NEAR(stack.layers[1].dry_m, -30e-6, 1e-18);
  EXPECT_EQ(exposed_layer(stack), -1);
  EXPECT_EQ(stack.thickness_m(), 0);
}

TEST(Cut, SolventGoesInProportion) {
  Stack stack = of({40}, 0.25);  // 50 um with its solvent
  const Cut taken = cut(stack, 25e-6);
  EXPECT_NEAR(stack.layers[0].dry_m, 20e-6, 1e-18);
  EXPECT_NEAR(stack.layers[0].solvent_m, 5e-6, 1e-18);
  EXPECT_NEAR(taken.solvent_removed_m[0], 5e-6, 1e-18);
}

TEST(Cut, TheMeltedPartGoesFirst) {
  Stack stack = of({40});
  stack.layers[0].melted = 0.25;  // the outer 10 um
  cut(stack, 4e-6);
  EXPECT_NEAR(stack.layers[0].melted * stack.layers[0].dry_m, 6e-6, 1e-15);
  cut(stack, 10e-6);
  EXPECT_EQ(stack.layers[0].melted, 0);
}

TEST(Cut, AZeroLayerChangesNothing) {
  Stack with = of({20, 0, 30}), without = of({20, 30});
  cut(with, 42e-6), cut(without, 42e-6);
  EXPECT_EQ(with.layers[0].dry_m, without.layers[0].dry_m);
  EXPECT_EQ(with.layers[2].dry_m, without.layers[1].dry_m);
  EXPECT_EQ(with.thickness_m(), without.thickness_m());
}

TEST(Cut, ANegativeCutIsABrokenPromise) {
  Stack stack = of({20});
  EXPECT_THROW(cut(stack, -1e-6), BrokenPromise);
}

}  // namespace
}  // namespace witnessline::stack
