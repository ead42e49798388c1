// Every verb is asked its own example, spoilt: a number of no sense, a word of another kind, a thing left out, twice or
// a hundred times. It answers or refuses with words; it never stops the program and never prints a number that is none.
#include <gtest/gtest.h>

#include <chrono>
#include <cstdlib>

#include "app/app.h"
#include "app/verb.h"
#include "base/random.h"

namespace witnessline::app {
namespace {

class Spoiler {
 public:
  explicit Spoiler(std::uint64_t seed) : draw_(seed) {}

  void spoil(Tree& tree) {
    std::vector<Tree*> all;
    gather(tree, all);
    Tree& at = *all[below(all.size())];
    switch (below(8)) {
      case 0:
      case 1:
      case 2:
        at = odd_number();
        break;
      case 3:
        at = Tree::of(std::string(odd_words[below(std::size(odd_words))]));
        break;
      case 4:
        if (!at.table.empty()) at.table.erase(at.table.begin() + static_cast<std::ptrdiff_t>(below(at.table.size())));
        if (!at.list.empty()) at.list.clear();
        break;
      case 5:
        if (!at.list.empty()) at.list.push_back(Tree(at.list[below(at.list.size())]));
        break;
      case 6:
        if (!at.list.empty()) at.list.assign(100, Tree(at.list[below(at.list.size())]));
        break;
      default:
        if (at.is == Tree::Is::number) at.number *= std::vector{-1.0, 0.0, 1e-3, 1e3}[below(4)];
        if (at.is == Tree::Is::integer) at.integer *= std::vector<std::int64_t>{-1, 0, 1000, 10}[below(4)];
    }
  }
  std::size_t below(std::size_t n) { return mixed(draw_++) % n; }

 private:
  static constexpr const char* odd_words[] = {"",
                                              " ",
                                              "wood",
                                              "shellac",
                                              "nan",
                                              "1e999",
                                              "../../etc/passwd",
                                              "\xc3\xa9\xe2\x82\xac",
                                              "2963-02-30",
                                              "front treble",
                                              "aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa"};
  Tree odd_number() {
    constexpr double odd[] = {0, -1, 1, 1e-300, 1e300, -1e300, 0.5, 100, 1e6, 2e9};
    const double value = odd[below(std::size(odd))];
    return below(2) ? Tree::of(value) : Tree::of(static_cast<std::int64_t>(std::abs(value) < 1e15 ? value : 1e15));
  }
  static void gather(Tree& tree, std::vector<Tree*>& out) {
    out.push_back(&tree);
    for (Tree& item : tree.list) gather(item, out);
    for (Tree::Entry& entry : tree.table) gather(entry.value, out);
  }
  std::uint64_t draw_;
};

class SpoiltRequest : public testing::TestWithParam<std::string> {};

// WITNESSLINE_ROUNDS asks for more of them than an ordinary run does.
TEST_P(SpoiltRequest, IsAnsweredOrRefusedInWords) {
  const Verb& verb = *find_verb(GetParam());
  const auto example = example_request(verb);
  ASSERT_TRUE(example);
  const char* given = std::getenv("WITNESSLINE_ROUNDS");
  const int rounds = given ? std::atoi(given) : 12;
  const char* from = std::getenv("WITNESSLINE_FROM");
  for (int round = from ? std::atoi(from) : 0; round < rounds; ++round) {
    Tree request = *example;
    Spoiler spoiler(mixed(static_cast<std::uint64_t>(round)) ^ std::hash<std::string>()(verb.word));
    for (std::size_t k = 0, times = 1 + spoiler.below(3); k < times; ++k) spoiler.spoil(request);
    const std::string text = print_json(request);
    const auto began = std::chrono::steady_clock::now();
    try {
      const auto answered = ask_json(verb, text, example_folder(), BenchUnits::metric);
      if (answered) {
        for (const char* none : {" nan", "-nan", " inf", "-inf"})
          EXPECT_EQ(answered->text.find(none), std::string::npos) << round << ": " << text << "\n" << answered->text;
      } else {
        ASSERT_FALSE(answered.errors().empty());
        for (const Error& error : answered.errors()) EXPECT_FALSE(error.what.empty()) << round << ": " << text;
      }
    } catch (const std::exception& fault) { ADD_FAILURE() << round << ": " << fault.what() << "\n" << text; }
    EXPECT_LT(std::chrono::duration<double>(std::chrono::steady_clock::now() - began).count(), 60)
        << round << ": " << text;
  }
}

std::vector<std::string> all_words() {
  std::vector<std::string> words;
  for (const Verb& verb : verbs()) words.push_back(verb.word);
  return words;
}
INSTANTIATE_TEST_SUITE_P(Verbs, SpoiltRequest, testing::ValuesIn(all_words()),
                         [](const auto& info) { return info.param; });

}  // namespace
}  // namespace witnessline::app
