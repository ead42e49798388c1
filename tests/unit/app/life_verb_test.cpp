#include "app/verbs/life.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>

#include "app/files.h"
#include "job/read.h"
#include "materials/life.h"

namespace witnessline::app {
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
  Faults faults{"lives", {}};
  read_into(file.find("lives")->list.at(0), life, Member{}, unit::none, "lives[1]", faults);
  EXPECT_TRUE(faults.list.empty());
  EXPECT_EQ(life.id, "neck_life");
  EXPECT_NEAR(life.age_s / unit::year.scale, 62, 5);
  EXPECT_GT(life.light_lx_s, 0);
  EXPECT_FALSE(life.touches.empty());
  EXPECT_NE(answered->text.find("usual for its age: the parts do not show it"), std::string::npos);
}

TEST(LifeVerb, TouchesAreReportedInWordsAndEveryBandIsDrawnOnItsScale) {
  const auto answered = ask_file(*find_verb("life"), PROJECT_FOLDER "/examples/verbs/life.toml", BenchUnits::metric);
  ASSERT_TRUE(answered) << answered.errors().front().text();
  const auto& touches = answered->answer.find("touches")->list;
  ASSERT_FALSE(touches.empty());
  const std::array words{"none", "light", "medium", "heavy"};
  for (const Tree& touch : touches) {
    const std::string stated = touch.find("said")->text;
    const auto word = std::find_if(words.begin(), words.end(), [&](const char* w) { return stated.starts_with(w); });
    ASSERT_NE(word, words.end()) << stated;
    // The mark of the middle stands in the quarter of its word.
    const double middle = touch.find("marks")->find("middle")->number;
    EXPECT_EQ(static_cast<std::ptrdiff_t>(4 * middle), word - words.begin()) << stated << " at " << middle;
  }
  for (const char* list : {"lived", "touches"})
    for (const Tree& one : answered->answer.find(list)->list) {
      const Tree& marks = *one.find("marks");
      const double low = marks.find("low")->number, high = marks.find("high")->number;
      EXPECT_GE(low, 0);
      EXPECT_LE(high, 1);
      EXPECT_LE(low, marks.find("middle")->number);
      EXPECT_LE(marks.find("middle")->number, high);
      EXPECT_LT(marks.find("usual_low")->number, marks.find("usual_high")->number);
    }
}

// The life of the demo job is what its evidence says, as it is answered, not one made up for it.
TEST(LifeVerb, TheDemosLifeIsThisAnswer) {
  const auto answered = ask_file(*find_verb("life"), example_folder() + "/life.toml", BenchUnits::metric);
  ASSERT_TRUE(answered) << answered.errors().front().text();
  const auto lives_of = [](const std::string& text) {
    std::vector<Error> errors;
    const Tree file = read_toml(text, "lives", errors);
    return file.find("lives") ? print_json(*file.find("lives")) : std::string();
  };
  const auto job = read_file(PROJECT_FOLDER "/examples/slab_bass/job.toml");
  ASSERT_TRUE(job);
  const std::string life = lives_of(answered->answer.find("lives")->text);
  EXPECT_FALSE(life.empty());
  EXPECT_EQ(lives_of(*job), life);
}

TEST(LifeVerb, NothingSeenAnswersWithAWideBandAndSaysSo) {
  const auto answered = ask("{}");
  ASSERT_TRUE(answered) << answered.errors().front().text();
  EXPECT_NE(answered->text.find("Nothing was looked at"), std::string::npos) << answered->text;
  EXPECT_NE(answered->text.find("The parts do not show these"), std::string::npos) << answered->text;
  EXPECT_NE(answered->text.find("Play: nothing is known"), std::string::npos) << answered->text;
  // The block claims no hours that nobody has evidence for.
  const std::string block = answered->answer.find("lives")->text;
  EXPECT_NE(block.find("touches = []"), std::string::npos) << answered->text;
  EXPECT_EQ(block.find("time_h"), std::string::npos) << answered->text;
  EXPECT_EQ(answered->text.find("100 in a hundred"), std::string::npos);
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
}  // namespace witnessline::app
