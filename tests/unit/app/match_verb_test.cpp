#include <gtest/gtest.h>

#include <algorithm>

#include "app/app.h"
#include "app/files.h"
#include "app/verb.h"
#include "app/verbs/correct.h"
#include "app/verbs/match.h"

namespace witnessline {
namespace {

const char* rest = R"("ground": {"lab": [90, 0, 4]}, "film_um": 45, "batch_g": 50,
  "shelf": [{"material": "zinc_white", "left_g": 100}, {"material": "bone_black", "left_g": 50}])";

Result<Answered> asked(const std::string& first, const std::string& others = rest) {
  return ask_json(match_verb(), "{" + first + ", " + others + "}", PROJECT_FOLDER, BenchUnits::metric);
}

TEST(MatchVerb, AnswersItsExampleInGrams) {
  const auto answered = ask_file(match_verb(), example_folder() + "/match.toml", BenchUnits::metric);
  ASSERT_TRUE(answered);
  EXPECT_NE(answered->text.find("zinc white"), std::string::npos);
  EXPECT_NE(answered->text.find("the scale shows"), std::string::npos);
  EXPECT_NE(answered->text.find("leaf_green"), std::string::npos);
  EXPECT_NE(answered->text.find("Recipe 4"), std::string::npos);  // several to choose from
}

TEST(MatchVerb, FaultsNameTheirKeys) {
  const auto no_lamp = asked(R"("target": {"lab": [50, 0, 0]}, "lamps": [])");
  ASSERT_FALSE(no_lamp);
  EXPECT_EQ(no_lamp.errors()[0].where.key, "lamps");
  const auto unknown = asked(R"("target": {"lab": [50, 0, 0]})", R"("ground": {"lab": [90, 0, 4]}, "film_um": 45,
    "shelf": [{"material": "zink_white", "left_g": 100}])");
  ASSERT_FALSE(unknown);
  EXPECT_EQ(unknown.errors()[0].where.key, "shelf[1].material");
  EXPECT_NE(unknown.errors()[0].mend.find("zinc_white"), std::string::npos);
  const auto negative = asked(R"("target": {"lab": [50, 0, 0]})", R"("ground": {"lab": [90, 0, 4]}, "film_um": 45,
    "shelf": [{"material": "zinc_white", "left_g": -1}])");
  ASSERT_FALSE(negative);
  EXPECT_NE(negative.errors()[0].where.key.find("left_g"), std::string::npos);
  const auto no_film = asked(R"("target": {"lab": [97, 0, 1]})", R"("ground": {"lab": [20, 0, 0]}, "film_um": 0,
    "batch_g": 50, "shelf": [{"material": "zinc_white", "left_g": 100}])");
  ASSERT_FALSE(no_film);
  EXPECT_EQ(no_film.errors()[0].where.key, "film_um");
}

TEST(CorrectVerb, AddsToTheCup) {
  const auto answered = ask_file(correct_verb(), example_folder() + "/correct.toml", BenchUnits::metric);
  ASSERT_TRUE(answered);
  EXPECT_NE(answered->text.find("Add\n"), std::string::npos) << answered->text;
  EXPECT_NE(answered->text.find("mix it again"), std::string::npos);
}

// A request for white and the colorants of the example's table, which holds films of known K and S.
MixGiven own_shelf(const std::vector<std::string>& colorants) {
  MixGiven given;
  for (const std::string& c : colorants) {
    TinGiven t;
    t.colorant = c, t.left_kg = 0.2, t.density_kg_m3 = 1040, t.volume_solids_fraction = 0.24;
    if (c == "base_white") t.density_kg_m3 = 1230, t.volume_solids_fraction = 0.26;
    if (c == "warm_black") t.density_kg_m3 = 1000, t.volume_solids_fraction = 0.23;
    given.shelf.push_back(t);
  }
  given.readings = "tints.csv", given.unit_film_m = 50e-6, given.film_m = 45e-6;
  given.target.lab = {60, -8, 12}, given.ground.lab = {90, 0, 4};
  return given;
}

std::string table_of_example() { return *read_file(example_folder() + "/tints.csv"); }

Result<Mix> mixed(const MixGiven& given, const std::string& table) {
  static const Library library = *read_library(data_folder());
  return mix_of(given, {library, BenchUnits::metric, [&](const std::string&) -> Result<std::string> { return table; }});
}

TEST(OwnColorants, AreFoundFromTheirDrawdowns) {
  const auto mix = mixed(own_shelf({"base_white", "leaf_green", "warm_black"}), table_of_example());
  ASSERT_TRUE(mix);
  const auto at = [](double nm) { return static_cast<int>((nm - 380) / 10); };
  // What the table was made from, per 50 um: S 3.2 (l/550)^-0.8 of the white, 0.55 (l/550)^-0.5 of the green; its K
  // 0.12 + 3.2 exp(-((l - 430)/38)^2 / 2) + 3 / (1 + exp((612 - l)/22)); the black's 7.5 (l/550)^-0.35.
  const auto& [white, green, black] = std::tie(mix->shelf[0], mix->shelf[1], mix->shelf[2]);
  EXPECT_NEAR(white.scattering_per_m[at(550)] * 50e-6, 3.2, 0.16);
  EXPECT_NEAR(green.scattering_per_m[at(550)] * 50e-6, 0.55, 0.055);
  EXPECT_NEAR(green.absorption_per_m[at(550)] * 50e-6, 0.12 + 0.0218 + 0.169, 0.03);
  EXPECT_NEAR(green.absorption_per_m[at(650)] * 50e-6, 0.12 + 2.547, 0.27);
  EXPECT_NEAR(black.absorption_per_m[at(550)] * 50e-6, 7.5, 0.75);
  EXPECT_DOUBLE_EQ(green.dry_volume_m3_per_kg, 0.24 / 1040);
  // The readings say K and S better than a tin nobody has read, and say so.
  EXPECT_LT(mix->known.log_covariance[17](1, 1), 0.15 * 0.15);
  EXPECT_GT(mix->known.log_covariance[17](1, 1), 0);
}

TEST(OwnColorants, HalfTheUnitFilmIsTwiceTheStrength) {
  MixGiven given = own_shelf({"base_white", "leaf_green"});
  const auto whole = mixed(given, table_of_example());
  given.unit_film_m = 25e-6;
  const auto half = mixed(given, table_of_example());
  given.unit_film_m = 0;
  const auto assumed = mixed(given, table_of_example());
  ASSERT_TRUE(whole && half && assumed);
  EXPECT_NEAR(half->shelf[1].absorption_per_m[10] / whole->shelf[1].absorption_per_m[10], 2, 1e-9);
  const auto says = [](const Mix& mix) {
    return std::any_of(mix.notes.begin(), mix.notes.end(),
                       [](const Note& n) { return n.text.find("assumed: hiding") != std::string::npos; });
  };
  EXPECT_TRUE(says(*assumed));
  EXPECT_FALSE(says(*whole));
  // An assumed film puts all of them off together.
  EXPECT_NEAR(assumed->known.log_covariance[17](0, 1) - whole->known.log_covariance[17](0, 1), 0.35 * 0.35, 1e-9);
}

TEST(OwnColorants, FaultsNameTheirKeys) {
  MixGiven given = own_shelf({"base_white", "leef_green"});
  auto mix = mixed(given, table_of_example());
  ASSERT_FALSE(mix);
  EXPECT_EQ(mix.errors()[0].where.key, "shelf[2].colorant");
  EXPECT_NE(mix.errors()[0].mend.find("leaf_green"), std::string::npos);
  given = own_shelf({"base_white"}), given.readings.clear();
  mix = mixed(given, table_of_example());
  ASSERT_FALSE(mix);
  EXPECT_EQ(mix.errors()[0].where.key, "readings");
  given = own_shelf({"base_white"}), given.shelf[0].volume_solids_fraction = 0;
  mix = mixed(given, table_of_example());
  ASSERT_FALSE(mix);
  EXPECT_EQ(mix.errors()[0].where.key, "shelf[1]");
  given = own_shelf({"base_white"}), given.shelf[0].material = "zinc_white";
  mix = mixed(given, table_of_example());
  ASSERT_FALSE(mix);
  EXPECT_EQ(mix.errors()[0].where.key, "shelf[1]");
}

TEST(OwnColorants, OneGroundAloneCannotBeUsed) {
  // The black alone, over its white card only: its other films and cards are taken out of the table.
  std::string kept;
  const std::string all = table_of_example();
  for (std::size_t at = 0; at < all.size();) {
    const std::size_t end = std::min(all.find('\n', at), all.size());
    const std::string line = all.substr(at, end - at);
    const bool black_one = line.starts_with("black");
    if (!black_one || (line.starts_with("black thin") && line.find("_white") != std::string::npos)) kept += line + "\n";
    at = end + 1;
  }
  const auto mix = mixed(own_shelf({"base_white", "leaf_green", "warm_black"}), kept);
  ASSERT_TRUE(mix);
  EXPECT_TRUE(mix->shelf[1].separated);
  EXPECT_FALSE(mix->shelf[2].separated);
  const auto found = match(mix->shelf, mix->aim, mix->laying, {0.1, 1e-5, 0.2});
  ASSERT_TRUE(found);
  for (const Recipe& r : found->recipes)
    for (const Pour& p : r.pours) EXPECT_NE(p.tin, 2u);
  EXPECT_EQ(std::count_if(found->notes.begin(), found->notes.end(),
                          [](const Note& n) { return n.text.find("warm_black is left out") == 0; }),
            1);
}

}  // namespace
}  // namespace witnessline
