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

// Strips, sandings and new coats of a plan without wear are work: nothing of them is held against a life.
TEST(WearVerb, OnlyWhatImitatesWearIsJudged) {
  for (const char* plan :
       {"slab_bass/job.toml\", \"plan\": \"enamel_off", "octave_mandolin/job.toml\", \"plan\": \"partial",
        "octave_mandolin/job.toml\", \"plan\": \"strip_and_redo", "lap_steel/job.toml\", \"plan\": \"finish",
        "slab_bass/job.toml", "octave_mandolin/job.toml"}) {
    const auto answered = asked(std::string(R"({"pitch_mm": 5, "job": "../)") + plan + "\"}");
    ASSERT_TRUE(answered) << answered.errors().front().text();
    EXPECT_EQ(answered->answer.find("worn")->find("value")->number, 0) << plan << "\n" << answered->text;
    EXPECT_TRUE(answered->answer.find("put_on")->list.empty()) << plan;
    EXPECT_TRUE(answered->answer.find("rings")->list.empty()) << plan;
    EXPECT_EQ(answered->text.find("artificial"), std::string::npos) << answered->text;
    EXPECT_EQ(answered->text.find("; 0 mm"), std::string::npos) << answered->text;
    EXPECT_EQ(answered->text.find(" 0 mm to"), std::string::npos) << answered->text;
  }
}

// Contact stops at the wood: no place wears deeper than the film there, nor may its band.
TEST(WearVerb, ContactWearsNoDeeperThanTheFilm) {
  const auto answered = asked(R"({"job": "../slab_bass/job.toml", "pitch_mm": 6})");
  ASSERT_TRUE(answered);
  constexpr double film_m = 134e-6 + 3 * 17e-6;  // the three old coats, three of their spreads
  for (const Tree& place : answered->answer.find("left_new")->list)
    EXPECT_LT(place.find("lived")->find("band")->find("high")->number, film_m) << answered->text;
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
