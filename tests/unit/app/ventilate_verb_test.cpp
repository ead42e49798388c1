#include "app/verbs/ventilate.h"

#include <gtest/gtest.h>

#include <tuple>

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
  for (const auto& [paint, poison] :
       {std::pair{"red_lead", "lead"}, std::pair{"chrome_yellow", "lead and chromate"},
        std::pair{"emerald_green", "arsenic"}, std::pair{"two_pack_polyurethane", "isocyanate"},
        std::pair{"catalysed_lacquer", "formaldehyde"}}) {
    const std::string text = spraying(paint, "supplied_air", 90000);
    EXPECT_EQ(text.find("DANGER: "), 0u) << text;
    EXPECT_NE(text.find(std::string("no airflow is enough for a mist that holds ") + poison), std::string::npos)
        << text;
    EXPECT_NE(text.find("no time to re-enter is given"), std::string::npos) << text;
    EXPECT_EQ(text.find("after the gun stops"), std::string::npos) << text;
  }
  const std::string clear = spraying("nitrocellulose_lacquer", "none", 90000);
  EXPECT_NE(clear.find("90000 m3/h is enough: where you breathe, vapour stays far below"), std::string::npos) << clear;
  EXPECT_NE(clear.find("for 15 min after the gun stops"), std::string::npos) << "never after seconds:\n" << clear;
  EXPECT_NE(clear.find("CAUTION  Dry nitrocellulose burns fiercely"), std::string::npos) << clear;
  EXPECT_NE(clear.find("temperature class T2"), std::string::npos) << clear;
}

// Three coats of lacquer from a usual gun in a room of 4 x 3 x 2.5 m: no fan a shop has airs the room, and the answer
// says what to do instead of naming a storm.
TEST(VentilateVerb, ASmallRoomIsSentToABooth) {
  const auto in = [](const std::string& room) {
    const auto answered = ask_json(ventilate_verb(),
                                   R"({"rate_mL_min": 150, "coats": 3, "coat_min": 4, "flash_min": 60,
      "sprayed": [{"material": "lacquer_thinner", "volume_pct": 100}],
      "contents": [{"of": "lacquer_thinner", "known_from": "recipe", "solvents": [
        {"material": "butyl_acetate", "volume_pct": 60}, {"material": "toluene", "volume_pct": 40}]}],
      "room": )" + room + "}",
                                   PROJECT_FOLDER, BenchUnits::metric);
    EXPECT_TRUE(answered) << answered.errors().front().text();
    return answered ? answered->text : "";
  };
  const std::string box = in(R"({"volume_m3": 30, "fan_m3_h": 1500, "booth_face_m2": 0, "respirator": "half_mask"})");
  EXPECT_NE(box.find("Airing a whole room is the wrong tool for spraying"), std::string::npos) << box;
  EXPECT_NE(box.find("open-face booth"), std::string::npos) << box;
  EXPECT_NE(box.find("immediately dangerous to life"), std::string::npos) << box;
  const std::string booth = in(R"({"volume_m3": 30, "fan_m3_h": 2800, "booth_face_m2": 1, "respirator": "full_face"})");
  EXPECT_NE(booth.find("only with the respirator on"), std::string::npos) << booth;
  const std::string wide = in(R"({"volume_m3": 30, "fan_m3_h": 1500, "booth_face_m2": 1, "respirator": "full_face"})");
  EXPECT_NE(wide.find("close it down to 0.8"), std::string::npos) << wide;
  EXPECT_EQ(in(R"({"outdoors": true, "respirator": "full_face"})").find("m3 missing"), std::string::npos);
}

std::string in_the_open(const std::string& paint, const std::string& solvent) {
  const auto answered = ask_json(ventilate_verb(),
                                 R"({"rate_mL_min": 150, "coats": 3, "coat_min": 4, "flash_min": 60,
      "sprayed": [{"material": ")" + paint +
                                     R"(", "volume_pct": 100}],
      "contents": [{"of": ")" + paint +
                                     R"(", "known_from": "invented", "solvents": [{"material": ")" + solvent +
                                     R"(", "volume_pct": 100}]}],
      "room": {"outdoors": true, "respirator": "half_mask"}})",
                                 PROJECT_FOLDER, BenchUnits::metric);
  EXPECT_TRUE(answered) << answered.errors().front().text();
  return answered ? answered->text : "";
}

TEST(VentilateVerb, OutdoorsIsNoCureForPoison) {
  for (const auto& [paint, solvent, poison] : {std::tuple{"polyester", "styrene", "styrene"},
                                               std::tuple{"two_pack_polyurethane", "butyl_acetate", "isocyanate"},
                                               std::tuple{"catalysed_lacquer", "ethanol", "formaldehyde"}}) {
    const std::string text = in_the_open(paint, solvent);
    EXPECT_EQ(text.find("open air is enough"), std::string::npos) << text;
    EXPECT_NE(text.find("outdoors, drying: keep everyone away and upwind"), std::string::npos) << text;
    EXPECT_NE(text.find("Keep everyone without supplied air away"), std::string::npos) << text;
    EXPECT_NE(text.find(std::string("No cartridge can be relied on against ") + poison), std::string::npos) << text;
    EXPECT_EQ(text.find("for a shift"), std::string::npos) << text;
    EXPECT_EQ(text.find("clearance test of the booth"), std::string::npos) << text;
  }
}

TEST(VentilateVerb, RepeatsNothingAndIsNoMorePreciseThanItIsSure) {
  const auto answered = ask_file(ventilate_verb(), example_folder() + "/ventilate.toml", BenchUnits::metric);
  ASSERT_TRUE(answered) << answered.errors().front().text();
  const std::string& text = answered->text;
  const auto times = [&](const std::string& words) {
    int found = 0;
    for (std::size_t at = text.find(words); at != text.npos; at = text.find(words, at + 1)) ++found;
    return found;
  };
  EXPECT_EQ(times("toluene: toluene"), 0) << text;
  EXPECT_EQ(times("ignition source"), 0) << "the sentence that names the flash point stands for them:\n" << text;
  EXPECT_EQ(times("through the skin"), 1) << text;
  EXPECT_EQ(times("Cartridges cannot be relied on"), 1) << text;
  // No demand of the air above 10 000 m3/h in figures.
  for (std::size_t at = text.find(" m3/h"); at != text.npos; at = text.find(" m3/h", at + 1))
    EXPECT_LE(at - text.rfind(' ', at - 1) - 1, 4u) << text.substr(text.rfind('\n', at), 90);
}

TEST(VentilateVerb, NoCartridgeIsCreditedPastItsLimit) {
  const auto answered = ask_file(ventilate_verb(), example_folder() + "/ventilate.toml", BenchUnits::metric);
  ASSERT_TRUE(answered) << answered.errors().front().text();
  // Acetone passes a cartridge: it is counted as breathed, and what the booth lets by of it is little enough.
  EXPECT_NE(answered->text.find("only with the respirator on is it enough to breathe"), std::string::npos)
      << answered->text;
  EXPECT_NE(answered->text.find("so it passes an organic-vapour cartridge early: none is credited with it"),
            std::string::npos);
  EXPECT_NE(answered->text.find("Cartridges cannot be relied on"), std::string::npos);
  EXPECT_EQ(answered->text.find("credited with the rest"), std::string::npos);
}

}  // namespace
}  // namespace witnessline::app
