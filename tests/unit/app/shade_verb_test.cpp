#include <fmt/format.h>
#include <gtest/gtest.h>

#include "app/verb.h"
#include "app/verbs/shade.h"
#include "app/verbs/yellowed_clear.h"

namespace witnessline::app {
namespace {

Result<Answered> asked(const Verb& verb, const std::string& json) {
  return ask_json(verb, json, PROJECT_FOLDER, BenchUnits::metric);
}

const char* toners = R"("toners": [{"material": "brown_toner"}, {"material": "amber_toner"}])";

TEST(ShadeVerb, BareHalfComesBackToTheOldOne) {
  const auto answered = ask_file(shade_verb(), example_folder() + "/shade.toml", BenchUnits::metric);
  ASSERT_TRUE(answered);
  const std::string json = print_json(answered->answer);
  EXPECT_NE(answered->text.find("on a separate part"), std::string::npos) << answered->text;
  EXPECT_NE(answered->text.find("after coat 1"), std::string::npos);
  EXPECT_NE(json.find("\"aged_delta_e\""), std::string::npos);
}

// Common practice, no source: what is darker than the target cannot be toned to it.
TEST(ShadeVerb, WalnutIsNotShadedToSpruce) {
  const auto answered = asked(
      shade_verb(), fmt::format(R"({{"target": {{"wood": "spruce"}}, "ground": {{"wood": "walnut"}}, {}}})", toners));
  ASSERT_TRUE(answered);
  EXPECT_EQ(answered->text.find("This target cannot be reached, so spray nothing: the ground is too dark"), 0u)
      << answered->text;
  EXPECT_NE(answered->text.find("out of reach"), std::string::npos) << answered->text;
  EXPECT_NE(answered->text.find("reflects more light than this ground can"), std::string::npos);
  EXPECT_NE(answered->text.find("too dark"), std::string::npos);
}

TEST(ShadeVerb, YellowClearOverBlueIsReportedBeforeItIsSprayed) {
  const auto answered =
      asked(shade_verb(), fmt::format(R"({{"target": {{"lab": [45, -8, -30]}}, "ground": {{"lab": [47, -14, -34]}},
        "over": [{{"material": "nitrocellulose_lacquer", "thickness_um": 130, "light_Mlx_h": 120}}], {}}})",
                                      toners));
  ASSERT_TRUE(answered);
  EXPECT_NE(answered->text.find("blue turns blue-green"), std::string::npos) << answered->text;
}

// A toner is a dye in clear: 10 um of it darken a pale ground and leave it in sight, whatever its name says.
TEST(ShadeVerb, ABlackTonerThatWillNotHideIsReportedBeforeItIsSprayed) {
  const auto answered = asked(shade_verb(), R"({"target": {"lab": [28, 9, 16]}, "ground": {"wood": "spruce"},
      "toners": [{"material": "black_toner"}, {"material": "brown_toner"}]})");
  ASSERT_TRUE(answered);
  EXPECT_NE(answered->text.find("do not hide"), std::string::npos) << answered->text;
  EXPECT_NE(answered->text.find("brown, not black"), std::string::npos) << answered->text;
  EXPECT_NE(answered->text.find("too weak"), std::string::npos) << answered->text;
  EXPECT_EQ(answered->text.find("has the hue needed"), std::string::npos) << answered->text;
}

TEST(ShadeVerb, FaultsNameTheirKeys) {
  const auto refused = asked(
      shade_verb(), fmt::format(R"({{"target": {{"lab": [50, 10]}}, "ground": {{"wood": "sprace"}}, {}}})", toners));
  ASSERT_FALSE(refused);
  ASSERT_EQ(refused.errors().size(), 2u);
  EXPECT_EQ(refused.errors()[0].where.key, "target.lab");
  EXPECT_EQ(refused.errors()[1].where.key, "ground.wood");
  EXPECT_NE(refused.errors()[1].fix.find("spruce"), std::string::npos);
}

TEST(YellowedClearVerb, AYellownessAloneIsEnoughAndSaysWhatItLacks) {
  const std::string ground =
      R"("ground": {"reflectance": [0.41, 0.56, 0.66, 0.71, 0.735, 0.75, 0.76, 0.768, 0.774, 0.78,
    0.785, 0.79, 0.794, 0.798, 0.801, 0.804, 0.807, 0.81, 0.812, 0.814, 0.816, 0.818, 0.82, 0.821, 0.822, 0.823, 0.824,
    0.825, 0.826, 0.827, 0.828]}, "thickness_um": 60)";
  const auto tinted = asked(yellowed_clear_verb(), fmt::format(R"({{{}, "yellowness": 20, {}}})", ground, toners));
  ASSERT_TRUE(tinted) << tinted.errors()[0].text();
  EXPECT_NE(tinted->text.find("units of yellowing"), std::string::npos);
  EXPECT_NE(tinted->text.find("(ESTIMATE)"), std::string::npos) << "the shape is not known from one number";
  const auto neither = asked(yellowed_clear_verb(), fmt::format(R"({{{}, {}}})", ground, toners));
  ASSERT_FALSE(neither);
  EXPECT_NE(neither.errors()[0].what.find("neither"), std::string::npos);
  const auto white = asked(yellowed_clear_verb(), fmt::format(R"({{{}, "yellowness": -30, {}}})", ground, toners));
  ASSERT_FALSE(white);
  EXPECT_EQ(white.errors()[0].where.key, "yellowness");
}

}  // namespace
}  // namespace witnessline::app
