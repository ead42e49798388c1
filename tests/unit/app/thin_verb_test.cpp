#include "app/verbs/thin.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>

namespace witnessline::app {
namespace {

const std::string tin = R"("tin": {"material": "nitrocellulose_lacquer",
  "readings": [{"cup": "ford_4", "run_out_s": 55, "temperature_degC": 21}]})";
const std::string air = R"("air": {"temperature_degC": 21, "humidity_pct": 50, "speed_m_s": 0.3})";
const std::string thinner =
    R"("thinner": [{"material": "acetone", "share_pct": 25}, {"material": "toluene", "share_pct": 35},
  {"material": "isopropanol", "share_pct": 15}, {"material": "butyl_acetate", "share_pct": 25}])";

Result<Answered> asked(const std::string& json) {
  return ask_json(thin_verb(), "{" + json + "}", PROJECT_FOLDER, BenchUnits::metric);
}
double number(const Answered& answered, const char* key, const char* inner) {
  return answered.answer.find(key)->find(inner)->number;
}
/// The one fault, which must name `key`.
Error fault(const std::string& json, const std::string& key) {
  const Result<Answered> answered = asked(json);
  if (answered) return {"it was answered", {}, "", ""};
  EXPECT_EQ(answered.errors().size(), 1u) << answered.errors()[0].text();
  EXPECT_EQ(answered.errors()[0].where.key, key) << answered.errors()[0].text();
  return answered.errors()[0];
}

// Common practice, no source: an oil varnish is thinned with mineral spirits, shellac with alcohol.
TEST(ThinVerb, SpiritAndOilFinishesAreThinnedWithWhatCarriesThem) {
  for (const auto& [paint, carrier] : {std::pair{"oil_varnish", "mineral_spirits"}, {"shellac", "ethanol"}}) {
    const auto answered = asked(
        fmt::format(
            R"("tin": {{"material": "{}", "readings": [{{"cup": "ford_4", "run_out_s": 60, "temperature_degC": 21}}]}},)",
            paint) +
        air);
    ASSERT_TRUE(answered) << answered.errors()[0].text();
    EXPECT_EQ(answered->answer.find("thinners")->list[0].find("parts")->list[0].find("material")->text, carrier);
    EXPECT_NE(answered->text.find("No thinner was given"), std::string::npos) << answered->text;
    EXPECT_EQ(answered->text.find("Best"), std::string::npos) << answered->text;
  }
}

// Nobody thins lacquer with a pure ester: without a shelf it is what is sold as lacquer thinner, all four solvents of
// it.
TEST(ThinVerb, WithoutAShelfLacquerTakesTheThinnerSoldForIt) {
  const auto answered = asked(tin + "," + air);
  ASSERT_TRUE(answered) << answered.errors()[0].text();
  ASSERT_EQ(answered->answer.find("thinners")->list.size(), 1u);
  EXPECT_EQ(answered->answer.find("thinners")->list[0].find("parts")->list.size(), 4u);
  EXPECT_NE(answered->text.find("the usual one is taken"), std::string::npos) << answered->text;
}

// A shelf holds tins like any other list of tins; a mixture among them is no single solvent.
TEST(ThinVerb, TheShelfHoldsTins) {
  const auto shelf = [](const std::string& more) {
    return asked(tin + "," + air + R"(,"shelf": [{"material": "butyl_acetate", "batch": "B-7", "volume_mL": 5000},
      {"material": "mek", "price_per_litre": 7)" +
                 more + "}]");
  };
  EXPECT_TRUE(shelf("")) << shelf("").errors()[0].text();
  const auto mixed = shelf(R"(, "parts": [{"material": "mek", "mass_fraction": 1}])");
  ASSERT_FALSE(mixed);
  EXPECT_EQ(mixed.errors()[0].where.key, "shelf[2].parts");
}

// What a thinner misses and where it blushes are one figure.
TEST(ThinVerb, FaultsAgreeWithTheFiguresBesideThem) {
  const auto answered = asked(tin + R"(,"air": {"temperature_degC": 30, "humidity_pct": 80, "speed_m_s": 0.3})");
  ASSERT_TRUE(answered) << answered.errors()[0].text();
  for (const Tree& one : answered->answer.find("thinners")->list) {
    const std::string slow = fmt::format("{:.1f} min", one.find("time_90_min")->number);
    const std::string blushes = fmt::format("passes {:.0f} %", one.find("no_blush_pct")->number);
    for (const Tree& fault : one.find("faults")->list) {
      if (fault.text.starts_with("dries")) EXPECT_NE(fault.text.find(slow), std::string::npos) << fault.text;
      if (fault.text.starts_with("blushes once")) EXPECT_NE(fault.text.find(blushes), std::string::npos) << fault.text;
    }
  }
}

