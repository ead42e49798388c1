// One test a published value: every row of data/published/*.csv, ours beside theirs.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cctype>
#include <ostream>

#include "app/published/published.h"

namespace witnessline::app {

// GoogleTest names a failed row by this.
void PrintTo(const Check& check, std::ostream* out) {
  *out << check.id << " " << check.what << " (" << check.inputs << ")";
}

namespace {

const Result<std::vector<Check>>& all_checks() {
  static const Result<std::vector<Check>> checks = verify(PROJECT_FOLDER "/data");
  return checks;
}

std::vector<Check> checks_or_none() { return all_checks() ? *all_checks() : std::vector<Check>{}; }

class Published : public testing::TestWithParam<Check> {};

TEST_P(Published, OursAgrees) {
  const Check& check = GetParam();
  ASSERT_EQ(check.fault, "") << check.id << " " << check.what;
  EXPECT_TRUE(check.within()) << fmt::format("{} {} ({}): ours {:.6g}, published {:.6g} +- {:.3g} {} [{}, {}]",
                                             check.id, check.what, check.inputs, check.ours, check.published,
                                             check.tolerance, check.unit, check.source, check.locator);
}

INSTANTIATE_TEST_SUITE_P(Row, Published, testing::ValuesIn(checks_or_none()),
                         [](const testing::TestParamInfo<Check>& row) {
                           std::string name = row.param.id;
                           for (char& c : name)
                             if (!std::isalnum(static_cast<unsigned char>(c))) c = '_';
                           return name;
                         });
GTEST_ALLOW_UNINSTANTIATED_PARAMETERIZED_TEST(Published);

TEST(PublishedRows, CanBeRead) {
  if (!all_checks())
    for (const Error& error : all_checks().errors()) ADD_FAILURE() << error.text();
}

TEST(PublishedRows, EnoughOfThemTestTruth) {
  const std::vector<Check> checks = checks_or_none();
  const auto truth = std::count_if(checks.begin(), checks.end(), [](const Check& c) { return c.tests_truth; });
  EXPECT_GE(truth, 150);
}

}  // namespace
}  // namespace witnessline::app
