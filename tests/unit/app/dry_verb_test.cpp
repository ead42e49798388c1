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
  EXPECT_NE(answered->text.find(" before level sanding"), std::string::npos) << answered->text;
  EXPECT_NE(answered->text.find("The card: weighed, and as refitted"), std::string::npos);
  EXPECT_EQ(answered->answer.find("coats")->list.size(), 10u);
  EXPECT_EQ(answered->answer.find("card")->list.size(), 7u);
  EXPECT_EQ(answered->answer.find("uses")->list.size(), 9u);
}

TEST(DryVerb, WithoutACardPracticeStandsBesideTheDates) {
  const auto answered = asked(R"({"coats": [{"material": "nitrocellulose_lacquer", "coats": 6}]})");
  ASSERT_TRUE(answered) << answered.errors().front().text();
  EXPECT_NE(answered->text.find("All of this is an estimate"), std::string::npos) << answered->text;
  EXPECT_EQ(answered->text.find("No date for"), std::string::npos) << answered->text;
  EXPECT_EQ(answered->text.find("more than two years"), std::string::npos) << answered->text;
  EXPECT_NE(answered->text.find("practice: "), std::string::npos) << answered->text;
  EXPECT_NE(answered->text.find("magnetic gauge"), std::string::npos);
}

// Where a date lies outside what practice says, its own sentence says so; where it lies inside, nothing does.
TEST(DryVerb, ADateOutsidePracticeSaysSo) {
  for (const char* coats : {R"({"material": "acrylic_lacquer"})", R"({"material": "vinyl_sealer"})",
                            R"({"material": "two_pack_polyurethane", "thinning": 0.2})",
                            R"({"material": "nitrocellulose_lacquer", "coats": 10})"}) {
    const auto answered = asked(std::string(R"({"coats": [)") + coats + "]}");
    ASSERT_TRUE(answered) << answered.errors().front().text();
    const auto& uses = answered->answer.find("uses")->list;
    const auto& sentences = answered->answer.find("sentences")->list;
    for (std::size_t u = 0; u < uses.size(); ++u)
      EXPECT_EQ(uses[u].find("differs")->boolean && sentences[u].text.starts_with("Wait"),
                sentences[u].text.find("Practice differs: ") != std::string::npos)
          << coats << ": " << sentences[u].text;
  }
  // A sealer is sanded after half an hour (a data sheet, row 11 of the practice collection): its soap is not in the
  // model, by which it takes hours. An acrylic is handled after 15 to 20 min there and after 12 here: no news.
  const auto sealer = asked(R"({"coats": [{"material": "vinyl_sealer"}], "on": "wood"})");
  EXPECT_NE(sealer->text.find("Practice differs: vinyl sealer, one coat: sand and coat over: 30 min"),
            std::string::npos)
      << sealer->text;
  const auto acrylic = asked(R"({"coats": [{"material": "acrylic_lacquer"}], "temperature_degC": 25})");
  EXPECT_EQ(acrylic->text.find("Practice differs: acrylic lacquer, one coat: handle"), std::string::npos)
      << acrylic->text;
}

// The build asked about is held against practice of such a build: buffed after 14 to 21 days at ten coats (row 23).
TEST(DryVerb, PracticeOfANearBuildStandsBesideIt) {
  const auto ten = asked(R"({"coats": [{"material": "nitrocellulose_lacquer", "coats": 10}]})");
  ASSERT_TRUE(ten);
  EXPECT_NE(ten->text.find("last coat to buffing, small shops"), std::string::npos) << ten->text;
}

// Shellac had no date from buffing on and ten coats of lacquer none for the case: one wide guess of the glass
// transition stood for films that nobody could sell. Practice has its say in every draw of the band.
TEST(DryVerb, EveryUseHasADateInShopsThatPeopleWorkIn) {
  for (const char* coats : {R"({"material": "nitrocellulose_lacquer", "coats": 8})",
                            R"({"material": "nitrocellulose_lacquer", "coats": 10})",
                            R"({"material": "shellac", "coats": 6, "wet_um": 60, "thinning": 0})"})
    for (const int celsius : {12, 21, 30}) {
      const auto answered =
          asked(std::string(R"({"coats": [)") + coats + R"(], "temperature_degC": )" + std::to_string(celsius) + "}");
      ASSERT_TRUE(answered) << answered.errors().front().text();
      EXPECT_EQ(answered->text.find("No date for"), std::string::npos) << coats << celsius << answered->text;
    }
}

TEST(DryVerb, ARangeNamesItsUnitOnce) {
  const auto answered = asked(R"({"coats": [{"material": "nitrocellulose_lacquer", "coats": 3}]})");
  ASSERT_TRUE(answered);
  for (const std::string unit : {"minutes", "hours", "days", "weeks"}) {
    const std::size_t at = answered->text.find(" " + unit + " to ");
    if (at == std::string::npos) continue;
    const std::string after = answered->text.substr(at, 30);
    EXPECT_EQ(after.find(unit, 8 + unit.size()), std::string::npos) << after;
  }
}

double after_s(const Answered& answered, std::size_t use);

// Water leaves into the water of the air; lacquer thinner does not mind it.
TEST(DryVerb, AWaterBorneCoatWaitsForDrierAirAndALacquerDoesNot) {
  const auto touch_s = [](const std::string& coats, int humidity) {
    const auto answered =
        asked(R"({"coats": [)" + coats + R"(], "relative_humidity_pct": )" + std::to_string(humidity) + "}");
    EXPECT_TRUE(answered);
    return after_s(*answered, 0);
  };
  const std::string water = R"({"material": "water_borne_lacquer", "thinning": 0})",
                    lacquer = R"({"material": "nitrocellulose_lacquer"})";
  EXPECT_GT(touch_s(water, 85), 1.5 * touch_s(water, 40));
  EXPECT_DOUBLE_EQ(touch_s(lacquer, 85), touch_s(lacquer, 40));
}

