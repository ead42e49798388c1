#include "materials/binder_tables.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/units.h"
#include "materials/csv.h"

namespace witnessline::materials {

namespace {

constexpr double month_s = 365.25 / 12 * 86400;
constexpr std::array kinds{"measured", "computed", "published", "memory", "estimate"};

template <class Words>
std::optional<std::size_t> place_of(const std::string& word, const Words& words) {
  const auto it = std::find(words.begin(), words.end(), word);
  if (it == words.end()) return std::nullopt;
  return static_cast<std::size_t>(it - words.begin());
}

}  // namespace

Result<std::vector<ShelfLife>> read_shelf_lives(const std::string& path, const std::vector<Source>& sources) {
  const Result<CsvTable> table = read_csv(path);
  if (!table) return table.errors();
  const std::vector<std::string> header{"binder",     "part", "state",  "doubtful_months",
                                        "bad_months", "kind", "source", "locator"};
  if (table->header != header)
    return Error{"the columns are wrong for a table of shelf lives",
                 {path, table->header_line, 0, ""},
                 fmt::format("{}", fmt::join(header, ",")),
                 ""};
  std::vector<Error> faults;
  std::vector<ShelfLife> lives;
  for (const CsvRow& row : table->rows) {
    const auto fault = [&](std::size_t column, std::string expected) {
      faults.push_back({fmt::format("'{}' cannot be read here", row.cells[column]),
                        {path, row.line, 0, header[column]},
                        std::move(expected),
                        ""});
    };
    ShelfLife life;
    const auto binder = place_of(row.cells[0], words(static_cast<const Binder*>(nullptr)));
    const auto part = place_of(row.cells[1], std::array{"paint", "hardener"});
    const auto state = place_of(row.cells[2], std::array{"sealed", "opened"});
    const auto kind = place_of(row.cells[5], kinds);
    const auto doubtful = number_in(row.cells[3]), bad = number_in(row.cells[4]);
    if (!binder) fault(0, "a binder");
    if (!part) fault(1, "paint or hardener");
    if (!state) fault(2, "sealed or opened");
    if (!doubtful || *doubtful <= 0) fault(3, "months above 0");
    if (!row.cells[4].empty() && (!bad || (doubtful && *bad < *doubtful)))
      fault(4, "months, no fewer than doubtful_months; empty: the tests decide");
    if (!kind) fault(5, fmt::format("{}", fmt::join(kinds, ", ")));
    if (std::none_of(sources.begin(), sources.end(), [&](const Source& s) { return s.key == row.cells[6]; }))
      fault(6, "a key of sources.bib");
    if (!faults.empty()) continue;
    life.binder = static_cast<Binder>(*binder), life.hardener = *part == 1, life.opened = *state == 1;
    life.doubtful_s = *doubtful * month_s;
    if (bad) life.bad_s = *bad * month_s;
    life.kind = static_cast<Kind>(*kind), life.source = row.cells[6], life.locator = row.cells[7];
    lives.push_back(std::move(life));
  }
  if (!faults.empty()) return faults;
  return lives;
}

Result<std::vector<UsualCarrier>> read_usual_carriers(const std::string& path, const std::vector<Material>& materials) {
  const Result<CsvTable> table = read_csv(path);
  if (!table) return table.errors();
  const std::vector<std::string> header{"binder", "solvent", "volume_fraction", "leaves_last", "kind", "source"};
  if (table->header != header)
    return Error{"the columns are wrong for a table of usual carriers",
                 {path, table->header_line, 0, ""},
                 fmt::format("{}", fmt::join(header, ",")),
                 ""};
  std::vector<Error> faults;
  const auto fault = [&](int line, std::string what, std::string expected) {
    faults.push_back({std::move(what), {path, line, 0, ""}, std::move(expected), ""});
  };
  std::vector<UsualCarrier> carriers;
  for (const CsvRow& row : table->rows) {
    const auto binder = place_of(row.cells[0], words(static_cast<const Binder*>(nullptr)));
    const auto fraction = number_in(row.cells[2]);
    const bool known = std::any_of(materials.begin(), materials.end(),
                                   [&](const Material& m) { return m.id == row.cells[1] && m.role == Role::solvent; });
    if (!binder) fault(row.line, fmt::format("'{}' is no binder", row.cells[0]), "a binder");
    if (!known) fault(row.line, fmt::format("'{}' is no solvent of the library", row.cells[1]), "a solvent's id");
    if (!fraction || *fraction < 0 || *fraction > 1) fault(row.line, "this is not a share by volume", "0 to 1");
    if (!row.cells[3].empty() && row.cells[3] != "yes")
      fault(row.line, fmt::format("'{}' cannot be read here", row.cells[3]), "yes, or nothing");
    if (binder && known && fraction)
      carriers.push_back({static_cast<Binder>(*binder), row.cells[1], *fraction, row.cells[3] == "yes"});
  }
  const auto binders = words(static_cast<const Binder*>(nullptr));
  for (std::size_t b = 0; faults.empty() && b < binders.size(); ++b) {
    double sum = 0;
    int rows = 0, last = 0;
    for (const UsualCarrier& one : carriers)
      if (static_cast<std::size_t>(one.binder) == b) ++rows, sum += one.volume_fraction, last += one.leaves_last;
    if (rows > 0 && std::abs(sum - 1) > 1e-9)
      fault(table->header_line, fmt::format("the carrier of {} adds up to {:.3g}", binders[b], sum), "1");
    if (rows > 0 && last != 1)
      fault(table->header_line, fmt::format("{} solvents of {} leave last", last, binders[b]), "one");
  }
  if (!faults.empty()) return faults;
  return carriers;
}

}  // namespace witnessline::materials
