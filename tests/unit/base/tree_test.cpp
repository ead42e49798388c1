// TOML that is damaged in ways toml++ 3.3 takes for granted that it is not, and goes on undefined.
#include "base/tree.h"

#include <gtest/gtest.h>

namespace witnessline::base {
namespace {

struct Damaged {
  std::string text;
  int line, column;
};

TEST(ReadToml, DamageIsAFaultWithItsPlace) {
  for (const Damaged& damaged : {Damaged{"a = 1 \u00e9", 1, 7},
                                 {"a = \u00e9", 1, 5},
                                 {"\u00e9 = 1", 1, 1},
                                 {"a = \"\u00e9\"\nb = 1\u00e9", 2, 6},
                                 {"a = [1 \u00e9]", 1, 8},
                                 {"a = 2020-01-01\u00e9", 1, 15},
                                 {"a = tru\u0435", 1, 8},
                                 {"[%]", 1, 1},
                                 {"[[[a]]]", 1, 1},
                                 {"a = [}", 1, 6},
                                 {"a = [1,,2]", 1, 8},
                                 {"a = 1\x0b", 1, 6},
                                 {"a = 1\rb = 2", 1, 6}}) {
    std::vector<Error> faults;
    read_toml(damaged.text, "x", faults);
    ASSERT_EQ(faults.size(), 1u) << damaged.text;
    EXPECT_EQ(faults[0].where.line, damaged.line) << damaged.text << ": " << faults[0].text();
    EXPECT_EQ(faults[0].where.column, damaged.column) << damaged.text << ": " << faults[0].text();
  }
}

TEST(ReadToml, LettersInQuotesAndCommentsAreText) {
  std::vector<Error> faults;
  const Tree tree = read_toml(
      "# \u00e9 [ { \n\"\u00e9\" = '\u00e9 # \"' # \u00e9\nmany = \"\"\"\u00e9 \\\"\"\" \n = [%]\n\"\"\"\"\n"
      "raw = '''\\\u00e9'''\r\nlist = [ # \u00e9\n  1,\n  2, # last\n]\n[\"\u00e9.b\"]\n",
      "x", faults);
  ASSERT_TRUE(faults.empty()) << faults[0].text();
  EXPECT_EQ(tree.find("\u00e9")->text, "\u00e9 # \"");
  EXPECT_EQ(tree.find("many")->text, "\u00e9 \"\"\" \n = [%]\n\"");
  EXPECT_EQ(tree.find("raw")->text, "\\\u00e9");
  EXPECT_EQ(tree.find("list")->list.size(), 2u);
  EXPECT_EQ(tree.find("\u00e9.b")->is, Tree::Is::table);
}

TEST(ReadToml, TheLinesAfterADamagedOneAreRead) {
  std::vector<Error> faults;
  const Tree tree = read_toml("a = 1 \u00e9\nb = 2\nc = \u00e9\nd = 4\n", "x", faults);
  EXPECT_EQ(faults.size(), 2u);
  ASSERT_NE(tree.find("d"), nullptr);
  EXPECT_EQ(tree.find("b")->integer, 2);
}

TEST(ReadJson, KeysAndTablesWithoutEndAreRefused) {
  std::vector<Error> faults;
  std::string keys = "{\"k\":0";
  for (int i = 0; i < 400'000; ++i) keys += ",\"" + std::to_string(i) + "\":0";
  read_json(keys + "}", "x", faults);
  ASSERT_EQ(faults.size(), 1u);
  EXPECT_NE(faults[0].what.find("more than 1000 keys"), std::string::npos) << faults[0].text();
  faults.clear();
  read_json(std::string(100'000, '['), "x", faults);
  ASSERT_EQ(faults.size(), 1u);
  EXPECT_NE(faults[0].what.find("tables deep"), std::string::npos) << faults[0].text();
  faults.clear();
  EXPECT_EQ(read_json(R"({"a":{"b":[{"c":1},{"d":":{,"}]}})", "x", faults).table.size(), 1u);
  EXPECT_TRUE(faults.empty());
}

}  // namespace
}  // namespace witnessline::base
