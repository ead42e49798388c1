#include "app/verbs/ventilate.h"

#include <gtest/gtest.h>

#include "app/verb.h"

namespace witnessline::app {
namespace {

std::string spraying(const std::string& paint, const std::string& respirator, double fan_m3_h) {
  const std::string json =
      R"({"rate_mL_min": 5, "coats": 1, "coat_min": 1, "sprayed": [{"material": ")" + paint +
      R"(", "volume_pct": 100}], "contents": [{"of": ")" + paint +
      R"(", "known_from": "invented", "solvents": [{"material": "butyl_acetate", "volume_pct": 100}]}],
      "room": {"volume_m3": 1000, "fan_m3_h": )" +
      std::to_string(fan_m3_h) + R"(, "booth_face_m2": 1, "mixing_factor": 3, "respirator": ")" + respirator + R"("}})";
  const auto answered = ask_json(ventilate_verb(), json, PROJECT_FOLDER, BenchUnits::metric);
  EXPECT_TRUE(answered) << answered.errors().front().text();
  return answered ? answered->text : "";
}

TEST(VentilateVerb, PoisonousMistIsNeverApproved) {
  for (const auto& [paint, poison] : {std::pair{"red_lead", "lead"}, std::pair{"chrome_yellow", "lead and chromate"},
                                      std::pair{"emerald_green", "arsenic"}, std::pair{"polyurethane", "isocyanate"},
                                      std::pair{"catalysed_lacquer", "formaldehyde"}}) {
    const std::string text = spraying(paint, "supplied_air", 90000);
    EXPECT_EQ(text.find("Do not spray"), 0u) << text;
    EXPECT_NE(text.find(std::string("it holds ") + poison), std::string::npos) << text;
    EXPECT_NE(text.find("do not hold mist"), std::string::npos) << text;
    EXPECT_EQ(text.find("are enough"), std::string::npos) << text;
  }
  const std::string clear = spraying("nitrocellulose_lacquer", "none", 90000);
  EXPECT_NE(clear.find("are enough"), std::string::npos) << clear;
  EXPECT_NE(clear.find("CAUTION  nitrocellulose lacquer, clear gloss: Dry nitrocellulose dust"), std::string::npos)
      << clear;
}

TEST(VentilateVerb, NoCartridgeIsCreditedPastItsLimit) {
  const auto answered = ask_file(ventilate_verb(), example_folder() + "/ventilate.toml", BenchUnits::metric);
  ASSERT_TRUE(answered) << answered.errors().front().text();
  EXPECT_NE(answered->text.find("spraying room: breathing rules; the fan's 4200 m3/h are too little"),
            std::string::npos)
      << answered->text;
  EXPECT_NE(answered->text.find("Cartridges cannot be relied on"), std::string::npos);
  EXPECT_EQ(answered->text.find("credited with the rest"), std::string::npos);
}

}  // namespace
}  // namespace witnessline::app
