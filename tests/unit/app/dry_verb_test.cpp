#include <gtest/gtest.h>

#include "app/verb.h"
#include "app/verbs/dry.h"

namespace witnessline::app {
namespace {

Result<Answered> asked(const std::string& json) {
  return ask_json(dry_verb(), json, PROJECT_FOLDER, BenchUnits::metric);
}

TEST(DryVerb, TheExampleIsAnsweredAndItsCardNarrowsTheDates) {
  const auto answered = ask_file(dry_verb(), example_folder() + "/dry.toml", BenchUnits::metric);
  ASSERT_TRUE(answered) << answered.errors().front().text();
  EXPECT_NE(answered->text.find("You may flat it"), std::string::npos) << answered->text;
  EXPECT_NE(answered->text.find("The card: weighed, and as refitted"), std::string::npos);
  EXPECT_EQ(answered->answer.find("coats")->list.size(), 10u);
  EXPECT_EQ(answered->answer.find("card")->list.size(), 7u);
  EXPECT_EQ(answered->answer.find("uses")->list.size(), 7u);
}

TEST(DryVerb, WithoutACardTheWholeBandIsSaid) {
  const auto answered = asked(R"({"coats": [{"material": "nitrocellulose_lacquer", "coats": 6}]})");
  ASSERT_TRUE(answered) << answered.errors().front().text();
  EXPECT_NE(answered->text.find("carry their whole band"), std::string::npos) << answered->text;
  EXPECT_NE(answered->text.find("more than two years"), std::string::npos) << answered->text;
  EXPECT_EQ(answered->text.find("Do not handle it before"), 0u) << "the late end leads: " << answered->text;
  EXPECT_EQ(answered->text.find("You may"), std::string::npos) << answered->text;
  EXPECT_NE(answered->text.find("magnetic gauge"), std::string::npos);
}

TEST(DryVerb, AWeighingHeavierThanBeforeIsSaid) {
  const auto answered = asked(R"({"coats": [{"material": "nitrocellulose_lacquer", "coats": 3}], "card": {"bare_g": 40,
    "weighings": [{"at_h": 5, "mass_g": 40.80}, {"at_h": 30, "mass_g": 40.95}, {"at_h": 100, "mass_g": 40.72}]}})");
  ASSERT_TRUE(answered) << answered.errors().front().text();
  EXPECT_NE(answered->text.find("150 mg heavier than the one before: left out"), std::string::npos) << answered->text;
  EXPECT_NE(answered->text.find("card.weighings[2]: "), std::string::npos) << answered->text;
}

TEST(DryVerb, AnImpossibleCardIsRefused) {
  const auto card = [](const std::string& weighings) {
    return asked(R"({"coats": [{"material": "nitrocellulose_lacquer", "coats": 3, "at_h": 2}], "card": {"bare_g": 50,
      "weighings": [)" +
                 weighings + "]}}");
  };
  const auto light = card(R"({"at_h": 10, "mass_g": 42}, {"at_h": 30, "mass_g": 41.9}, {"at_h": 90, "mass_g": 41.8})");
  ASSERT_FALSE(light);
  EXPECT_EQ(light.errors()[0].where.key, "card.weighings[1].mass_g");
  const auto early = card(R"({"at_h": 1, "mass_g": 50.0}, {"at_h": 30, "mass_g": 50.7})");
  ASSERT_FALSE(early);
  EXPECT_EQ(early.errors()[0].where.key, "card.weighings[1].at_h");
  const auto heavy = card(R"({"at_h": 10, "mass_g": 90}, {"at_h": 30, "mass_g": 75}, {"at_h": 90, "mass_g": 60})");
  ASSERT_FALSE(heavy);
  EXPECT_EQ(heavy.errors()[0].where.key, "card");
}

TEST(DryVerb, StillAirIsSaid) {
  const auto answered = asked(R"({"coats": [{"material": "nitrocellulose_lacquer"}], "air_speed_m_s": 0})");
  ASSERT_TRUE(answered) << answered.errors().front().text();
  EXPECT_NE(answered->text.find("Still air: 0.05 m/s is taken"), std::string::npos) << answered->text;
}

TEST(DryVerb, FaultsNameTheirKeys) {
  const auto order = asked(R"({"coats": [{"material": "shellac"}], "card": {"weighings": [{"at_h": 9, "mass_g": 40.8},
    {"at_h": 3, "mass_g": 40.7}]}})");
  ASSERT_FALSE(order);
  EXPECT_EQ(order.errors()[0].where.key, "card.weighings[2].at_h");
  const auto typo = asked(R"({"coats": [{"material": "shelac"}]})");
  ASSERT_FALSE(typo);
  EXPECT_NE(typo.errors()[0].mend.find("shellac"), std::string::npos);
  const auto early = asked(R"({"coats": [{"material": "shellac", "at_h": 9}, {"material": "shellac", "at_h": 2}]})");
  ASSERT_FALSE(early);
  EXPECT_EQ(early.errors()[0].where.key, "coats[2].at_h");
}

TEST(DryVerb, ACuringCoatSaysThatItsMakersTimesRule) {
  const auto answered = asked(R"({"coats": [{"material": "polyurethane", "thinning": 0.2}]})");
  ASSERT_TRUE(answered) << answered.errors().front().text();
  EXPECT_NE(answered->text.find("its maker's times rule"), std::string::npos) << answered->text;
  EXPECT_EQ(answered->text.find("after the last coat, unless"), std::string::npos) << "no dates: " << answered->text;
  EXPECT_EQ(answered->text.find("You may"), std::string::npos) << answered->text;
}

}  // namespace
}  // namespace witnessline::app
