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
  EXPECT_NE(text.find("Do not spray, sand dry, scrape to dust or heat red lead (lead)."), std::string::npos) << text;
  EXPECT_NE(text.find("Do not use it."), std::string::npos) << text;
  for (const char* step : {"Prove it on scrap", "Next:", "Spray it out", "spray it out", "Strain it"})
    EXPECT_EQ(text.find(step), std::string::npos) << step << " in " << text;
}

TEST(TinVerb, AnAgedTwoPackOrPolyesterIsNotUsedHoweverItLooks) {
  for (const char* tin : {R"("material": "two_pack_polyurethane", "filled_years_ago": 3)",
                          R"("material": "polyester", "filled_years_ago": 5)"}) {
    const std::string text = told_of(std::string(R"({"tin": {)") + tin +
                                     R"(, "pressure": "good", "rim": "good", "stir_up": "good", "gel": "good",
      "residue_g": 0.5, "strained_mL": 500, "cup_s": 25, "cup_new_s": 24,
      "spray_outs": [{"on": "glass", "waited_h": 200, "found": "good"}]}})");
    EXPECT_NE(text.find("Do not use it."), std::string::npos) << text;
    EXPECT_NE(text.find("such paint keeps"), std::string::npos) << text;
  }
}

TEST(TinVerb, PigmentAmongTheGrainsOfAnOldClearTinCountsAsLeaded) {
  const std::string coloured = told_of(R"({"tin": {"material": "shellac", "filled_years_ago": 50},
                  "grains": [{"name": "yellow", "diameter_um": 1, "density_kg_m3": 5900, "volume_pct": 3}]})");
  EXPECT_EQ(coloured.find("DANGER: "), 0u) << coloured;
  EXPECT_NE(coloured.find("counts as leaded"), std::string::npos) << coloured;
  EXPECT_NE(coloured.find("Next: have a laboratory test it"), std::string::npos) << coloured;
  const std::string clear = told_of(R"({"tin": {"material": "shellac", "filled_years_ago": 50}})");
  EXPECT_EQ(clear.find("leaded"), std::string::npos) << clear;
}

TEST(TinVerb, ARimOfNitrocelluloseIsADanger) {
  const std::string text = told_of(R"({"tin": {"material": "nitrocellulose_lacquer", "filled_years_ago": 3}})");
  EXPECT_EQ(text.find("DANGER: Dry crust on the rim"), 0u) << text;
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
