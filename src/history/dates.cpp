#include "history/dates.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace witnessline::history {

namespace {
namespace chr = std::chrono;
using chr::days;

constexpr Day day(int year, unsigned month, unsigned date) {
  return Day(chr::year(year) / chr::month(month) / chr::day(date));
}
constexpr Day long_ago = day(1500, 1, 1), far_off = last_day;

Day shifted(Day from, double years) {
  if (from <= long_ago || from >= far_off) return from;
  return from + days(std::lround(years * 365.2425));
}
}  // namespace

Days joined(std::vector<DaySpan> spans) {
  std::sort(spans.begin(), spans.end(), [](const DaySpan& a, const DaySpan& b) { return a.first < b.first; });
  Days all;
  for (const DaySpan& span : spans) {
    if (!all.empty() && span.first <= all.back().last + days(1))
      all.back().last = std::max(all.back().last, span.last);
    else
      all.push_back(span);
  }
  return all;
}

Days common(const Days& a, const Days& b) {
  Days both;
  for (const DaySpan& x : a)
    for (const DaySpan& y : b)
      if (const DaySpan z{std::max(x.first, y.first), std::min(x.last, y.last)}; z.first <= z.last) both.push_back(z);
  return joined(std::move(both));
}

std::optional<DaySpan> days_of_week(int year, int week, FirstWeek counting) {
  if (week < 1 || week > 53) return {};
  const Day new_year = day(year, 1, 1);
  const int weekday = static_cast<int>(chr::weekday(new_year).c_encoding());  // Sunday is 0
  const int to_sunday = (7 - weekday) % 7;
  // A year that begins on Sunday to Wednesday has four days or more in its first week.
  const int start = counting == FirstWeek::four_days && weekday <= 3 ? -weekday : to_sunday;
  const DaySpan span{new_year + days(start + 7 * (week - 1)), new_year + days(start + 7 * week - 1)};
  const Day next = day(year + 1, 1, 1);
  const bool in_year = counting == FirstWeek::first_sunday ? span.first < next : span.first + days(3) < next;
  return in_year ? std::optional(span) : std::nullopt;
}

namespace {
std::vector<std::string> groups_of(std::string_view text, std::string_view gaps) {
  std::vector<std::string> groups(1);
  for (const char c : text) {
    if (gaps.find(c) == std::string_view::npos)
      groups.back() += c;
    else if (!groups.back().empty())
      groups.emplace_back();
  }
  if (groups.back().empty()) groups.pop_back();
  return groups;
}

bool digits(std::string_view text) {
  return !text.empty() && text.find_first_not_of("0123456789") == std::string_view::npos;
}

Error no_code(std::string_view text) {
  return {fmt::format("'{}' is no source-date code", text),
          {},
          "number of one to four digits, year of one or two, week of two: 999-6233",
          "leave letters and part numbers out; a date in plain writing is of kind date"};
}

struct Split {
  std::string maker, year;
  int week;
};

std::vector<Split> splits_of(const std::vector<std::string>& groups, std::optional<int> maker_digits) {
  std::vector<Split> splits;
  const auto add = [&](const std::string& maker, const std::string& year, const std::string& week) {
    if (maker.size() > 4 || year.empty() || year.size() > 2 || week.size() != 2) return;
    if (maker_digits ? static_cast<int>(maker.size()) != *maker_digits : maker.empty()) return;
    splits.push_back({maker, year, std::stoi(week)});
  };
  const auto tail = [](const std::string& all, std::size_t count) { return all.substr(all.size() - count); };
  if (groups.size() == 3) add(groups[0], groups[1], groups[2]);
  if (groups.size() == 2 && groups[1].size() > 2) {
    const std::string& dated = groups[1];
    add(groups[0], dated.substr(0, dated.size() - 2), tail(dated, 2));
  }
  if (groups.size() == 2 && groups[1].size() == 2 && maker_digits == 0) add("", groups[0], groups[1]);
  if (groups.size() == 1)
    for (std::size_t year_digits = 1; year_digits <= 2; ++year_digits)
      if (const std::string& all = groups[0]; all.size() >= year_digits + 2)
        add(all.substr(0, all.size() - 2 - year_digits), tail(all, 2 + year_digits).substr(0, year_digits),
            tail(all, 2));
  return splits;
}
}  // namespace

