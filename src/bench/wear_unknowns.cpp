#include "bench/wear_unknowns.h"

#include "base/result.h"
#include "bench/wear_tables.h"
#include "materials/csv.h"

namespace witnessline::bench {

namespace {
constexpr std::size_t unknowns = words(static_cast<const WearUnknown*>(nullptr)).size();

std::array<ConditionedWear, unknowns> read() {
  const Result<CsvTable> table = csv_table(wear_unknowns_csv, "wear_unknowns.csv");
  expects(table && table->rows.size() == unknowns, "one row an unknown of wear");
  std::array<ConditionedWear, unknowns> made;
  for (std::size_t i = 0; i < unknowns; ++i) {
    const std::vector<std::string>& cell = table->rows[i].cells;
    expects(cell.at(0) == words(static_cast<const WearUnknown*>(nullptr))[i], "unknowns of wear in their order");
    const auto number = [&](std::size_t column) {
      const std::optional<double> n = number_in(cell.at(column));
      expects(n && *n > 0, "data/practice/wear_unknowns.csv holds numbers above zero");
      return *n;
    };
    made[i] = {number(2), number(3), number(4), number(5), cell.at(1), cell.at(6)};
  }
  return made;
}
}  // namespace

const ConditionedWear& wear_unknown(WearUnknown which) {
  static const std::array<ConditionedWear, unknowns> all = read();
  return all[static_cast<std::size_t>(which)];
}

WearUnknown wear_of(Touch by, bool hard) {
  if (!hard) return WearUnknown::film_wear;
  return by == Touch::buckle ? WearUnknown::buckle_wear : WearUnknown::pick_wear;
}

double film_pace_m_h(Touch by) {
  static const auto all = [] {
    constexpr auto names = words(static_cast<const Touch*>(nullptr));
    const Result<CsvTable> table = csv_table(wear_paces_csv, "wear_paces.csv");
    expects(table && table->rows.size() == names.size(), "one row a touch");
    std::array<double, names.size()> made{};
    for (std::size_t t = 0; t < names.size(); ++t) {
      const std::optional<double> um_1000_h = number_in(table->rows[t].cells.at(1));
      expects(table->rows[t].cells[0] == names[t] && um_1000_h && *um_1000_h > 0, "touches in their order");
      made[t] = 1e-9 * *um_1000_h;
    }
    return made;
  }();
  return all[static_cast<std::size_t>(by)];
}

}  // namespace witnessline::bench
