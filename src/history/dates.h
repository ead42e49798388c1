// Dates of parts against each other: source-date codes, written and stamped dates, and when the whole can have been
// put together. A date is always a set of days, never a point.
#pragma once

#include <chrono>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"

namespace witnessline::history {

using Day = std::chrono::sys_days;
/// Later than any mark means.
inline constexpr Day last_day{std::chrono::year(2200) / 1 / 1};

/// Both ends belong to it.
struct DaySpan {
  Day first, last;
  friend bool operator==(const DaySpan&, const DaySpan&) = default;
};

/// A set of days: spans in order, apart from each other.
using Days = std::vector<DaySpan>;
Days joined(std::vector<DaySpan>);
Days common(const Days&, const Days&);
/// The days of a set that have come.
inline Days up_to(Day today, const Days& days) { return common(days, {{Day::min(), today}}); }

/// Weeks run from Sunday to Saturday. Source: ecia_codes, whose example rules weeks that begin on Monday out; these
/// two ways of counting fit it and differ by a week in some years.
enum class FirstWeek { first_sunday, four_days };

/// Days of a week of a year; none: that year has no such week. Valid: weeks 1 to 53.
/// Law: week 1 begins on the first Sunday, or is the first with four days or more in the year. Source: ecia_codes.
std::optional<DaySpan> days_of_week(int year, int week, FirstWeek);

/// Two-digit years name one year each in the hundred that begins with the register of source numbers.
inline constexpr int first_code_year = 1945;  ///< Source: eia476
inline constexpr int last_code_year = first_code_year + 99;

/// One way to read a code: both ways of counting weeks in one span.
struct CodeReading {
  std::string maker;  ///< registered number, as stamped; names are none of our business
  int year = 0, week = 0;
  DaySpan days;
};

/// Every way to read "999-6233", "999 62 33", "9996233": number of one to four digits, year of one or two, week.
/// A one-digit year is a candidate in every decade; without gaps every split is one, unless `maker_digits` is given
/// (0: no number stands before the year). Errors: no code; a week past 53; a week the year does not have.
Result<std::vector<CodeReading>> read_date_code(std::string_view, std::optional<int> maker_digits = {});
Days days_of(const std::vector<CodeReading>&);

/// Days meant by a written or stamped date: "1962-03-14", "1962-03", "1962", "3-62", "3-14-62" (month or day first:
/// both), "about 1952" (two years either way, ESTIMATE), "1950s", "early 1950s", "1952 to 1954", "before 1960".
/// Errors: not a date; a day the calendar does not have; a range that ends before it begins.
Result<Days> read_date(std::string_view);

/// What a mark dates.
enum class Dates {
  part,      ///< the making of a part that was bought in and may have lain in stock
  made,      ///< the making of a part in the same shop
  assembly,  ///< the putting together
  seen       ///< a day on which it existed
};
constexpr auto words(const Dates*) { return std::array{"part", "made", "assembly", "seen"}; }

/// How long before the assembly a part may be made and nobody wonders [a].
/// Source: common practice (a year or two); ESTIMATE, offered to the person who asks.
struct UsualAge {
  double part_a = 2, made_a = 1;
};

struct DateMark {
  std::string name;
  Dates dates{};
  Days days;
};

/// Days of assembly a mark leaves nothing to wonder about with.
Days assembly_days(const DateMark&, const UsualAge&);

enum class Standing {
  fits,
  older,    ///< than usual: old stock, or from something older
  younger,  ///< than the assembly: came later, or misread
  against   ///< dates the assembly itself otherwise, or nothing in one word
};
constexpr auto words(const Standing*) { return std::array{"fits", "older", "younger", "against"}; }

/// One span in which as many marks as can are at ease, and how each stands to it.
struct Assembly {
  DaySpan days;
  std::vector<Standing> standing;  ///< one a mark
};

/// Every span of days up to `today` that fits as many marks as any day does; among those, the ones that fit most marks
/// of the assembly itself. Law: exact, by the ends of the marks' spans.
std::vector<Assembly> assemblies(const std::vector<DateMark>&, const UsualAge&, Day today = last_day);

/// "1962-03-04"; a span of one day is that day. Ends further off than any instrument read "open".
std::string text_of(Day);
std::string text_of(const DaySpan&);

}  // namespace witnessline::history