Result<std::vector<CodeReading>> read_date_code(std::string_view text, std::optional<int> maker_digits) {
  const std::vector<std::string> groups = groups_of(text, " -./");
  if (groups.empty() || !std::all_of(groups.begin(), groups.end(), [](const auto& g) { return digits(g); }))
    return no_code(text);
  const std::vector<Split> splits = splits_of(groups, maker_digits);
  if (splits.empty()) return no_code(text);
  const int week = splits.front().week;  // always the last two digits
  if (week < 1 || week > 53)
    return Error{fmt::format("'{}' names week {}", text, week),
                 {},
                 "week 01 to 53",
                 "read it again under a lens in raking light, or leave this mark out"};

  std::vector<CodeReading> readings;
  for (const Split& split : splits) {
    const int step = split.year.size() == 1 ? 10 : 100;
    const int given = std::stoi(split.year);
    for (int year = first_code_year; year <= last_code_year; ++year) {
      if (year % step != given) continue;
      std::vector<DaySpan> spans;
      for (const FirstWeek counting : {FirstWeek::first_sunday, FirstWeek::four_days})
        if (const auto span = days_of_week(year, week, counting)) spans.push_back(*span);
      if (spans.empty()) continue;
      const Days both = joined(std::move(spans));  // the same week or its neighbour: one span
      readings.push_back({split.maker, year, week, {both.front().first, both.back().last}});
    }
  }
  if (readings.empty())
    return Error{fmt::format("'{}': no year it can mean has a week {}", text, week),
                 {},
                 "a week of that year",
                 "read it again under a lens in raking light"};
  return readings;
}

Days days_of(const std::vector<CodeReading>& readings) {
  std::vector<DaySpan> spans;
  for (const CodeReading& reading : readings) spans.push_back(reading.days);
  return joined(std::move(spans));
}

namespace {
constexpr int oldest_year = 1600;

Error no_date(const std::string& text) {
  return {fmt::format("'{}' is no date", text),
          {},
          "1962-03-14, 1962-03, 1962, 3-62, 3-14-62, about 1952, 1950s, early 1950s, 1952 to 1954, before 1960",
          "write what can be read, as a range if need be"};
}

Error not_in_calendar(const std::string& text) {
  return {fmt::format("'{}' is not in the calendar", text),
          {},
          "a month 1 to 12 and a day that month has",
          "read it again; a year alone is a date too"};
}

std::optional<DaySpan> month_of(int year, int month) {
  if (month < 1 || month > 12) return {};
  const auto ym = chr::year(year) / chr::month(static_cast<unsigned>(month));
  return DaySpan{Day(ym / 1), Day(ym / chr::last)};
}

std::optional<DaySpan> date_of(int year, int month, int date) {
  const chr::year_month_day ymd(chr::year(year), chr::month(static_cast<unsigned>(month)),
                                chr::day(static_cast<unsigned>(date)));
  if (!ymd.ok()) return {};
  return DaySpan{Day(ymd), Day(ymd)};
}

std::vector<int> years_meant(const std::string& digits) {
  const int given = std::stoi(digits);
  if (digits.size() == 4) return {given};
  std::vector<int> years{1900 + given};
  if (2000 + given <= last_code_year) years.push_back(2000 + given);
  return years;
}

DaySpan years(int first, int last) { return {day(first, 1, 1), day(last, 12, 31)}; }

bool year_digits(const std::string& group) {
  return group.size() == 2 ||
         (group.size() == 4 && std::stoi(group) >= oldest_year && std::stoi(group) <= last_code_year);
}

/// "1962-03-14", "1962-03", "1962", "3-62", "3-14-62".
Result<Days> plain_date(const std::string& text) {
  const std::vector<std::string> groups = groups_of(text, "-/. ");
  if (groups.empty() || groups.size() > 3 ||
      !std::all_of(groups.begin(), groups.end(), [](const auto& g) { return digits(g) && g.size() <= 4; }))
    return no_date(text);
  const bool year_first = groups.front().size() == 4;
  const std::string& year = year_first ? groups.front() : groups.back();
  if (!year_digits(year)) return no_date(text);
  if (groups.size() == 1) {
    if (!year_first) return no_date(text);
    return Days{years(std::stoi(year), std::stoi(year))};
  }
  const auto small = [&](std::size_t i) { return std::stoi(groups[i]); };
  std::vector<DaySpan> spans;
  const auto add = [&](const std::optional<DaySpan>& span) {
    if (span) spans.push_back(*span);
  };
  for (const int y : years_meant(year)) {
    if (groups.size() == 2)
      add(month_of(y, small(year_first ? 1 : 0)));
    else if (year_first)
      add(date_of(y, small(1), small(2)));
    else
      add(date_of(y, small(0), small(1))), add(date_of(y, small(1), small(0)));
  }
  if (spans.empty()) return not_in_calendar(text);
  return joined(std::move(spans));
}

bool take(std::string& text, std::string_view start) {
  if (!text.starts_with(start)) return false;
  text.erase(0, start.size());
  return true;
}

/// "1950s", with which of its ten years. ESTIMATE: early is the first four, middle 3 to 6, late the last four.
Result<Days> decade(const std::string& text, int from, int to) {
  if (text.size() != 5 || text.back() != 's' || text[3] != '0' || !digits(text.substr(0, 4)) ||
      !year_digits(text.substr(0, 4)))
    return no_date(text);
  const int start = std::stoi(text.substr(0, 4));
  return Days{years(start + from, start + to)};
}
}  // namespace

