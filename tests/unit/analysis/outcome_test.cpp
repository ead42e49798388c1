// The outcome of a plan: totals that add up, and what keeps a plan from being ready.
#include "analysis/outcome.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "shapes/every_step.h"

namespace witnessline::analysis {
namespace {

using namespace shapes;

/// A small body in old lacquer, to be sprayed, left for `days`, and levelled.
struct Case {
  Bench bench = bench_on(torus(60, 24));
  Palette palette{real_library()};
  Job job;
  Plan plan;

  explicit Case(double days) {
    Spray clear;
    clear.mixture = "nitrocellulose_lacquer", clear.thinner = "lacquer_thinner", clear.thinning = 1, clear.coats = 4;
    Flat level;
    level.depth_m = 8e-6;
    plan = {
        "over", "Clear over", "", {{"clear", "", clear}, {"cure", "", Wait{days * 86400, {}}}, {"level", "", level}}};
    job.plans = {plan};
    job.shop.rate_per_h = 50;
  }
  PlanOutcome outcome() const {
    const Film film = found_film(bench);
    const Result<Run> done = run(plan, film, bench);
    EXPECT_TRUE(done);
    Result<PlanOutcome> read =
        outcome_of(plan, *done, job, real_library(), {bench.body, bench.woods, palette}, ColoursRead::target_only);
    EXPECT_TRUE(read) << (read ? "" : read.errors().front().text());
    return std::move(*read);
  }
};

const HoldPoint* soft_cut(const std::vector<HoldPoint>& holds) {
  const auto found = std::find_if(holds.begin(), holds.end(), [](const HoldPoint& hold) {
    return hold.question.find("thumbnail") != std::string::npos;
  });
  return found == holds.end() ? nullptr : &*found;
}

// Four wet coats of lacquer are not cut the same afternoon: primer is sanded next day, clear later. Source: common
// practice, no source.
TEST(Outcome, APlanThatCutsSoftFilmIsNotReady) {
  const PlanOutcome soon = Case(0.1).outcome();
  const HoldPoint* held = soft_cut(soon.open_hold_points);
  ASSERT_NE(held, nullptr);
  EXPECT_EQ(held->before, std::vector<std::string>{"level"});
  EXPECT_FALSE(soon.ready);
  EXPECT_EQ(soft_cut(Case(42).outcome().open_hold_points), nullptr);
}

TEST(Outcome, AnAnswerInTheJobLetsTheCutBegin) {
  Case soon(0.1);
  const HoldPoint asked = *soft_cut(soon.outcome().open_hold_points);
  HoldPoint answered = asked;
  answered.answer = "a card sprayed alongside takes no print", answered.met = true;
  soon.job.hold_points = {answered};
  const PlanOutcome after = soon.outcome();
  EXPECT_EQ(soft_cut(after.open_hold_points), nullptr);
  ASSERT_NE(soft_cut(after.met_hold_points), nullptr);
}

TEST(Outcome, TotalsAreTheSumsOfTheirSteps) {
  const PlanOutcome plan = Case(14).outcome();
  double hands_on_s = 0, waiting_s = 0;
  std::map<std::string, double> used_m3;
  for (const StepOutcome& step : plan.steps) {
    hands_on_s += step.hands_on.value, waiting_s += step.waiting.value;
    for (const MaterialUse& use : step.used) used_m3[use.material] += use.volume.value;
  }
  for (const WorkAround& work : plan.around) hands_on_s += work.time.value;
  EXPECT_NEAR(plan.hands_on.value, hands_on_s, 1e-9 * hands_on_s);
  EXPECT_NEAR(plan.waiting.value, waiting_s, 1e-9 * waiting_s);
  ASSERT_FALSE(plan.used.empty());
  // Cup, hose and panels come on top of what the steps lay.
  for (const MaterialUse& use : plan.used) EXPECT_GE(use.volume.value, used_m3.at(use.material)) << use.material;
  EXPECT_NEAR(plan.cost.value, plan.hands_on.value / 3600 * 50, 1e-9 * plan.cost.value) << "no tin has a price";
}

// Clear over old finish takes none of it away beyond what melts into it; every share lies between none and all.
TEST(Outcome, SharesLieBetweenNoneAndAll) {
  const PlanOutcome plan = Case(14).outcome();
  for (const Figure* share : {&plan.kept_fraction, &plan.touched_fraction}) {
    EXPECT_GE(share->value, 0.0) << share->name;
    EXPECT_LE(share->value, 1.0) << share->name;
  }
}

TEST(Outcome, EveryFigureIsVisitedOnceAndIsANumberOrSaysSo) {
  PlanOutcome plan = Case(14).outcome();
  std::map<std::string, int> visits;
  each_figure(plan, [&](const std::string& path, Figure& figure) {
    ++visits[path];
    EXPECT_FALSE(std::isinf(figure.value)) << path;
  });
  EXPECT_GT(visits.size(), 50u);
  for (const auto& [path, times] : visits) EXPECT_EQ(times, 1) << path;
}

}  // namespace
}  // namespace witnessline::analysis
