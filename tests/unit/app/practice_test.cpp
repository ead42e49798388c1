// Practice beside the program: rows agree or say why not, and their figures are those of the collection they come from.
#include <gtest/gtest.h>

#include <cmath>
#include <filesystem>
#include <map>

#include "app/practice/wear.h"
#include "bench/wear_unknowns.h"
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
    EXPECT_TRUE(seen[line]) << "row " << line << " is not answered: " << row->cells[1];
}

// What `life` reads is what a wear step lays: the kept table is that of contact with K as practice has it.
TEST(Practice, PacesOfWearAreThoseOfContact) {
  for (std::size_t t = 0; t < words(static_cast<const Touch*>(nullptr)).size(); ++t) {
    const auto touch = static_cast<Touch>(t);
    const Result<WearPace> pace = wear_pace(touch);
    ASSERT_TRUE(pace);
    const double film_um = 1e6 * std::max(pace->film_soft_m, pace->film_hard_m);
    EXPECT_NEAR(1e9 * film_pace_m_h(touch), film_um, 0.02 * film_um)
        << words(&touch)[t] << ": run tools/condition_wear again";
  }
}

// Practice is what the unknowns were conditioned on, so each keeps less doubt than it began with, and its row is met.
TEST(Practice, ConditionsOnWearLeaveLessDoubtAndHoldTheirRows) {
  for (std::size_t i = 0; i < words(static_cast<const WearUnknown*>(nullptr)).size(); ++i) {
    const ConditionedWear& c = wear_unknown(static_cast<WearUnknown>(i));
    EXPECT_LT(c.sd_ln, c.prior_sd_ln) << c.moves;
    EXPECT_FALSE(c.moves.empty());
  }
  const auto library = read_library(PROJECT_FOLDER "/data");
  const auto rows = read_practice(PROJECT_FOLDER "/data");
  ASSERT_TRUE(library && rows);
  const Predictors predictors = all_predictors();
  for (const PracticeRow& row : *rows)
    if (row.conditions && row.file.find("ageing") != std::string::npos)
      EXPECT_TRUE(row.holds(*predictors.at(row.quantity)(row, *library))) << row.claim;
  const std::string page = unknowns_section();
  EXPECT_NE(page.find("wood wear soft"), std::string::npos);
  EXPECT_NE(page.find("life: chance that it was never played"), std::string::npos);
}

}  // namespace
}  // namespace witnessline::app
