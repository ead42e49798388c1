#include "history/dates.h"
#include "app/published/published.h"

namespace witnessline::app {

namespace {
double day_of_year(Day day, int year) {
  const Day new_year(std::chrono::year(year) / std::chrono::January / 1);
  return static_cast<double>((day - new_year).count()) + 1;
}

/// The days a code stands for: one end of the span all ways of counting weeks give.
double code_day(const Numbers& in, bool last) {
  const int year = static_cast<int>(in["year"]);
  std::vector<DaySpan> spans;
  for (const FirstWeek counting : {FirstWeek::first_sunday, FirstWeek::four_days})
    if (const auto span = days_of_week(year, static_cast<int>(in["week"]), counting)) spans.push_back(*span);
  expects(!spans.empty(), "a published row names a week its year has");
  const Days days = joined(spans);
  return day_of_year(last ? days.back().last : days.front().first, year);
}

double week_day(const Numbers& in, FirstWeek counting) {
  const int year = static_cast<int>(in["year"]);
  const auto span = days_of_week(year, static_cast<int>(in["week"]), counting);
  expects(span.has_value(), "a published row names a week its year has");
  return day_of_year(span->first, year);
}
}  // namespace

void add_date_checks(Registry& registry) {
  const std::vector<std::string> keys{"year", "week"};
  registry.add("code_first_day", keys, [](const Numbers& in) { return code_day(in, false); });
  registry.add("code_last_day", keys, [](const Numbers& in) { return code_day(in, true); });
  registry.add("week_from_first_sunday", keys, [](const Numbers& in) { return week_day(in, FirstWeek::first_sunday); });
  registry.add("week_from_four_days", keys, [](const Numbers& in) { return week_day(in, FirstWeek::four_days); });
}

}  // namespace witnessline::app
