#include <gtest/gtest.h>

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

}  // namespace
}  // namespace witnessline
