#include "app/verbs/dates.h"

#include <fmt/format.h>

#include <algorithm>

namespace witnessline::app {

namespace {

struct Read {
  std::vector<DateMark> marks;
  std::vector<MarkReading> readings;
  std::vector<DaySpan> spans;   ///< one a reading
  std::vector<std::size_t> of;  ///< the mark of each reading
  bool weeks_differ = false;
};

/// The day of the question. Errors: not one day.
Result<Day> today_of(const DatesRequest& asked, const Asking& asking) {
  if (asked.today.empty()) return asking.today.value_or(last_day);
  const auto read = read_date(asked.today);
  if (!read || read->size() != 1 || read->front().first != read->front().last)
    return Error{fmt::format("'{}' is not a day", asked.today), {"", 0, 0, "today"}, "a day as 2026-11-30", ""};
  return read->front().first;
}

Result<Read> read_marks(const DatesRequest& asked, Day today) {
  Read read;
  std::vector<Error> faults;
  const auto add = [&](std::size_t m, std::string how, const DaySpan& span) {
    read.readings.push_back({asked.marks[m].name, std::move(how), text_of(span.first), text_of(span.last), false});
    read.spans.push_back(span), read.of.push_back(m);
  };
  const auto fault = [&](std::vector<Error> errors, std::size_t m) {
    for (Error& error : errors) {
      error.where.key = fmt::format("marks[{}].reads", m + 1);
      faults.push_back(std::move(error));
    }
  };
  if (asked.marks.empty())
    return Error{
        "no mark is given", {"", 0, 0, "marks"}, "one mark at least", "write down every date that can be read"};
  for (std::size_t m = 0; m < asked.marks.size(); ++m) {
    const MarkGiven& given = asked.marks[m];
    Days days;
    if (given.kind == Writing::code) {
      const auto readings = read_date_code(given.reads, given.maker_digits);
      if (!readings) {
        fault(readings.errors(), m);
        continue;
      }
      for (const CodeReading& r : *readings) {
        if (r.days.first > today) continue;  // the decade that has not come
        add(m,
            fmt::format("{}{} week {:02}", r.maker.empty() ? "" : fmt::format("number {}, ", r.maker), r.year, r.week),
            r.days);
        read.weeks_differ |= r.days.last - r.days.first > std::chrono::days(6);
      }
      days = days_of(*readings);
    } else {
      const auto date = read_date(given.reads);
      if (!date) {
        fault(date.errors(), m);
        continue;
      }
      for (const DaySpan& span : up_to(today, *date)) add(m, given.reads, span);
      days = *date;
    }
    days = up_to(today, days);
    if (days.empty()) {
      fault({{fmt::format("'{}' is a day that has not come: today is {}", given.reads, text_of(today)),
              {},
              "a date up to today",
              "read the mark again"}},
            m);
      continue;
    }
    read.marks.push_back({given.name, given.dates, std::move(days)});
  }
  if (!faults.empty()) return faults;
  return read;
}

std::string time_between(Day from, Day to) {
  const auto count = static_cast<double>((to - from).count());
  if (count < 60) return fmt::format("{:.0f} days", count);
  if (count < 730) return fmt::format("{:.0f} months", count / 30.44);
  return fmt::format("{:.1f} years", count / 365.2425);
}

std::string in_words(const DateMark& mark, Standing standing, const DaySpan& assembly, const UsualAge& usual) {
  switch (standing) {
    case Standing::fits:
      return mark.dates == Dates::seen       ? "seen after it can have been put together"
             : mark.dates == Dates::assembly ? "dates the assembly itself"
                                             : "old enough, and not older than is usual";
    case Standing::older:
      return fmt::format("at least {} older than the assembly, more than is usual: old stock, or from something older",
                         time_between(mark.days.back().last, assembly.first));
    case Standing::younger:
      return fmt::format("at least {} younger than the assembly: it came later, or is misread",
                         time_between(assembly.last, mark.days.front().first));
    case Standing::against:
      break;
  }
  if (mark.dates == Dates::seen)
    return fmt::format("seen at least {} before the others let it be put together",
                       time_between(mark.days.back().last, assembly.first));
  if (mark.dates == Dates::assembly) return "names another time of assembly than the others";
  return fmt::format("each of its readings is too young, or more than {} years older",
                     mark.dates == Dates::part ? usual.part_a : usual.made_a);
}

std::string names_of(const std::vector<DateMark>& marks, const Assembly& assembly, bool fitting) {
  std::string names;
  for (std::size_t m = 0; m < marks.size(); ++m)
    if ((assembly.standing[m] == Standing::fits) == fitting) names += (names.empty() ? "" : "; ") + marks[m].name;
  return names;
}

std::string span_in_words(const DaySpan& span) {
  const std::string from = text_of(span.first), to = text_of(span.last);
  if (from == "open") return "by " + to;
  if (from == to) return "on " + from;
  return fmt::format("between {} and {}", from, to);
}

DatesVerdict verdict_of(const std::vector<DateMark>& marks, const std::vector<Assembly>& found) {
  const std::vector<Standing>& standing = found.front().standing;
  const auto count = [&](Standing s) { return std::count(standing.begin(), standing.end(), s); };
  const auto all = static_cast<std::ptrdiff_t>(standing.size());
  if (all == 1) return DatesVerdict::one_mark;
  if (count(Standing::fits) == all) return DatesVerdict::agree;
  if (found.size() > 1) return DatesVerdict::contradict;
  for (std::size_t m = 0; m < marks.size(); ++m)
    if (standing[m] == Standing::against && (marks[m].dates == Dates::assembly || marks[m].dates == Dates::seen))
      return DatesVerdict::contradict;
  const std::ptrdiff_t odd = all - count(Standing::fits);
  if (count(Standing::older) == odd) return DatesVerdict::older_part;
  if (count(Standing::younger) == odd) return DatesVerdict::younger_part;
  return DatesVerdict::odd_part;
}

std::vector<std::string> sentences_of(const Read& read, const std::vector<Assembly>& found, DatesVerdict verdict) {
  std::vector<std::string> result;
  std::string when;
  for (std::size_t i = 0; i < found.size() && i < 3; ++i) when += (i > 0 ? ", or " : "") + span_in_words(found[i].days);
  if (found.size() > 3) when += fmt::format(", or in one of {} more spans", found.size() - 3);
  const std::size_t all = read.marks.size();
  const auto fitting = std::count(found.front().standing.begin(), found.front().standing.end(), Standing::fits);
  switch (verdict) {
    case DatesVerdict::one_mark:
      result.push_back(fmt::format("There is only one mark: if it belongs to this instrument, put together {}.", when));
      result.emplace_back("No other mark confirms or contradicts it.");
      break;
    case DatesVerdict::agree:
      result.push_back(fmt::format("The marks agree: put together {}.", when));
      break;
    case DatesVerdict::older_part:
    case DatesVerdict::younger_part:
    case DatesVerdict::odd_part:
      result.push_back(fmt::format("{} of {} marks put the assembly {}; the rest do not fit.", fitting, all, when));
      break;
    case DatesVerdict::contradict:
      result.push_back(
          fitting == 1 && found.size() > 1
              ? "The marks contradict each other: no two of them are true of one assembly."
              : fmt::format("The marks contradict each other: at most {} of {} fit together, {}.", fitting, all, when));
      if (found.size() > 1) result.emplace_back("Nothing here says which of these is right.");
      break;
  }
  return result;
}

}  // namespace

Result<DatesAnswer> dates_answer(const DatesRequest& asked, const Asking& asking) {
  const Result<Day> today = today_of(asked, asking);
  if (!today) return today.errors();
  Result<Read> got = read_marks(asked, *today);
  if (!got) return got.errors();
  Read& read = *got;
  const UsualAge usual{unit::year.from_si(asked.stock_s), unit::year.from_si(asked.made_s)};
  const std::vector<Assembly> found = assemblies(read.marks, usual, *today);
  DatesAnswer answer;
  answer.verdict = verdict_of(read.marks, found);
  answer.sentences = sentences_of(read, found, answer.verdict);
  for (const Assembly& assembly : found) {
    answer.assembled.push_back({text_of(assembly.days.first), text_of(assembly.days.last),
                                names_of(read.marks, assembly, true), names_of(read.marks, assembly, false)});
    for (std::size_t m = 0; m < read.marks.size(); ++m) {
      const DateMark& mark = read.marks[m];
      const std::string words = in_words(mark, assembly.standing[m], assembly.days, usual);
      answer.marks.push_back({mark.name, text_of(assembly.days), assembly.standing[m], words});
      if (found.size() == 1 && assembly.standing[m] != Standing::fits && read.marks.size() > 1)
        answer.sentences.push_back(fmt::format("{}: {}.", mark.name, words));
    }
    for (std::size_t r = 0; r < read.readings.size(); ++r) {
      const DateMark& mark = read.marks[read.of[r]];
      const Days days = assembly_days({mark.name, mark.dates, {read.spans[r]}}, usual);
      read.readings[r].used |= !common(days, {assembly.days}).empty();
    }
  }
  answer.readings = std::move(read.readings);
  answer.notes.push_back({Severity::information,
                          "A dated part proves that the whole is not older than it, never when it was made: parts lie "
                          "in stock and are changed. How long is usual is common practice, no source.",
                          ""});
  if (read.weeks_differ)
    answer.notes.push_back({Severity::information,
                            "Codes count weeks from Sunday, in two ways that differ by a week in some years: a code "
                            "then stands for two weeks.",
                            ""});
  if (std::any_of(asked.marks.begin(), asked.marks.end(), [](const MarkGiven& m) { return m.kind == Writing::code; }))
    answer.notes.push_back({Severity::information,
                            "Whose a source number is stands in the published register; no names are kept here.", ""});
  return answer;
}

namespace {
std::string format_answer(const DatesAnswer& a, BenchUnits) {
  std::string text;
  for (const std::string& s : a.sentences) text += s + "\n";
  text += "\nPut together\n";
  for (const AssemblySpan& s : a.assembled)
    text +=
        fmt::format("  {} to {}: {}{}\n", s.from, s.to, s.fitting, s.others.empty() ? "" : " (not: " + s.others + ")");
  text += "\nMarks\n";
  for (const MarkStanding& s : a.marks) text += fmt::format("  {}, beside {}: {}\n", s.mark, s.assembly, s.in_words);
  text += "\nReadings (* fits)\n";
  for (const MarkReading& r : a.readings)
    text += fmt::format("{} {}: {}, {} to {}\n", r.used ? " *" : "  ", r.mark, r.read_as, r.from, r.to);
  text += "\n";
  for (const Note& n : a.notes) text += n.text + "\n";
  return text;
}
}  // namespace

Verb dates_verb() {
  return verb<DatesRequest, DatesAnswer>(
      "dates", "Marks on parts against each other: when it can have been put together, and what does not belong",
      Work{}, dates_answer, format_answer);
}

}  // namespace witnessline::app