TEST(ThinVerb, DesignsFromTheShelfOfTheExample) {
  const Result<Answered> answered = ask_file(thin_verb(), example_folder() + "/thin.toml", BenchUnits::metric);
  ASSERT_TRUE(answered) << answered.errors()[0].text();
  EXPECT_NE(answered->text.find("Best from the shelf"), std::string::npos) << answered->text;
  EXPECT_NE(answered->text.find("behind the first"), std::string::npos);
  // The tin brings toluene of its own; what is designed to go into it does not.
  const std::string json = print_json(*answered->answer.find("thinners"));
  EXPECT_EQ(json.find("toluene"), std::string::npos) << "it was excluded";
}

// Common practice, no source: thick nitrocellulose takes one to one and a half parts, and more in the cold.
TEST(ThinVerb, ThickNitrocelluloseTakesOneToOneAndAHalfParts) {
  const Result<Answered> answered =
      asked(tin + "," + air + "," + thinner + R"(,"wanted": {"cup": "zahn_2", "run_out_s": 20})");
  ASSERT_TRUE(answered) << answered.errors()[0].text();
  const double now = number(*answered, "ratio", "value"), colder = number(*answered, "ratio_colder", "value");
  EXPECT_GT(now, 1.0);
  EXPECT_LT(now, 1.5);
  EXPECT_GT(colder, now * 1.05);
  EXPECT_NE(answered->text.find("blush begins at about"), std::string::npos) << answered->text;
  EXPECT_NE(answered->text.find("How the tin thickens in the cold is an estimate"), std::string::npos);
}

TEST(ThinVerb, ATinAlreadyThinGetsNoThinner) {
  const Result<Answered> answered = asked(air + "," + thinner + R"(,"tin": {"material": "nitrocellulose_lacquer",
      "readings": [{"cup": "ford_4", "run_out_s": 21, "temperature_degC": 21}]},
      "wanted": {"cup": "ford_4", "run_out_s": 40})");
  ASSERT_TRUE(answered) << answered.errors()[0].text();
  EXPECT_EQ(answered->text.rfind("Put no thinner in", 0), 0u) << answered->text;
  EXPECT_EQ(answered->text.find("0.00 parts"), std::string::npos);
}

TEST(ThinVerb, ACupNobodyNamedIsReported) {
  EXPECT_NE(asked(tin + "," + air + "," + thinner)->text.find("28 s in the Zahn cup no. 2 are taken"),
            std::string::npos);
  EXPECT_EQ(asked(tin + "," + air + "," + thinner + R"(,"wanted": {"cup": "zahn_2", "run_out_s": 21})")
                ->text.find("in the Zahn cup no. 2 are taken"),
            std::string::npos);
}

// Acetone leaves, xylene stays: it goes in and precipitates on the work.
TEST(ThinVerb, WhatFallsOutOnlyAsItDriesIsRefused) {
  const Result<Answered> answered =
      asked(tin + "," + air +
            R"(,"thinner": [{"material": "acetone", "share_pct": 25}, {"material": "xylene", "share_pct": 75}])");
  ASSERT_TRUE(answered) << answered.errors()[0].text();
  EXPECT_EQ(answered->text.rfind("Do not spray with it", 0), 0u) << answered->text;
  EXPECT_EQ(answered->answer.find("thinner_mL")->number, 0);
}

TEST(ThinVerb, TheShelfBoundsTheThinner) {
  const auto with = [](const std::string& volumes) {
    return asked(air + R"(,"tin": {"material": "nitrocellulose_lacquer", "volume_mL": 500,
      "readings": [{"cup": "ford_4", "run_out_s": 55, "temperature_degC": 21}]}, "shelf": [)" +
                 volumes + "]");
  };
  const Result<Answered> little = with(R"({"material": "mek", "volume_mL": 20},
      {"material": "butyl_acetate", "volume_mL": 40})");
  ASSERT_FALSE(little);
  EXPECT_EQ(little.errors()[0].where.key, "shelf");
  EXPECT_NE(little.errors()[0].fix.find("of the tin at a time"), std::string::npos) << little.errors()[0].text();
  const Result<Answered> bounded = with(R"({"material": "mek"}, {"material": "butyl_acetate", "volume_mL": 80},
      {"material": "isopropanol"}, {"material": "pm_acetate"})");
  ASSERT_TRUE(bounded) << bounded.errors()[0].text();
  for (const Tree& stated : bounded->answer.find("thinners")->list)
    for (const Tree& part : stated.find("parts")->list)
      if (part.find("material")->text == "butyl_acetate") { EXPECT_LE(part.find("share_pct")->number, 30); }
  EXPECT_NE(bounded->text.find("Of butyl_acetate there is enough for"), std::string::npos) << bounded->text;
}

TEST(ThinVerb, StillAirIsADanger) {
  const Result<Answered> answered =
      asked(tin + "," + thinner + R"(,"air": {"temperature_degC": 21, "humidity_pct": 50, "speed_m_s": 0})");
  ASSERT_TRUE(answered);
  EXPECT_NE(answered->text.find("do not spray without moving air"), std::string::npos);
}