Result<Days> read_date(std::string_view given) {
  std::string text;
  for (const char c : given)
    if (c != ' ' || (!text.empty() && text.back() != ' '))
      text += c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
  while (!text.empty() && text.back() == ' ') text.pop_back();
  if (text.size() > 80) return no_date(text.substr(0, 80));

  if (const std::size_t to = text.find(" to "); to != std::string::npos) {
    const Result<Days> from = read_date(text.substr(0, to)), until = read_date(text.substr(to + 4));
    if (!from) return from.errors();
    if (!until) return until.errors();
    if (until->back().last < from->front().first)
      return Error{fmt::format("'{}' ends before it begins", text), {}, "the earlier date first", ""};
    return Days{{from->front().first, until->back().last}};
  }
  if (take(text, "about ") || take(text, "circa ") || take(text, "ca. ") || take(text, "c. ")) {
    const Result<Days> middle = read_date(text);
    if (!middle) return middle.errors();
    std::vector<DaySpan> wide;
    for (const DaySpan& span : *middle) wide.push_back({shifted(span.first, -2), shifted(span.last, 2)});
    return joined(std::move(wide));
  }
  if (take(text, "before ")) {
    const Result<Days> end = read_date(text);
    if (!end) return end.errors();
    return Days{{long_ago, end->back().first - days(1)}};
  }
  if (take(text, "early ")) return decade(text, 0, 3);
  if (take(text, "mid ")) return decade(text, 3, 6);
  if (take(text, "late ")) return decade(text, 6, 9);
  if (!text.empty() && text.back() == 's') return decade(text, 0, 9);
  return plain_date(text);
}

Days assembly_days(const DateMark& mark, const UsualAge& usual) {
  if (mark.days.empty() || mark.dates == Dates::assembly) return mark.days;
  if (mark.dates == Dates::seen) return {{long_ago, mark.days.back().last}};
  std::vector<DaySpan> spans;
  for (const DaySpan& span : mark.days)
    spans.push_back({span.first, shifted(span.last, mark.dates == Dates::part ? usual.part_a : usual.made_a)});
  return joined(std::move(spans));
}

namespace {
Standing standing_of(const DateMark& mark, const Days& at_ease, const DaySpan& assembly) {
  if (!common(at_ease, {assembly}).empty()) return Standing::fits;
  if (mark.dates == Dates::assembly || mark.dates == Dates::seen) return Standing::against;
  if (at_ease.back().last < assembly.first) return Standing::older;
  if (at_ease.front().first > assembly.last) return Standing::younger;
  return Standing::against;
}
}  // namespace

std::vector<Assembly> assemblies(const std::vector<DateMark>& marks, const UsualAge& usual, Day today) {
  std::vector<Days> at_ease;
  std::vector<Day> edges;  // between two of them no mark changes its mind
  for (const DateMark& mark : marks) {
    at_ease.push_back(up_to(today, assembly_days(mark, usual)));
    for (const DaySpan& span : at_ease.back()) edges.push_back(span.first), edges.push_back(span.last + days(1));
  }
  std::sort(edges.begin(), edges.end());
  edges.erase(std::unique(edges.begin(), edges.end()), edges.end());

  std::size_t most = 1;
  std::vector<std::pair<DaySpan, std::vector<std::size_t>>> best;
  for (std::size_t e = 0; e + 1 < edges.size(); ++e) {
    const DaySpan span{edges[e], edges[e + 1] - days(1)};
    std::vector<std::size_t> fit;
    for (std::size_t m = 0; m < marks.size(); ++m)
      if (!common(at_ease[m], {span}).empty()) fit.push_back(m);
    if (fit.size() < most) continue;
    if (fit.size() > most) best.clear(), most = fit.size();
    if (!best.empty() && best.back().first.last + days(1) == span.first && best.back().second == fit)
      best.back().first.last = span.last;
    else
      best.emplace_back(span, std::move(fit));
  }
  // A mark that dates the assembly itself decides between spans that fit as many.
  const auto direct = [&](const auto& one) {
    return std::count_if(one.second.begin(), one.second.end(),
                         [&](std::size_t m) { return marks[m].dates == Dates::assembly; });
  };
  std::ptrdiff_t most_direct = 0;
  for (const auto& one : best) most_direct = std::max(most_direct, direct(one));
  std::vector<Assembly> found;
  for (const auto& one : best) {
    if (direct(one) < most_direct) continue;
    const DaySpan& span = one.first;
    Assembly assembly{span, {}};
    for (std::size_t m = 0; m < marks.size(); ++m) assembly.standing.push_back(standing_of(marks[m], at_ease[m], span));
    found.push_back(std::move(assembly));
  }
  return found;
}

std::string text_of(Day when) {
  if (when <= long_ago || when >= far_off) return "open";
  const chr::year_month_day ymd(when);
  return fmt::format("{:04}-{:02}-{:02}", static_cast<int>(ymd.year()), static_cast<unsigned>(ymd.month()),
                     static_cast<unsigned>(ymd.day()));
}

std::string text_of(const DaySpan& span) {
  return span.first == span.last ? text_of(span.first)
                                 : fmt::format("{} to {}", text_of(span.first), text_of(span.last));
}

}  // namespace witnessline::history
