// The verbs agree about a thinner: what does not dissolve the paint is refused or warned of by each.
#include <gtest/gtest.h>

#include "app/verbs/compatible.h"
#include "app/verbs/dry.h"
#include "app/verbs/lay.h"
#include "app/verbs/thin.h"

namespace witnessline::app {
namespace {

Result<Answered> thin(const std::string& tin, const std::string& thinner) {
  return ask_json(thin_verb(),
                  R"({"tin": {"material": ")" + tin +
                      R"(", "readings": [{"cup": "ford_4", "run_out_s": 55, "temperature_degC": 21}]},
      "air": {"temperature_degC": 21, "humidity_pct": 50, "speed_m_s": 0.3},
      "thinner": [{"material": ")" +
                      thinner + R"(", "share_pct": 100}]})",
                  PROJECT_FOLDER, BenchUnits::metric);
}

// Common practice, no source: water, toluene and heptane do not dissolve nitrocellulose; butyl acetate does.
TEST(Thinners, WhatDoesNotDissolveIsNotToBePouredIn) {
  for (const char* id : {"water", "toluene", "heptane"}) {
    const Result<Answered> answered = thin("nitrocellulose_lacquer", id);
    ASSERT_TRUE(answered) << answered.errors()[0].text();
    EXPECT_EQ(answered->text.rfind("Do not pour it in", 0), 0u) << answered->text;
    EXPECT_EQ(answered->text.find("Thin one part"), std::string::npos);
    EXPECT_EQ(answered->answer.find("thinner_mL")->number, 0);
  }
  // True solvents do not warn of haze; the alcohol that does not dissolve it by itself is no thinner.
  for (const char* id : {"butyl_acetate", "mek", "methyl_amyl_ketone", "lacquer_thinner"}) {
    const Result<Answered> good = thin("nitrocellulose_lacquer", id);
    ASSERT_TRUE(good);
    EXPECT_NE(good->text.find("Thin one part"), std::string::npos) << good->text;
    EXPECT_EQ(good->text.find("haze"), std::string::npos) << good->text;
  }
  for (const char* id : {"ethanol", "isopropanol", "butanol"})
    EXPECT_EQ(thin("nitrocellulose_lacquer", id)->text.rfind("Do not pour it in", 0), 0u) << id;
  for (const auto& [paint, carrier] : {std::pair{"polyurethane", "mineral_spirits"}, {"shellac", "ethanol"}}) {
    const Result<Answered> own = thin(paint, carrier);
    ASSERT_TRUE(own) << own.errors()[0].text();
    EXPECT_EQ(own->text.find("Do not"), std::string::npos) << own->text;
    EXPECT_EQ(own->text.find("haze"), std::string::npos) << own->text;
  }
}

TEST(Thinners, PaintsThatTakeTheirMakersThinnerAloneAreRefused) {
  for (const char* id : {"water_borne_lacquer", "polyester", "catalysed_lacquer", "two_pack_polyurethane"}) {
    const Result<Answered> answered = thin(id, "butyl_acetate");
    ASSERT_FALSE(answered) << id;
    EXPECT_EQ(answered.errors()[0].where.key, "tin.material");
  }
}

TEST(Thinners, LayAndCompatibleWarnOfWater) {
  const std::string
      lay = R"({"tin": {"material": "nitrocellulose_lacquer"}, "thinning": 1, "flow_mL_min": 120, "film_um": 60,
      "thinner": )",
      over =
          R"({"fresh": {"material": "nitrocellulose_lacquer"}, "thinning": 1, "old": [{"film": "shellac"}], "thinner": )";
  const auto text = [](const Verb& verb, const std::string& json) {
    const Result<Answered> answered = ask_json(verb, json, PROJECT_FOLDER, BenchUnits::metric);
    return answered ? answered->text : answered.errors()[0].text();
  };
  EXPECT_EQ(text(lay_verb(), lay + R"("water"})").rfind("Do not pour it in", 0), 0u);
  EXPECT_EQ(text(compatible_verb(), over + R"("water"})").rfind("Do not pour it in", 0), 0u);
  EXPECT_EQ(text(lay_verb(), lay + R"("lacquer_thinner"})").find("Do not pour"), std::string::npos);
  EXPECT_EQ(text(compatible_verb(), over + R"("lacquer_thinner"})").find("Do not pour"), std::string::npos);
}