TEST(ThinVerb, WhatHasNoLimitOnFileIsReported) {
  const Result<Library> whole = read_library(PROJECT_FOLDER "/data");
  ASSERT_TRUE(whole);
  std::vector<Material> materials = whole->all();
  for (Material& material : materials)
    if (material.id == "mek") material.data.erase(Property::exposure_limit);
  const Library library(materials, {}, 1, {}, whole->usual_carriers());
  ThinRequest request;
  request.tin.material = "nitrocellulose_lacquer";
  request.tin.readings = {{"ford_4", 55, 294.15, 0}};
  request.air = {294.15, 0.5, 0.3};
  request.thinner = {{"mek", 0.6}, {"butyl_acetate", 0.4}};
  const Result<ThinAnswer> answer = thin_answer(request, {library, BenchUnits::metric, nullptr});
  ASSERT_TRUE(answer);
  const bool stated = std::any_of(answer->notes.begin(), answer->notes.end(), [](const Note& note) {
    return note.severity == Severity::danger && note.text.find("on file for mek: a missing") != std::string::npos;
  });
  EXPECT_TRUE(stated);
}

TEST(ThinVerb, RefusesWhatItCannotTrust) {
  const Error blend = fault(tin + "," + air +
                                R"(,"thinner": [{"material": "acetone", "share_pct": 53}, {"material": "toluene",
        "share_pct": 50}])",
                            "thinner");
  EXPECT_NE(blend.what.find("103 %"), std::string::npos) << blend.text();
  const Error short_run = fault(air + "," + thinner + R"(,"tin": {"material": "nitrocellulose_lacquer",
      "readings": [{"cup": "ford_4", "run_out_s": 14, "temperature_degC": 21}]})",
                                "tin.readings[1].run_out_s");
  EXPECT_NE(short_run.expected.find("20 to 100 s"), std::string::npos);
  fault(tin + "," + air + "," + thinner + R"(,"wanted": {"cup": "ford_4", "run_out_s": 12})", "wanted.run_out_s");
  EXPECT_NE(fault(tin + "," + air + "," + thinner + R"(,"wanted": {"cup": "ford_44", "run_out_s": 30})", "wanted.cup")
                .fix.find("ford_4"),
            std::string::npos);
  EXPECT_NE(fault(tin + "," + air + R"(,"retarder": "butyl_glicol",)" + thinner, "retarder").fix.find("butyl_glycol"),
            std::string::npos);
  fault(tin + "," + thinner + R"(,"air": {"temperature_degC": 21, "speed_m_s": 0.3})", "air.humidity_pct");
  fault(tin + "," + thinner + R"(,"air": {"temperature_degF": 140, "humidity_pct": 50, "speed_m_s": 0.3})",
        "air.temperature_degF");
}

TEST(ThinVerb, ATemperatureWithoutItsUnitIsRefused) {
  const Result<Answered> answered =
      asked(tin + "," + thinner + R"(,"air": {"temperature": 70, "humidity_pct": 50, "speed_m_s": 0.3})");
  ASSERT_FALSE(answered);
  EXPECT_NE(answered.errors()[0].text().find("unit"), std::string::npos) << answered.errors()[0].text();
  EXPECT_NE(answered.errors()[0].text().find("temperature_degC"), std::string::npos);
  const Result<Answered> warm =
      asked(tin + "," + thinner + R"(,"air": {"temperature_degF": 69.8, "humidity_pct": 50, "speed_m_s": 0.3})");
  EXPECT_TRUE(warm) << "69.8 degF is 21 degC";
}

TEST(ThinVerb, ASolventWithoutAPropertyIsNamed) {
  const Result<Answered> answered =
      asked(tin + "," + air + R"(,"thinner": [{"material": "methanol", "share_pct": 100}])");
  ASSERT_FALSE(answered);
  EXPECT_EQ(answered.errors()[0].where.key, "thinner[1].material");
  EXPECT_NE(answered.errors()[0].what.find("methanol"), std::string::npos) << answered.errors()[0].text();
  const Result<Answered> designed = asked(tin + "," + air + R"(, "excluded": ["toluene"])");
  ASSERT_TRUE(designed);
  EXPECT_NE(designed->text.find("Left out of the design"), std::string::npos) << designed->text;
}

TEST(ThinVerb, TheTinsOwnSolventsCount) {
  const Result<Answered> with = asked(air + "," + thinner + R"(,"tin": {"material": "nitrocellulose_lacquer",
      "readings": [{"cup": "ford_4", "run_out_s": 55, "temperature_degC": 21}],
      "solvents": [{"material": "methyl_amyl_ketone", "share_pct": 60}, {"material": "butyl_acetate", "share_pct": 40}]})"),
                         without = asked(tin + "," + air + "," + thinner);
  ASSERT_TRUE(with);
  ASSERT_TRUE(without);
  const auto time_90 = [](const Answered& a) { return a.answer.find("thinners")->list[0].find("time_90_min")->number; };
  EXPECT_GT(time_90(*with), 1.2 * time_90(*without)) << "a slow tin slows a fast thinner";
}

}  // namespace
}  // namespace witnessline::app
