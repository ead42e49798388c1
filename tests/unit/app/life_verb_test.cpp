#include "app/verbs/life.h"

#include <gtest/gtest.h>

#include "job/read.h"
#include "materials/life.h"

namespace witnessline {
namespace {

Result<Answered> ask(const std::string& request) {
  return ask_json(*find_verb("life"), request, PROJECT_FOLDER, BenchUnits::metric);
}

TEST(LifeVerb, ExampleGivesALifeThatAJobFileCanHold) {
  const auto answered = ask_file(*find_verb("life"), PROJECT_FOLDER "/examples/verbs/life.toml", BenchUnits::metric);
  ASSERT_TRUE(answered) << answered.errors().front().text();
  std::vector<Error> errors;
  const Tree file = read_toml(answered->answer.find("lives")->text, "lives", errors);
  ASSERT_TRUE(errors.empty());
  Life life;
  Faults faults{"lives", {}, true};
  read_into(file.find("lives")->list.at(0), life, Member{}, unit::none, "lives[1]", faults);
  EXPECT_TRUE(faults.list.empty());
  EXPECT_EQ(life.id, "neck_life");
  EXPECT_NEAR(life.age_s / unit::year.scale, 62, 5);
  EXPECT_GT(life.light_lx_s, 0);
  EXPECT_FALSE(life.touches.empty());
  EXPECT_NE(answered->text.find("% prior"), std::string::npos);
}

TEST(LifeVerb, NothingSeenAnswersWithAWideBandAndSaysSo) {
  const auto answered = ask("{}");
  ASSERT_TRUE(answered) << answered.errors().front().text();
  EXPECT_NE(answered->text.find("Nothing was looked at"), std::string::npos) << answered->text;
  EXPECT_NE(answered->text.find("nearly all of it a guess"), std::string::npos) << answered->text;
}

TEST(LifeVerb, FaultsAreLocated) {
  const auto answered = ask(R"({"clear": "nitro", "yellow": []})");
  ASSERT_FALSE(answered);
  EXPECT_EQ(answered.errors()[0].where.key, "clear");
  const auto neither = ask(R"({"yellow": [{"name": "top", "exposure": "open"}]})");
  ASSERT_FALSE(neither);
  EXPECT_EQ(neither.errors()[0].where.key, "yellow[1]");
}

}  // namespace
}  // namespace witnessline
