#include "papers/safety_sheet.h"

#include <gtest/gtest.h>

namespace witnessline::papers {
namespace {

// Two steps meet one solvent: what the sheet says of cartridges holds for the worse of them, whichever comes first.
TEST(SafetySheet, CartridgesAreJudgedWhereTheyAreWorst) {
  StepAir light, heavy;
  light.step = "wipe", heavy.step = "clear";
  light.cartridges = {{"toluene", CartridgeFit::holds, "It holds.", "cartridge_rule"}};
  heavy.cartridges = {{"toluene", CartridgeFit::too_much, "Too much of it.", "cartridge_rule"}};
  for (const bool light_first : {true, false}) {
    PlanOutcome plan;
    plan.air = light_first ? std::vector{light, heavy} : std::vector{heavy, light};
    Workings workings(BenchUnits::metric);
    const std::string html = safety_sheet(plan, Job{}, workings);
    EXPECT_NE(html.find("Too much of it."), std::string::npos);
    EXPECT_EQ(html.find("It holds."), std::string::npos);
  }
}

}  // namespace
}  // namespace witnessline::papers
