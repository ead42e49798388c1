#include "app/verbs/tin.h"

#include <gtest/gtest.h>

#include "app/verb.h"

namespace witnessline::app {
namespace {

std::string told_of(const std::string& json) {
  const auto answered = ask_json(tin_verb(), json, PROJECT_FOLDER, BenchUnits::metric);
  EXPECT_TRUE(answered) << answered.errors().front().text();
  return answered ? answered->text : "";
}

TEST(TinVerb, ALeadedTinSaysDangerFirstAndNothingToSpray) {
  const std::string text = told_of(R"({"tin": {"material": "red_lead", "filled_years_ago": 5}})");
  EXPECT_EQ(text.find("DANGER: "), 0u) << text;
  EXPECT_NE(text.find("It holds lead or chromate: do not spray it."), std::string::npos) << text;
  EXPECT_NE(text.find("Do not use it."), std::string::npos) << text;
  for (const char* step : {"Prove it on scrap", "Next:", "Spray it out", "spray it out", "Strain it"})
    EXPECT_EQ(text.find(step), std::string::npos) << step << " in " << text;
}

TEST(TinVerb, ATinThatIsNotToBeUsedHasNoNextStep) {
  const std::string bad = told_of(R"({"tin": {"material": "shellac", "gel": "bad"}})");
  EXPECT_NE(bad.find("Do not use it."), std::string::npos) << bad;
  EXPECT_EQ(bad.find("Next:"), std::string::npos) << bad;
  const std::string open = told_of(R"({"tin": {"material": "shellac"}})");
  EXPECT_NE(open.find("Next:"), std::string::npos) << open;
}

}  // namespace
}  // namespace witnessline::app
