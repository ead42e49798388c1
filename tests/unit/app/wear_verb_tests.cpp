#include "app/verbs/wear.h"

#include <gtest/gtest.h>

namespace witnessline::app {
namespace {

Result<Answered> asked(const std::string& json) {
  return ask_json(*find_verb("wear"), json, example_folder(), BenchUnits::metric);
}

TEST(WearVerb, TheExampleNamesPlacesToFind) {
  const auto answered = ask_file(*find_verb("wear"), example_folder() + "/wear.toml", BenchUnits::metric);
  ASSERT_TRUE(answered) << answered.errors().front().text();
  EXPECT_TRUE(answered->answer.find("put_on")->list.empty()) << answered->text;  // the life itself
  EXPECT_FALSE(answered->answer.find("showing")->list.empty()) << answered->text;
  EXPECT_FALSE(answered->answer.find("rings")->list.empty()) << answered->text;
  EXPECT_NE(answered->text.find("mm up from the tail end"), std::string::npos) << answered->text;
}

TEST(WearVerb, FaultsNameTheirKeys) {
  const auto coat =
      asked(R"({"job": "../slab_bass/job.toml", "pitch_mm": 8, "show": [{"coat": "amber laquer", "area_cm2": 3}]})");
  ASSERT_FALSE(coat);
  EXPECT_EQ(coat.errors()[0].where.key, "show[1].coat");
  EXPECT_NE(coat.errors()[0].fix.find("amber lacquer"), std::string::npos);
  const auto life = asked(R"({"job": "../slab_bass/job.toml", "pitch_mm": 8, "life": "plaid"})");
  ASSERT_FALSE(life);
  EXPECT_EQ(life.errors()[0].where.key, "life");
}

TEST(WearVerb, OnlyTheTouchesAskedForAreLookedAt) {
  const auto all = asked(R"({"job": "../slab_bass/job.toml", "pitch_mm": 8})");
  const auto one = asked(R"({"job": "../slab_bass/job.toml", "pitch_mm": 8, "touches": ["forearm"]})");
  ASSERT_TRUE(all && one);
  for (const Tree& touch : one->answer.find("touches")->list) EXPECT_EQ(touch.find("touch")->text, "forearm");
  EXPECT_LT(one->answer.find("touches")->list.size(), all->answer.find("touches")->list.size());
  const auto none = asked(R"({"job": "../slab_bass/job.toml", "pitch_mm": 8, "touches": ["forearm", "thigh"]})");
  ASSERT_FALSE(none);
  EXPECT_EQ(none.errors()[0].where.key, "touches[2]");
}

TEST(WearVerb, ALifeNotKnownIsReported) {
  const auto answered = asked(R"({"job": "../lap_steel/job.toml", "pitch_mm": 8})");
  ASSERT_TRUE(answered) << answered.errors().front().text();
  EXPECT_NE(answered->text.find("ordinary player"), std::string::npos) << answered->text;
}

}  // namespace
}  // namespace witnessline::app
