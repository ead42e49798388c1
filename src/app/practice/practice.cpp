#include "app/practice/practice.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <sstream>

#include "app/practice/wear.h"
#include "materials/csv.h"

namespace witnessline::app {

namespace {
const std::vector<std::string> columns{"row",  "quantity", "subject", "inputs",    "claim",      "low", "typical",
                                       "high", "unit",     "sources", "how_known", "conditions", "why"};
constexpr double spread_of_90 = 3.29;  // standard deviations from 5 to 95 in 100
constexpr double lone_factor = 2, slack = 1.1;
const std::vector<std::string> tables{"drying.csv", "laying.csv", "levelling.csv", "ageing.csv", "shop.csv"};

std::map<std::string, std::string> split_inputs(const std::string& text) {
  std::map<std::string, std::string> inputs;
  std::istringstream stream(text);
  for (std::string pair; std::getline(stream, pair, ';');)
    if (const std::size_t equals = pair.find('='); equals != std::string::npos)
      inputs[pair.substr(0, equals)] = pair.substr(equals + 1);
  return inputs;
}

/// A number as a person reads it: three figures.
std::string figure_text(double value) { return fmt::format("{:.3g}", value); }

}  // namespace

std::string window_text(const PracticeRow& row) {
  std::string text = row.typical ? figure_text(*row.typical) : "";
  if (row.low && row.high)
    text += fmt::format("{}{} to {}{}", text.empty() ? "" : " (", figure_text(*row.low), figure_text(*row.high),
                        text.empty() ? "" : ")");
  else if (row.low)
    text += fmt::format("{}{} or more", text.empty() ? "" : ", ", figure_text(*row.low));
  else if (row.high)
    text += fmt::format("{}{} at most", text.empty() ? "" : ", ", figure_text(*row.high));
  return text + (row.unit == "1" ? "" : " " + row.unit);
}

std::string PracticeRow::word(const std::string& key, const std::string& otherwise) const {
  const auto found = inputs.find(key);
  return found == inputs.end() ? otherwise : found->second;
}
double PracticeRow::number(const std::string& key, double otherwise) const {
  const auto found = inputs.find(key);
  return found == inputs.end() ? otherwise : number_in(found->second).value_or(otherwise);
}
double PracticeRow::middle() const {
  if (typical) return *typical;
  return low && high ? std::sqrt(*low * *high) : low ? *low : high.value_or(0);
}
double PracticeRow::log_sd() const {
  const double sd = low && high && *high > *low ? std::log(*high / *low) / spread_of_90 : std::log(lone_factor) / 1.645;
  return how_known == "memory" ? 2 * sd : sd;
}
bool PracticeRow::holds(double value) const {
  const double least = low ? *low / slack : high ? 0 : *typical / lone_factor;
  const double most = high ? *high * slack : low ? INFINITY : *typical * lone_factor;
  return value >= least && value <= most;
}

Result<std::vector<PracticeRow>> practice_rows(const std::string& text, const std::string& file) {
  const Result<CsvTable> table = csv_table(text, file);
  if (!table) return table.errors();
  if (table->header != columns)
    return Error{"the header is not that of practice rows",
                 {file, table->header_line, 0, ""},
                 fmt::format("{}", fmt::join(columns, ",")),
                 ""};
  std::vector<PracticeRow> rows;
  std::vector<Error> faults;
  for (const CsvRow& line : table->rows) {
    const std::vector<std::string>& cell = line.cells;
    PracticeRow row;
    row.row = static_cast<int>(number_in(cell[0]).value_or(0));
    row.quantity = cell[1], row.subject = cell[2], row.inputs = split_inputs(cell[3]), row.claim = cell[4];
    for (const auto& [at, into] : {std::pair{5, &row.low}, std::pair{6, &row.typical}, std::pair{7, &row.high}}) {
      const std::string& number = cell[static_cast<std::size_t>(at)];
      *into = number_in(number);
      if (!number.empty() && !*into)
        faults.push_back({fmt::format("'{}' is no number", number),
                          {file, line.line, 0, columns[static_cast<std::size_t>(at)]},
                          "a number or nothing",
                          ""});
    }
    row.unit = cell[8], row.sources = cell[9], row.how_known = cell[10], row.conditions = cell[11] == "yes",
    row.why = cell[12], row.file = file, row.line = line.line;
    if (!row.quantity.empty() && !row.low && !row.typical && !row.high)
      faults.push_back({"a claim without a figure", {file, line.line, 0, "typical"}, "low, typical or high", ""});
    rows.push_back(std::move(row));
  }
  if (!faults.empty()) return faults;
  return rows;
}

Result<std::vector<PracticeRow>> read_practice(const std::string& data_folder) {
  namespace fs = std::filesystem;
  std::vector<PracticeRow> rows;
  std::vector<Error> faults;
  for (const std::string& name : tables) {
    const fs::path path = fs::path(data_folder) / "practice" / name;
    if (!fs::exists(path)) continue;
    const Result<CsvTable> whole = read_csv(path.string());
    if (!whole) {
      faults.insert(faults.end(), whole.errors().begin(), whole.errors().end());
      continue;
    }
    std::string text = fmt::format("{}\n", fmt::join(whole->header, ","));
    for (const CsvRow& row : whole->rows) {
      std::vector<std::string> cells;
      for (const std::string& cell : row.cells) cells.push_back(csv_cell(cell));
      text += fmt::format("{}\n", fmt::join(cells, ","));
    }
    Result<std::vector<PracticeRow>> some = practice_rows(text, path.string());
    if (some)
      rows.insert(rows.end(), some->begin(), some->end());
    else
      faults.insert(faults.end(), some.errors().begin(), some.errors().end());
  }
  if (!faults.empty()) return faults;
  return rows;
}

Predictors all_predictors() {
  Predictors all;
  add_drying_predictors(all);
  add_wear_predictors(all);
  add_film_predictors(all);
  add_shop_predictors(all);
  return all;
}

Result<std::string> practice_page(const std::string& data_folder) {
  const Result<Library> library = read_library(data_folder);
  if (!library) return library.errors();
  const Result<std::vector<PracticeRow>> rows = read_practice(data_folder);
  if (!rows) return rows.errors();
  const Predictors predictors = all_predictors();
  std::string text =
      "# What practice says, and what the program says\n\n"
      "Made by `build/release/write_generated .` from `data/practice/*.csv`. A row says what finishers, makers' sheets "
      "or\n"
      "books say (*read* in one text, *practice* in several, or *memory*: recalled, no text opened), and what this "
      "program\n"
      "computes for the same case. *Conditions*: the unknowns of the model were fitted to this row; the others are "
      "kept\n"
      "apart and only score it. *Agrees*: ours lies in the window of practice, widened by a tenth; a lone figure "
      "holds\n"
      "within a factor of two. Source codes are those of the collection the rows were taken from.\n";
  std::string file;
  std::size_t computed = 0, agree = 0, apart = 0, apart_agree = 0;
  std::string body;
  std::map<std::string, std::string> unanswered;  // rows by the reason
  const auto close_table = [&] {
    if (!unanswered.empty()) body += "\nNot computed:\n\n";
    for (const auto& [why, lines] : unanswered) body += fmt::format("- row {}: {}\n", lines, why);
    unanswered.clear();
  };
  for (const PracticeRow& row : *rows) {
    const std::string name = std::filesystem::path(row.file).stem().string();
    if (name != file) {
      close_table();
      file = name;
      body += fmt::format(
          "\n## {}\n\n| row | case | practice | program | | how known | why ours differs, or what conditions it |\n"
          "|---|---|---|---|---|---|---|\n",
          name);
    }
    const auto predictor = predictors.find(row.quantity);
    if (predictor == predictors.end()) {
      std::string& lines = unanswered[row.why];
      lines += fmt::format("{}{}", lines.empty() ? "" : ", ", row.row);
      continue;
    }
    const Result<double> ours = predictor->second(row, *library);
    if (!ours) return ours.errors();
    const bool agrees = row.holds(*ours);
    ++computed, agree += agrees;
    if (!row.conditions) ++apart, apart_agree += agrees;
    body +=
        fmt::format("| {} | {} | {} | {} {} | {} | {}{} | {} |\n", row.row ? std::to_string(row.row) : "", row.claim,
                    window_text(row), figure_text(*ours), row.unit == "1" ? "" : row.unit,
                    agrees ? "agrees" : "**differs**", row.how_known, row.conditions ? ", conditions" : "", row.why);
  }
  close_table();
  return text +
         fmt::format("\n{} rows are computed: {} agree. Of the {} that were kept apart {} agree.\n", computed, agree,
                     apart, apart_agree) +
         unknowns_section() + body;
}

}  // namespace witnessline::app
