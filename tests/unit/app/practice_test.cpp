// Practice beside the program: rows agree or say why not, and their figures are those of the collection they come from.
#include <gtest/gtest.h>

#include <cmath>
#include <filesystem>
#include <map>

#include "app/practice/practice.h"
#include "materials/csv.h"

namespace witnessline::app {
namespace {

TEST(Practice, EveryRowAgreesOrSaysWhyNot) {
  const auto library = read_library(PROJECT_FOLDER "/data");
  const auto rows = read_practice(PROJECT_FOLDER "/data");
  ASSERT_TRUE(library);
  ASSERT_TRUE(rows) << rows.errors()[0].text();
  const Predictors predictors = all_predictors();
  int computed = 0, agree = 0;
  for (const PracticeRow& row : *rows) {
    if (row.quantity.empty()) {
      EXPECT_FALSE(row.why.empty()) << row.file << ":" << row.line << ": nothing computes it and nothing says why";
      continue;
    }
    const auto predictor = predictors.find(row.quantity);
    ASSERT_NE(predictor, predictors.end()) << row.quantity;
    const auto ours = predictor->second(row, *library);
    ASSERT_TRUE(ours) << ours.errors()[0].text();
    ++computed, agree += row.holds(*ours);
    if (!row.holds(*ours))
      EXPECT_FALSE(row.why.empty()) << row.line << " " << row.claim << ": ours " << *ours << " " << row.unit;
    // What was merely remembered is no pass mark; a factor of ten off any text is.
    if (row.how_known == "practice") EXPECT_LT(std::abs(std::log10(*ours / row.middle())), 1.0) << row.claim;
  }
  EXPECT_GT(agree, 0.6 * computed);
}

TEST(Practice, FiguresAreThoseOfTheCollection) {
  const std::string collection = PROJECT_FOLDER "/../shared/reference/practice/practice.csv";
  if (!std::filesystem::exists(collection)) GTEST_SKIP() << "the practice collection is not beside the project";
  const auto table = read_csv(collection);
  const auto rows = read_practice(PROJECT_FOLDER "/data");
  ASSERT_TRUE(table);
  ASSERT_TRUE(rows);
  std::map<int, const CsvRow*> of_line;
  for (const CsvRow& row : table->rows) of_line[row.line] = &row;
  std::map<int, bool> seen;
  for (const PracticeRow& row : *rows) {
    if (row.row == 0) continue;
    ASSERT_TRUE(of_line.count(row.row)) << row.row;
    seen[row.row] = true;
    if (row.quantity.empty()) continue;
    const std::vector<std::string>& cell = of_line[row.row]->cells;
    EXPECT_EQ(row.low, number_in(cell[3])) << row.row;
    EXPECT_EQ(row.typical, number_in(cell[4])) << row.row;
    EXPECT_EQ(row.high, number_in(cell[5])) << row.row;
    EXPECT_EQ(row.how_known, cell[8]) << row.row;
  }
  for (const auto& [line, row] : of_line)
    if (row->cells[0] == "A drying") EXPECT_TRUE(seen[line]) << "row " << line << " is not answered: " << row->cells[1];
}

}  // namespace
}  // namespace witnessline::app
