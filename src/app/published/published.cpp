#include "app/published/published.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "materials/csv.h"
#include "materials/properties.h"

namespace witnessline::app {

bool Check::within() const { return fault.empty() && std::abs(ours - published) <= tolerance; }

void Registry::add(const std::string& quantity, Evaluate evaluate) {
  const bool is_new = evaluators_.emplace(quantity, std::move(evaluate)).second;
  expects(is_new, "two evaluators for one quantity");
}

void Registry::add(const std::string& quantity, std::vector<std::string> keys,
                   std::function<double(const Numbers&)> evaluate) {
  add(quantity, [keys = std::move(keys), evaluate = std::move(evaluate)](const PublishedRow& row) -> Result<double> {
    const Result<Numbers> inputs = numbers(row, keys);
    if (!inputs) return inputs.errors();
    return evaluate(*inputs);
  });
}

namespace {
Place place_of(const PublishedRow& row) { return {row.file, row.line, 0, row.quantity}; }
}  // namespace

Result<double> Registry::evaluate(const PublishedRow& row) const {
  const auto it = evaluators_.find(row.quantity);
  if (it == evaluators_.end()) {
    std::vector<std::string> known;
    for (const auto& [quantity, evaluate] : evaluators_) known.push_back(quantity);
    const std::string near = nearest_word(row.quantity, known);
    return Error{"nothing here works this quantity out", place_of(row), "",
                 near.empty() ? "add an evaluator for it" : fmt::format("did you mean '{}'?", near)};
  }
  Result<double> ours = it->second(row);
  if (ours && !std::isfinite(*ours)) return Error{"our value is not a number", place_of(row), "", ""};
  return ours;
}

Result<Numbers> numbers(const PublishedRow& row, const std::vector<std::string>& keys) {
  std::map<std::string, double> values;
  std::vector<Error> faults;
  for (const std::string& key : keys) {
    const auto it = row.inputs.find(key);
    if (it == row.inputs.end()) {
      faults.push_back({fmt::format("input '{}' is missing", key), place_of(row), fmt::format("{}=number", key), ""});
      continue;
    }
    const std::optional<double> value = number_in(it->second);
    if (!value)
      faults.push_back({fmt::format("input '{}' is '{}'", key, it->second), place_of(row), "a number", ""});
    else
      values[key] = *value;
  }
  if (!faults.empty()) return faults;
  return Numbers(std::move(values));
}

Result<double> datum_of_subject(const Registry& registry, const PublishedRow& row, Property property) {
  const Place place = place_of(row);
  const Material* material = registry.library.find(row.subject);
  if (!material) {
    return Error{fmt::format("material '{}' is not in the library", row.subject), place, "",
                 did_you_mean(row.subject, registry.library.ids())};
  }
  const Datum* datum = material->find(property);
  if (!datum) return Error{fmt::format("{} has no {}", row.subject, row_of(property).key), place, "", ""};
  return datum->value;
}

namespace {
const std::vector<std::string> columns{"quantity", "subject", "inputs",    "value", "unit", "tol",
                                       "source",   "locator", "how_known", "tests", "note"};

std::map<std::string, std::string> split_inputs(const std::string& text) {
  std::map<std::string, std::string> inputs;
  std::istringstream stream(text);
  for (std::string pair; std::getline(stream, pair, ';');) {
    const std::size_t equals = pair.find('=');
    if (equals != std::string::npos) inputs[pair.substr(0, equals)] = pair.substr(equals + 1);
  }
  return inputs;
}

void read_rows(const CsvTable& table, const Library& library, std::vector<PublishedRow>& rows,
               std::vector<Error>& faults) {
  if (table.header != columns) {
    faults.push_back({"the header is not that of published rows",
                      {table.file, table.header_line, 0, ""},
                      fmt::format("{}", fmt::join(columns, ",")),
                      ""});
    return;
  }
  for (const CsvRow& line : table.rows) {
    const std::vector<std::string>& cell = line.cells;
    PublishedRow row{cell[0], cell[1], split_inputs(cell[2]), 0,        cell[4],    0,        cell[6],
                     cell[7], cell[8], cell[9] == "truth",    cell[10], table.file, line.line};
    const auto fault = [&](const std::string& what, const std::string& expected, const std::string& fix = "") {
      faults.push_back({what, {table.file, line.line, 0, row.quantity}, expected, fix});
    };
    const std::optional<double> value = number_in(cell[3]), tolerance = number_in(cell[5]);
    if (!value) fault(fmt::format("value is '{}'", cell[3]), "a number");
    if (!tolerance || *tolerance <= 0) fault(fmt::format("tol is '{}'", cell[5]), "a number above 0");
    if (row.unit.empty()) fault("unit is missing", "a unit; 1 for a plain number");
    if (cell[9] != "truth" && cell[9] != "arithmetic")
      fault(fmt::format("tests is '{}'", cell[9]), "truth or arithmetic");
    if (cell[8] != "read" && cell[8] != "computed" && cell[8] != "memory")
      fault(fmt::format("how_known is '{}'", cell[8]), "read, computed or memory");
    if (!library.source(row.source))
      fault(fmt::format("source '{}' is not in sources.bib", row.source), "a key of data/sources.bib");
    row.value = value.value_or(0);
    row.tolerance = tolerance.value_or(0);
    rows.push_back(std::move(row));
  }
}
}  // namespace

Result<std::vector<PublishedRow>> read_published(const std::string& data_folder, const Library& library) {
  namespace fs = std::filesystem;
  const fs::path folder = fs::path(data_folder) / "published";
  std::error_code failed;
  std::vector<fs::path> files;
  for (const auto& entry : fs::directory_iterator(folder, failed))
    if (entry.path().extension() == ".csv") files.push_back(entry.path());
  if (failed || files.empty())
    return Error{"no published values found",
                 {folder.string(), 0, 0, ""},
                 "files named *.csv",
                 "install data/ with the program"};
  std::sort(files.begin(), files.end());

  std::vector<PublishedRow> rows;
  std::vector<Error> faults;
  for (const fs::path& file : files) {
    const Result<CsvTable> table = read_csv(file.string());
    if (table)
      read_rows(*table, library, rows, faults);
    else
      faults.insert(faults.end(), table.errors().begin(), table.errors().end());
  }
  if (!faults.empty()) return faults;
  return rows;
}

namespace {
void all_evaluators(Registry& registry) {
  add_wood_checks(registry);
  add_coating_checks(registry);
  add_solvent_checks(registry);
  add_drying_checks(registry);
  add_colour_checks(registry);
  add_photograph_checks(registry);
  add_film_checks(registry);
  add_safety_checks(registry);
  add_laying_checks(registry);
  add_date_checks(registry);
  add_cracking_checks(registry);
  add_contact_checks(registry);
  add_counted_checks(registry);
}

std::string inputs_text(const PublishedRow& row) {
  std::vector<std::string> pairs;
  for (const auto& [key, value] : row.inputs) pairs.push_back(key + " " + value);
  return fmt::format("{}", fmt::join(pairs, ", "));
}
}  // namespace

Result<std::vector<Check>> verify(const std::string& data_folder) {
  const Result<Library> library = read_library(data_folder);
  if (!library) return library.errors();
  const Result<std::vector<PublishedRow>> rows = read_published(data_folder, *library);
  if (!rows) return rows.errors();

  Registry registry(*library);
  all_evaluators(registry);
  std::vector<Check> checks;
  for (const PublishedRow& row : *rows) {
    Check check;
    check.id = fmt::format("{}:{}", std::filesystem::path(row.file).stem().string(), row.line);
    check.what = row.quantity + (row.subject.empty() ? "" : ", " + row.subject);
    check.inputs = inputs_text(row);
    check.published = row.value;
    check.tolerance = row.tolerance;
    check.unit = row.unit;
    check.source = row.source;
    check.locator = row.locator;
    check.how_known = row.how_known;
    check.tests_truth = row.tests_truth;
    check.note = row.note;
    const Result<double> ours = registry.evaluate(row);
    if (ours)
      check.ours = *ours;
    else
      check.fault = ours.errors().front().text();
    checks.push_back(std::move(check));
  }
  return checks;
}

}  // namespace witnessline::app
