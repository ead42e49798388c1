// Cups and the viscosity of a tin.
#include <gtest/gtest.h>

#include <cmath>

#include "solvents/cup.h"
#include "solvents/viscosity.h"

namespace witnessline::solvents {
namespace {

const TinMakeup tin{0.20, 945, 850};

TEST(Cup, SecondsComeBackThroughViscosity) {
  for (const Cup& cup : cups())
    for (const double share : {0.0, 0.3, 1.0}) {
      const double seconds = cup.shortest_s + share * (cup.longest_s - cup.shortest_s);
      const Result<double> viscosity_m2_s = viscosity_of_seconds_m2_s(cup, seconds);
      ASSERT_TRUE(viscosity_m2_s) << cup.id;
      const Result<double> back = seconds_of_viscosity_s(cup, *viscosity_m2_s);
      ASSERT_TRUE(back) << cup.id;
      EXPECT_NEAR(*back, seconds, 1e-9);
    }
}

TEST(Cup, SaysWhichCupReadsWhatThisOneCannot) {
  EXPECT_FALSE(viscosity_of_seconds_m2_s(*find_cup("ford_4"), 12));
  EXPECT_FALSE(viscosity_of_seconds_m2_s(*find_cup("ford_4"), 101));
  EXPECT_FALSE(viscosity_of_seconds_m2_s(*find_cup("ford_4"), std::nan("")));
  const Result<double> thin = seconds_of_viscosity_s(*find_cup("ford_4"), 25e-6);
  ASSERT_FALSE(thin);
  EXPECT_NE(thin.errors()[0].fix.find("ford_1"), std::string::npos) << thin.errors()[0].fix;
  EXPECT_EQ(find_cup("ford_7"), nullptr);
}

// Readings made from a law of known constants must give those constants back.
TEST(Viscosity, ThreeReadingsGiveTheLawBack) {
  SolutionViscosity truth;
  truth.reach = 80, truth.crowding = 0.16, truth.flow_energy_J_mol = 28e3, truth.tin = tin;
  const auto reading = [&](double ratio, double temperature_K) {
    return TinReading{truth.kinematic_m2_s(ratio, temperature_K), temperature_K, ratio};
  };
  const std::vector<TinReading> readings{reading(0, 294.15), reading(0.5, 294.15), reading(0.5, 287.15)};
  const Result<FittedViscosity> fit = fit_viscosity(tin, readings);
  ASSERT_TRUE(fit);
  EXPECT_TRUE(fit->notes.empty());
  EXPECT_NEAR(fit->law.reach, 80, 1e-6);
  EXPECT_NEAR(fit->law.crowding, 0.16, 1e-9);
  EXPECT_NEAR(fit->law.flow_energy_J_mol, 28e3, 1e-3);
  const double wanted = truth.kinematic_m2_s(1.3, 290.0);
  EXPECT_NEAR(*fit->law.thinning_ratio(wanted, 290.0), 1.3, 1e-6);
}

// Least squares: readings with one bent by 3 % up and one by 3 % down give the law within that; one misread by half is
// named. The normal equations hold: no neighbour of the fit has smaller squares.
TEST(Viscosity, MoreReadingsThanNeededAreFittedByLeastSquares) {
  SolutionViscosity truth;
  truth.reach = 80, truth.crowding = 0.16, truth.tin = tin;
  std::vector<TinReading> readings;
  for (const double ratio : {0.0, 0.25, 0.5, 1.0, 1.5})
    readings.push_back({truth.kinematic_m2_s(ratio, 294.15), 294.15, ratio});
  const Result<FittedViscosity> exact = fit_viscosity(tin, readings);
  ASSERT_TRUE(exact);
  EXPECT_NEAR(exact->law.reach, 80, 1e-5);
  EXPECT_LT(exact->misfit_frac, 1e-8);
  readings[1].viscosity_m2_s *= 1.03, readings[3].viscosity_m2_s *= 0.97;
  const Result<FittedViscosity> bent = fit_viscosity(tin, readings);
  ASSERT_TRUE(bent);
  EXPECT_NEAR(bent->law.reach, 80, 10);
  const auto squares = [&](double reach, double slope) {
    SolutionViscosity law = bent->law;
    law.reach = reach, law.crowding = slope / reach;
    double sum = 0;
    for (const TinReading& r : readings)
      sum += std::pow(std::log(r.viscosity_m2_s / law.kinematic_m2_s(r.thinner_per_part_ratio, r.temperature_K)), 2);
    return sum;
  };
  const double reach = bent->law.reach, slope = bent->law.crowding * reach, least = squares(reach, slope);
  for (const double by : {-0.01, 0.01}) {
    EXPECT_GT(squares(reach * (1 + by), slope), least);
    EXPECT_GT(squares(reach, slope * (1 + by)), least);
  }
  readings[3].viscosity_m2_s *= 1.5;
  const Result<FittedViscosity> misread = fit_viscosity(tin, readings);
  ASSERT_TRUE(misread);
  EXPECT_EQ(misread->worst_reading, 3u);
  EXPECT_NE(misread->notes.back().text.find("read that one again"), std::string::npos) << misread->notes.back().text;
}

TEST(Viscosity, FallsWithThinnerAndWithWarmth) {
  const TinReading reading{190e-6, 294.15, 0};
  const SolutionViscosity law = fit_viscosity(tin, {&reading, 1})->law;
  EXPECT_NEAR(law.kinematic_m2_s(0, 294.15), 190e-6, 1e-12);
  for (double ratio = 0; ratio < 5; ratio += 0.1) {
    EXPECT_GT(law.kinematic_m2_s(ratio, 294.15), law.kinematic_m2_s(ratio + 0.1, 294.15));
    EXPECT_GT(law.kinematic_m2_s(ratio, 288.15), law.kinematic_m2_s(ratio, 294.15));
  }
  const Result<Figure> now = thinning_figure(tin, 0.03, {&reading, 1}, 21e-6, 294.15),
                       colder = thinning_figure(tin, 0.03, {&reading, 1}, 21e-6, 288.15);
  EXPECT_GT(colder->value, now->value);
  EXPECT_LT(now->band.low, now->value);
  EXPECT_GT(now->band.high, now->value);
  EXPECT_EQ(now->kind, Kind::estimate);
}

// A second reading takes the estimate out of the answer, so its band shrinks.
TEST(Viscosity, ASecondReadingNarrowsTheBand) {
  const TinReading one{190e-6, 294.15, 0};
  const SolutionViscosity law = fit_viscosity(tin, {&one, 1})->law;
  const std::vector<TinReading> two{one, {law.kinematic_m2_s(0.8, 294.15), 294.15, 0.8}};
  const Result<Figure> loose = thinning_figure(tin, 0.03, {&one, 1}, 21e-6, 294.15),
                       tight = thinning_figure(tin, 0.03, two, 21e-6, 294.15);
  EXPECT_NEAR(tight->value, loose->value, 1e-6);
  EXPECT_LT(tight->band.high - tight->band.low, 0.6 * (loose->band.high - loose->band.low));
}

TEST(Viscosity, RefusesReadingsThatContradictEachOther) {
  EXPECT_FALSE(fit_viscosity(tin, {}));
  const std::vector<TinReading> thicker_when_thinned{{100e-6, 294.15, 0}, {120e-6, 294.15, 0.5}},
      thicker_when_warm{{100e-6, 288.15, 0}, {120e-6, 294.15, 0}}, bare_solvent{{0.3e-6, 294.15, 0}};
  EXPECT_FALSE(fit_viscosity(tin, thicker_when_thinned));
  EXPECT_FALSE(fit_viscosity(tin, thicker_when_warm));
  EXPECT_FALSE(fit_viscosity(tin, bare_solvent));
  TinMakeup empty = tin;
  empty.solids_frac = 0;
  const TinReading reading{100e-6, 294.15, 0};
  EXPECT_FALSE(fit_viscosity(empty, {&reading, 1}));
}

}  // namespace
}  // namespace witnessline::solvents
