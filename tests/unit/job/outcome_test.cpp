#include <algorithm>
#include <sstream>

#include "base/tree.h"
#include "demo.h"
#include "job/outcome.h"
#include "job/write.h"

namespace witnessline::job {
namespace {

Figure film(double si) {
  return {"median film",
          si,
          {0.9 * si, 1.1 * si},
          Quantity::film_thickness,
          "sum of the coats, \"as laid\"",
          "common_practice",
          {{"coat", si, Quantity::film_thickness, Kind::measured, "bench"}},
          Kind::measured};
}

Outcome outcome() {
  Outcome o;
  o.job = "demo", o.title = "A demo", o.invented = true;
  PlanOutcome p;
  p.id = "partial", p.title = "Partial repair";
  p.kept_fraction = {"kept", 0.83, {}, Quantity::fraction, "", "", {}, Kind::computed};
  p.hands_on = {"work", 5.5 * 3600, {}, Quantity::duration, "", "", {}, Kind::estimate};
  StepOutcome s;
  s.id = "before", s.word = "";
  s.thickness = {{"front", {}, film(30e-6), film(34e-6), film(38.1e-6), film(45e-6)}};
  s.notes = {{Severity::caution, "naphtha vapour burns", "wash"}, {Severity::information, "grime was thin", "wash"}};
  StepOutcome again = s;
  again.id = "wash", again.word = "clean";
  again.notes = {{Severity::caution, "naphtha vapour burns", "degrease"},
                 {Severity::danger, "old enamel may hold lead", "wash"}};
  p.steps = {s, again};
  p.notes = {{Severity::caution, "the binding is near", ""}};
  p.open_hold_points = {{"Is it lead?", {"sand"}, "", ""}};
  o.plans = {p};
  return o;
}

TEST(Outcome, JsonKeepsEveryFigureWithBothBenchUnits) {
  std::vector<Error> faults;
  const Tree json = read_json(outcome_json(outcome()), "", faults);
  ASSERT_TRUE(faults.empty()) << all_texts(faults);
  const Tree& median = *json.find("plans")->list[0].find("steps")->list[0].find("thickness")->list[0].find("median");
  EXPECT_EQ(median.find("value")->number, 38.1e-6);
  EXPECT_EQ(median.find("quantity")->text, "film_thickness");
  EXPECT_EQ(median.find("kind")->text, "measured");
  EXPECT_EQ(median.find("source")->text, "common_practice");
  EXPECT_EQ(median.find("inputs")->list.size(), 1u);
  EXPECT_EQ(median.find("metric")->find("text")->text, "38 um");
  EXPECT_EQ(median.find("us")->find("text")->text, "1.5 mil");  // 38.1 um = 1.5 mil exactly
  EXPECT_NEAR(median.find("us")->find("value")->number, 1.5, 1e-12);
  EXPECT_EQ(json.find("plans")->list[0].find("to_target")->is, Tree::Is::nothing);
  EXPECT_EQ(outcome_json(outcome()).find("nan"), std::string::npos);
}

TEST(Outcome, CsvHasOneRowAFigure) {
  std::istringstream csv(outcome_csv(outcome()));
  std::string line;
  std::getline(csv, line);
  const auto cells = [](const std::string& row) {  // RFC 4180
    std::vector<std::string> all{""};
    bool quoted = false;
    for (std::size_t i = 0; i < row.size(); ++i) {
      if (quoted && row[i] == '"' && i + 1 < row.size() && row[i + 1] == '"')
        all.back() += '"', ++i;
      else if (row[i] == '"')
        quoted = !quoted;
      else if (row[i] == ',' && !quoted)
        all.emplace_back();
      else
        all.back() += row[i];
    }
    return all;
  };
  const std::size_t columns = cells(line).size();
  EXPECT_EQ(columns, 15u);
  int medians = 0, rows = 0;
  while (std::getline(csv, line)) {
    const std::vector<std::string> row = cells(line);
    ASSERT_EQ(row.size(), columns) << line;
    ++rows;
    if (row[3] != "median") continue;
    ++medians;
    EXPECT_EQ(row[0], "partial");
    EXPECT_EQ(row[1], medians == 1 ? "before" : "wash");
    EXPECT_EQ(row[2], "thickness: front");
    EXPECT_NEAR(std::stod(row[4]), 38.1, 1e-9);
    EXPECT_EQ(row[5], "um");
    EXPECT_NEAR(std::stod(row[8]), 1.5, 1e-12);
    EXPECT_EQ(row[9], "mil");
    EXPECT_EQ(row[14], "sum of the coats, \"as laid\"");
  }
  EXPECT_EQ(medians, 2);
  EXPECT_GT(rows, 20);
}

TEST(Outcome, TextLosesNoCautionAndSaysEachOnce) {
  const std::string text = outcome_text(outcome(), BenchUnits::metric);
  const auto times = [&](const std::string& words) {
    int n = 0;
    for (std::size_t at = text.find(words); at != std::string::npos; at = text.find(words, at + 1)) ++n;
    return n;
  };
  EXPECT_EQ(times("naphtha vapour burns"), 1);
  EXPECT_EQ(times("CAUTION wash, degrease: naphtha"), 1) << text;
  EXPECT_EQ(times("DANGER  wash: old enamel may hold lead"), 1) << text;
  EXPECT_EQ(times("the binding is near"), 1);
  EXPECT_EQ(times("HOLD  Is it lead? (before: sand)"), 1) << text;
  EXPECT_LT(text.find("old enamel"), text.find("naphtha vapour"));  // the gravest first
  EXPECT_EQ(times("invented"), 1);
  EXPECT_EQ(times("nan"), 0);
  EXPECT_NE(text.find("38 um"), std::string::npos);
  EXPECT_NE(outcome_text(outcome(), BenchUnits::us).find("1.5 mil"), std::string::npos);
  std::istringstream lines(text);
  for (std::string line; std::getline(lines, line);) EXPECT_LE(line.size(), 120u) << line;
}

TEST(Outcome, NothingToTellIsStillText) {
  EXPECT_FALSE(outcome_text({}, BenchUnits::us).find("nan") != std::string::npos);
  const std::string csv = outcome_csv({});
  EXPECT_EQ(std::count(csv.begin(), csv.end(), '\n'), 1);
}

}  // namespace
}  // namespace witnessline::job
