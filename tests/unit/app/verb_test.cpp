#include "app/verb.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <regex>

#include "app/files.h"

namespace witnessline::app {
namespace {

struct Jar {
  std::string name;
  double left_kg = 0;
};
template <class V>
void describe(V& v, Jar& j) {
  v(member("name", "on the label").must(), j.name);
  v(member("left_g", "what is left", unit::g).within(0, 5000), j.left_kg);
}
struct Weighing {
  std::vector<Jar> jars;
};
template <class V>
void describe(V& v, Weighing& w) {
  v(member("jars", "the stock").must(), w.jars);
}
struct Weighed {
  std::vector<Note> notes;
  double total_kg = 0;
};
template <class V>
void describe(V& v, Weighed& w) {
  v(member("total_g", "of all jars", unit::g), w.total_kg);
}

Result<Weighed> weigh(const Weighing& asked, const Asking& asking) {
  Weighed all;
  for (std::size_t i = 0; i < asked.jars.size(); ++i) {
    if (asked.jars[i].left_kg == 0)
      return Error{"is empty", {"", 0, 0, fmt::format("jars[{}].left_g", i + 1)}, "above 0", "take it off the shelf"};
    all.total_kg += asked.jars[i].left_kg;
  }
  if (asked.jars.front().name == "file") {
    const auto text = asking.file("../verb_test.cpp");
    if (!text) return text.errors();
  }
  return all;
}

std::string format_answer(const Weighed& w, BenchUnits units) { return show(w.total_kg, Quantity::mass, units) + "\n"; }

const Verb weighing = verb("weigh", "Adds jars up", {}, weigh, format_answer);

TEST(Verb, AnswersInBenchUnits) {
  const auto answered = ask_json(weighing, R"({"jars": [{"name": "a", "left_g": 12.5}, {"name": "b", "left_oz": 2}]})",
                                 PROJECT_FOLDER, BenchUnits::us);
  ASSERT_TRUE(answered) << answered.errors().front().text();
  EXPECT_NEAR(answered->answer.find("total_g")->number, 12.5 + 2 * 28.349523125, 1e-9);
  EXPECT_NE(answered->text.find("oz"), std::string::npos);
}

TEST(Verb, FaultsOfTheRequestAllComeAtOnce) {
  const auto answered =
      ask_json(weighing, R"({"jars": [{"left_g": -1}], "jar": 3})", PROJECT_FOLDER, BenchUnits::metric);
  ASSERT_FALSE(answered);
  EXPECT_EQ(answered.errors().size(), 3u);  // negative, no name, unknown key
}

TEST(Verb, FaultsFoundLaterSayTheirLine) {
  std::vector<Error> faults;
  const Tree request = read_toml("# two jars\n[[jars]]\nname = 'a'\nleft_g = 3\n[[jars]]\nname = 'b'\nleft_g = 0\n",
                                 "shelf.toml", faults);
  ASSERT_TRUE(faults.empty());
  const auto library = Library({}, {}, 0);
  const auto answered = weighing.run(request, Faults{"shelf.toml", {}}, {library, BenchUnits::metric, {}});
  ASSERT_FALSE(answered);
  EXPECT_EQ(answered.errors().front().where.file, "shelf.toml");
  EXPECT_EQ(answered.errors().front().where.line, 7);
}

TEST(Verb, FilesOutsideTheFolderAreRefused) {
  const auto answered = ask_json(weighing, R"({"jars": [{"name": "file", "left_g": 1}]})",
                                 std::string(PROJECT_FOLDER) + "/tests/unit/app", BenchUnits::metric);
  ASSERT_FALSE(answered);
  EXPECT_NE(answered.errors().front().what.find("outside"), std::string::npos);
}

TEST(Verb, GeneratedFilesAreFresh) {
  for (const auto& [file, fresh] :
       {std::pair{"web/src/generated/types.ts", verb_typescript_types()}, {"docs/verb_keys.md", verb_key_tables()}}) {
    const auto kept = read_file(std::string(PROJECT_FOLDER) + "/" + file);
    ASSERT_TRUE(kept);
    EXPECT_TRUE(*kept == fresh) << file << " is stale; run build/release/write_generated . and commit";
  }
}

TEST(Verb, EveryVerbAnswersItsExample) {
  for (const Verb& one : verbs()) {
    const auto answered = ask_file(one, example_folder() + "/" + one.word + ".toml", BenchUnits::metric);
    ASSERT_TRUE(answered) << one.word << ": " << answered.errors().front().text();
    const std::string json = print_json(answered->answer);
    const std::regex no_number(R"(\b(nan|inf)\b)", std::regex::icase);
    EXPECT_FALSE(std::regex_search(json, no_number)) << one.word;
    EXPECT_FALSE(std::regex_search(answered->text, no_number)) << one.word;
    EXPECT_GT(answered->text.size(), 80u) << one.word;
  }
}

}  // namespace
}  // namespace witnessline::app