// White spirit goes into a lacquer's own solvents and stays when they have left: it is the end of the drying that is
// judged, not the cup.
TEST(Thinners, WhatFallsOutOnlyAsItDriesIsReportedByLayAndCompatible) {
  const std::string mix = R"("thinner": "mineral_spirits", "thinning": 0.25)";
  const auto laid = ask_json(
      lay_verb(), R"({"tin": {"material": "nitrocellulose_lacquer"}, "flow_mL_min": 120, "film_um": 60, )" + mix + "}",
      PROJECT_FOLDER, BenchUnits::metric);
  ASSERT_TRUE(laid) << laid.errors()[0].text();
  EXPECT_EQ(laid->text.rfind("Do not spray with it", 0), 0u) << laid->text;
  EXPECT_GT(laid->answer.find("solvent_left")->find("value")->number, 1.1);
  const auto over =
      ask_json(compatible_verb(),
               R"({"fresh": {"material": "nitrocellulose_lacquer"}, "old": [{"film": "shellac"}], )" + mix + "}",
               PROJECT_FOLDER, BenchUnits::metric);
  ASSERT_TRUE(over) << over.errors()[0].text();
  EXPECT_EQ(over->text.rfind("Do not spray with it", 0), 0u) << over->text;
}

// One path for every blend: lacquer thinner by its name is its four solvents, in thin and in dry.
TEST(Thinners, LacquerThinnerIsItsFourSolvents) {
  const std::string parts = R"([{"material": "acetone", "share_pct": 25}, {"material": "toluene", "share_pct": 35},
      {"material": "isopropanol", "share_pct": 15}, {"material": "butyl_acetate", "share_pct": 25}])";
  const auto ratio = [&](const std::string& thinner) {
    const Result<Answered> answered = ask_json(thin_verb(),
                                               R"({"tin": {"material": "nitrocellulose_lacquer",
          "readings": [{"cup": "ford_4", "run_out_s": 55, "temperature_degC": 21}]},
          "air": {"temperature_degC": 21, "humidity_pct": 50, "speed_m_s": 0.3}, "thinner": )" +
                                                   thinner + "}",
                                               PROJECT_FOLDER, BenchUnits::metric);
    EXPECT_TRUE(answered) << (answered ? "" : answered.errors()[0].text());
    return answered ? answered->answer.find("ratio")->find("value")->number : 0.0;
  };
  EXPECT_NEAR(ratio(R"([{"material": "lacquer_thinner", "share_pct": 100}])"), ratio(parts), 1e-9);

  const auto dried = [](const std::string& thinner) {
    const Result<Answered> answered =
        ask_json(dry_verb(), R"({"coats": [{"material": "nitrocellulose_lacquer"}], "thinner": [)" + thinner + "]}",
                 PROJECT_FOLDER, BenchUnits::metric);
    return answered ? answered->text : answered.errors()[0].text();
  };
  const std::string whole = dried(R"({"solvent": "lacquer_thinner"})");
  EXPECT_NE(whole.find("counted as 25 acetone, 35 toluene"), std::string::npos) << whole;
  EXPECT_EQ(whole.substr(0, whole.find('\n')),
            dried(R"({"solvent": "acetone", "parts": 25}, {"solvent": "toluene", "parts": 35},
                     {"solvent": "isopropanol", "parts": 15}, {"solvent": "butyl_acetate", "parts": 25})")
                .substr(0, whole.find('\n')));
  EXPECT_NE(dried(R"({"solvent": "water"})").find("does not dissolve"), std::string::npos);
  EXPECT_NE(dried(R"({"solvent": "methanol"})").find("methanol"), std::string::npos);
}

TEST(Thinners, WhiteSpiritIsWorkedOutFromItsBoilingPoint) {
  const Result<Answered> thinned = thin("alkyd_varnish", "mineral_spirits");
  ASSERT_TRUE(thinned) << thinned.errors()[0].text();
  EXPECT_NE(thinned->text.find("from its boiling point"), std::string::npos) << thinned->text;
  const Result<Answered> dried =
      ask_json(dry_verb(), R"({"coats": [{"material": "oil_varnish"}], "thinner": [{"solvent": "mineral_spirits"}]})",
               PROJECT_FOLDER, BenchUnits::metric);
  ASSERT_TRUE(dried) << dried.errors()[0].text();
  EXPECT_NE(dried->text.find("from its boiling point"), std::string::npos) << dried->text;
}

}  // namespace
}  // namespace witnessline::app
