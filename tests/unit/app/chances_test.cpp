// No answer is certain: every chance that is printed lies between what no sum here holds and one less it.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <regex>

#include "app/verb.h"
#include "base/chance.h"

namespace witnessline::app {
namespace {

void look_at(const Tree& tree, const std::string& at, int& chances) {
  const Tree *name = tree.find("name"), *value = tree.find("value"), *axis = tree.find("y_is"), *y = tree.find("y");
  const auto bounded = [&](double chance) {
    EXPECT_GE(chance, unforeseen - 1e-9) << at;
    EXPECT_LE(chance, 1 - unforeseen + 1e-9) << at;
    ++chances;
  };
  if (name && value && value->is == Tree::Is::number && name->text.find("chance") != std::string::npos)
    bounded(value->number);
  if (axis && y && axis->text.find("chance") != std::string::npos)
    for (const Tree& one : y->list) bounded(0.01 * one.number);
  for (const Tree::Entry& e : tree.table) {
    if (e.key == "chance_pct")
      bounded(0.01 * (e.value.is == Tree::Is::integer ? static_cast<double>(e.value.integer) : e.value.number));
    look_at(e.value, at + "." + e.key, chances);
  }
  for (const Tree& item : tree.list) look_at(item, at, chances);
}

/// Chances of a whole answer; what its text says of them is certain nowhere.
int chances_of(const Answered& answered, const std::string& of) {
  int chances = 0;
  look_at(answered.answer, of, chances);
  static const std::regex certain(R"((^|[^0-9.])(0|1?00) in 100|[Cc]hance[^.\n]{0,60}[^0-9.](0|100) ?%)");
  std::smatch found;
  EXPECT_FALSE(std::regex_search(answered.text, found, certain)) << of << ": " << found.str();
  return chances;
}

class ChancesOf : public testing::TestWithParam<const char*> {};

TEST_P(ChancesOf, AnExampleAreNeverCertain) {
  const Verb* verb = find_verb(GetParam());
  ASSERT_NE(verb, nullptr);
  const auto answered = ask_file(*verb, fmt::format("{}/{}.toml", example_folder(), verb->word), BenchUnits::metric);
  ASSERT_TRUE(answered) << answered.errors()[0].text();
  EXPECT_GT(chances_of(*answered, verb->word), 0) << "it holds a chance";
}

INSTANTIATE_TEST_SUITE_P(Verbs, ChancesOf, testing::Values("enough", "compatible", "checks", "life"));

Answered asked(const char* word, const std::string& json) {
  const auto answered = ask_json(*find_verb(word), json, PROJECT_FOLDER, BenchUnits::metric);
  if (!answered) throw std::runtime_error(answered.errors()[0].text());
  return *answered;
}

// The surest and the most hopeless case of each.
TEST(Chances, AreBoundedAtBothEnds) {
  for (const int have_mL : {1, 5000})
    EXPECT_GT(
        chances_of(asked("enough", fmt::format(R"({{"tin": {{"material": "nitrocellulose_lacquer", "volume_mL": {}}},
      "area_cm2": 3200, "film_um": 45, "fillings": 2, "sprays_pct": 100}})",
                                               have_mL)),
                   "enough"),
        3);
  for (const char* old : {"oil_varnish", "two_pack_polyurethane", "shellac"})
    chances_of(asked("compatible", fmt::format(R"({{"fresh": {{"material": "nitrocellulose_lacquer"}},
      "old": [{{"film": "{}", "age_years": 0.1}}, {{"film": "{}", "age_years": 60}}]}})",
                                               old, old)),
               "compatible");
}

}  // namespace
}  // namespace witnessline::app