double after_s(const Answered& answered, std::size_t use) {
  return answered.answer.find("uses")->list.at(use).find("after")->find("value")->number;
}

// Recoat was "not before 14 hours" in a schedule of an hour and a half, and nothing was remarked.
TEST(DryVerb, ASchedulesOwnIntervalIsQuestioned) {
  const auto usual = asked(R"({"coats": [{"material": "nitrocellulose_lacquer", "coats": 3, "apart_h": 1.5}]})");
  ASSERT_TRUE(usual);
  EXPECT_EQ(usual->text.find("before the coat below is ready"), std::string::npos) << usual->text;
  const auto hasty = asked(R"({"coats": [{"material": "nitrocellulose_lacquer", "coats": 4, "apart_h": 0.1}]})");
  ASSERT_TRUE(hasty);
  EXPECT_NE(hasty->text.find("before the coat below is ready"), std::string::npos) << hasty->text;
}

// Ten everyday cases: dates in order, none an hour where practice asks days, none a year where it asks weeks.
TEST(DryVerb, EverydayCasesLieWithinPractice) {
  struct Case {
    const char* coats;
    double level_least_d, level_most_d, case_least_d, case_most_d;
  };
  for (const Case& one : {
           Case{R"({"material": "vinyl_sealer", "coats": 2})", 0.2, 14, 2, 40},
           Case{R"({"material": "nitrocellulose_lacquer", "coats": 3, "wet_um": 70})", 1, 14, 5, 50},
           Case{R"({"material": "nitrocellulose_lacquer", "coats": 8})", 7, 42, 21, 90},
           Case{R"({"material": "acrylic_lacquer", "coats": 8})", 2, 42, 10, 120},
           Case{R"({"material": "shellac", "coats": 6, "wet_um": 60, "thinning": 0})", 0.5, 14, 5, 42},
           Case{R"({"material": "polyurethane", "coats": 3, "thinning": 0.2, "apart_h": 24})", 1, 21, 10, 120},
           Case{R"({"material": "water_borne_lacquer", "coats": 6, "thinning": 0, "apart_h": 3})", 2, 16, 14, 120},
           Case{R"({"material": "two_pack_polyurethane", "coats": 3, "thinning": 0.2, "apart_h": 6})", 0.8, 7, 5, 60},
           Case{R"({"material": "polyester", "coats": 3, "wet_um": 150, "thinning": 0, "apart_h": 3})", 0.2, 3, 2, 14},
           Case{R"({"material": "oil_varnish", "coats": 3, "thinning": 0.2, "wet_um": 60, "apart_h": 48})", 5, 60, 60,
                400},
       }) {
    const auto answered = asked(std::string(R"({"coats": [)") + one.coats + "]}");
    ASSERT_TRUE(answered) << one.coats << answered.errors().front().text();
    for (std::size_t u = 1; u < 9; ++u) EXPECT_GE(after_s(*answered, u), after_s(*answered, u - 1)) << one.coats << u;
    EXPECT_GT(after_s(*answered, 4) / 86400, one.level_least_d) << answered->text;
    EXPECT_LT(after_s(*answered, 4) / 86400, one.level_most_d) << answered->text;
    EXPECT_GT(after_s(*answered, 8) / 86400, one.case_least_d) << answered->text;
    EXPECT_LT(after_s(*answered, 8) / 86400, one.case_most_d) << answered->text;
  }
}

TEST(DryVerb, AWeighingHeavierThanBeforeIsReported) {
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

TEST(DryVerb, StillAirIsReported) {
  const auto answered = asked(R"({"coats": [{"material": "nitrocellulose_lacquer"}], "air_speed_m_s": 0})");
  ASSERT_TRUE(answered) << answered.errors().front().text();
  EXPECT_NE(answered->text.find("Still air: only its own slow rise"), std::string::npos) << answered->text;
}

TEST(DryVerb, FaultsNameTheirKeys) {
  const auto order = asked(R"({"coats": [{"material": "shellac"}], "card": {"weighings": [{"at_h": 9, "mass_g": 40.8},
    {"at_h": 3, "mass_g": 40.7}]}})");
  ASSERT_FALSE(order);
  EXPECT_EQ(order.errors()[0].where.key, "card.weighings[2].at_h");
  const auto typo = asked(R"({"coats": [{"material": "shelac"}]})");
  ASSERT_FALSE(typo);
  EXPECT_NE(typo.errors()[0].fix.find("shellac"), std::string::npos);
  const auto early = asked(R"({"coats": [{"material": "shellac", "at_h": 9}, {"material": "shellac", "at_h": 2}]})");
  ASSERT_FALSE(early);
  EXPECT_EQ(early.errors()[0].where.key, "coats[2].at_h");
}

TEST(DryVerb, ACuringCoatSaysThatItsMakersSheetComesFirst) {
  const auto answered = asked(R"({"coats": [{"material": "polyurethane", "thinning": 0.2}]})");
  ASSERT_TRUE(answered) << answered.errors().front().text();
  EXPECT_NE(answered->text.find("maker's sheet come first"), std::string::npos) << answered->text;
}

}  // namespace
}  // namespace witnessline::app
