#include "papers/ageing_card.h"

#include <gtest/gtest.h>

namespace witnessline::papers {
namespace {

Figure film(double m) {
  Figure f;
  f.value = m, f.band = {0.8 * m, 1.2 * m}, f.quantity = Quantity::film_thickness;
  return f;
}

struct Aged {
  Plan plan{"aged", "Aged", "", {}};
  PlanOutcome outcome;
  Job job;
  Aged() {
    Wear wear;
    wear.where.on = {"front bass"};
    plan.steps = {{"arm", "Where the arm lies.", wear}};
    StepOutcome before, after;
    before.id = "before", after.id = "arm", after.word = "wear";
    AgeingReading a;
    a.deepest = film(60e-6);
    a.stops = {{"colour", StopFor::next_coat, film(40e-6), film(32e-6)},
               {"old lacquer", StopFor::original, film(70e-6), film(56e-6)}};
    Figure width = film(3e-3);
    width.quantity = Quantity::length;
    a.rings = {{"colour", Origin::this_plan, {}, width}};
    a.edges = {{"wood", {}, film(230e-6), width}};
    a.chips = 12, a.scratches = 1;
    after.ageing = a;
    outcome.steps = {before, after};
    job.title = "A <made up> job";
  }
};

TEST(AgeingCard, SaysWhereToStopAndWhichRingToExpect) {
  const Aged aged;
  const std::string html = ageing_card(aged.plan, aged.outcome, aged.job, BenchUnits::metric);
  for (const char* stated : {"front bass", "where it is deepest, and stop", "which is original", "old lacquer",
                             "From the outside in", "Rubbed through?", "shows as a step", "230", "12 chips, 1 scratch",
                             "Not agreed", "thinner than planned", "A &lt;made up&gt; job"})
    EXPECT_NE(html.find(stated), std::string::npos) << stated << "\n" << html;
}

TEST(AgeingCard, NothingForAPlanThatAgesNothing) {
  Aged aged;
  aged.outcome.steps[1].ageing.reset();
  EXPECT_EQ(ageing_card(aged.plan, aged.outcome, aged.job, BenchUnits::metric), "");
}

}  // namespace
}  // namespace witnessline::papers
