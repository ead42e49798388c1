#include "app/verbs/dates.h"

#include <gtest/gtest.h>

#include <filesystem>

#include "app/app.h"

namespace witnessline::app {
namespace {

Result<Answered> ask(const std::string& request) {
  return ask_json(*find_verb("dates"), request, PROJECT_FOLDER, BenchUnits::metric);
}

TEST(DatesVerb, ExampleFindsThePartThatCameLater) {
  const auto answered = ask_file(*find_verb("dates"), PROJECT_FOLDER "/examples/verbs/dates.toml", BenchUnits::metric);
  ASSERT_TRUE(answered) << answered.errors().front().text();
  EXPECT_EQ(answered->answer.find("verdict")->text, "younger_part");
  EXPECT_NE(answered->text.find("5 of 6 marks put the assembly between 1962-03-01 and 1963-03-31"), std::string::npos)
      << answered->text;
  EXPECT_NE(answered->text.find("tone control: at least 3.9 years younger"), std::string::npos) << answered->text;
}

TEST(DatesVerb, WeekFiftySevenIsLocated) {
  const auto answered = ask(R"({"marks": [{"name": "neck", "reads": "1962-02-30", "dates": "made"},
                                          {"name": "control", "kind": "code", "reads": "999-6257", "dates": "part"}]})");
  ASSERT_FALSE(answered);
  ASSERT_EQ(answered.errors().size(), 2u);
  EXPECT_EQ(answered.errors()[0].where.key, "marks[1].reads");
  EXPECT_EQ(answered.errors()[1].where.key, "marks[2].reads");
}

TEST(DatesVerb, OneMarkAndNone) {
  const auto answered =
      ask(R"({"marks": [{"name": "control", "kind": "code", "reads": "999-6210", "dates": "part"}]})");
  ASSERT_TRUE(answered);
  EXPECT_EQ(answered->answer.find("verdict")->text, "one_mark");
  EXPECT_FALSE(ask(R"({"marks": []})"));
}

TEST(DatesVerb, NothingWasPutTogetherAfterToday) {
  // A year of one digit is a candidate in every decade that has come, and in none that has not.
  const auto code = ask(R"({"today": "2026-11-30", "marks": [
      {"name": "control", "kind": "code", "reads": "999-010", "dates": "part"}]})");
  ASSERT_TRUE(code) << code.errors().front().text();
  EXPECT_NE(code->text.find("2020"), std::string::npos) << code->text;
  for (const char* later : {"2030", "2032", "2040", "2042"})
    EXPECT_EQ(code->text.find(later), std::string::npos) << later << "\n" << code->text;
  // A new part leaves two years of stock, but none of them after today.
  const auto fresh =
      ask(R"({"today": "2026-11-30", "marks": [{"name": "neck", "reads": "2026-05", "dates": "part"}]})");
  ASSERT_TRUE(fresh);
  EXPECT_NE(fresh->text.find("between 2026-05-01 and 2026-11-30"), std::string::npos) << fresh->text;
  const auto ahead = ask(R"({"today": "2026-11-30", "marks": [{"name": "neck", "reads": "2031", "dates": "part"}]})");
  ASSERT_FALSE(ahead);
  EXPECT_EQ(ahead.errors()[0].where.key, "marks[1].reads");
  EXPECT_FALSE(ask(R"({"today": "soon", "marks": [{"name": "neck", "reads": "1962", "dates": "part"}]})"));
}

TEST(DatesVerb, ContradictionIsReported) {
  const auto answered = ask(R"({"marks": [{"name": "neck", "reads": "1962-03", "dates": "made"},
                                          {"name": "body", "reads": "1971", "dates": "made"}]})");
  ASSERT_TRUE(answered);
  EXPECT_EQ(answered->answer.find("verdict")->text, "contradict");
  EXPECT_NE(answered->text.find("no two of them"), std::string::npos) << answered->text;
}

}  // namespace
}  // namespace witnessline::app
