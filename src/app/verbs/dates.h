// dates: the marks on parts against each other, and when it can have been put together.
#pragma once

#include <optional>

#include "app/verb.h"
#include "history/dates.h"

namespace witnessline::app {

enum class Writing { date, code };
constexpr auto words(const Writing*) { return std::array{"date", "code"}; }

struct MarkGiven {
  std::string name, reads;
  Writing kind{};
  Dates dates{};
  std::optional<int> maker_digits;
};
template <class V>
void describe(V& v, MarkGiven& m) {
  v(member("name", "the part and where the mark stands").must(), m.name);
  v(member("reads",
           "what it says: 3-62, 1962-03-14, about 1952, early 1950s, 1952 to 1954, before 1960; a code: 999-6233")
        .must(),
    m.reads);
  v(member("kind", "a date in plain writing, or a source-date code: number, year, week"), m.kind);
  v(member("dates", "a part bought in, a part made in the shop, the assembly itself, or a day it was seen").must(),
    m.dates);
  v(member("maker_digits", "of a code: digits before the year; absent: every split is tried").within(0, 4),
    m.maker_digits);
}

struct DatesRequest {
  std::vector<MarkGiven> marks;
  double stock_s = unit::year.to_si(2), made_s = unit::year.to_si(1);
  std::string today;
};
template <class V>
void describe(V& v, DatesRequest& r) {
  v(member("marks", "every mark that can be read, also those that seem wrong").must(), r.marks);
  v(member("stock_a", "usual longest time a bought part is stored", unit::year).within(0, 20), r.stock_s);
  v(member("made_a", "the same for a part made in the shop", unit::year).within(0, 20), r.made_s);
  v(member("today", "day of the question, as 2026-11-30: nothing was put together later; absent: by the clock"),
    r.today);
}

/// One way to read one mark.
struct MarkReading {
  std::string mark, read_as, from, to;
  bool used = false;
};
template <class V>
void describe(V& v, MarkReading& r) {
  v(member("mark", "which"), r.mark);
  v(member("read_as", "how it is read"), r.read_as);
  v(member("from", "first day"), r.from);
  v(member("to", "last day"), r.to);
  v(member("used", "this reading fits the assembly"), r.used);
}

struct AssemblySpan {
  std::string from, to, fitting, others;
};
template <class V>
void describe(V& v, AssemblySpan& a) {
  v(member("from", "first day"), a.from);
  v(member("to", "last day"), a.to);
  v(member("fitting", "marks that leave nothing to wonder about"), a.fitting);
  v(member("others", "marks that do not fit"), a.others);
}

struct MarkStanding {
  std::string mark, assembly;
  Standing standing{};
  std::string in_words;
};
template <class V>
void describe(V& v, MarkStanding& s) {
  v(member("mark", "which"), s.mark);
  v(member("assembly", "beside which days of assembly"), s.assembly);
  v(member("standing", "how it stands to them"), s.standing);
  v(member("in_words", "the same in words"), s.in_words);
}

enum class DatesVerdict { agree, one_mark, older_part, younger_part, odd_part, contradict };
constexpr auto words(const DatesVerdict*) {
  return std::array{"agree", "one_mark", "older_part", "younger_part", "odd_part", "contradict"};
}

struct DatesAnswer {
  std::vector<std::string> sentences;
  DatesVerdict verdict{};
  std::vector<AssemblySpan> assembled;
  std::vector<MarkStanding> marks;
  std::vector<MarkReading> readings;
  std::vector<Note> notes;
};
template <class V>
void describe(V& v, DatesAnswer& a) {
  v(member("sentences", "what to know, most important first"), a.sentences);
  v(member("verdict", "the marks in one word"), a.verdict);
  v(member("assembled", "when it can have been put together, as most of the marks have it"), a.assembled);
  v(member("marks", "how each mark stands to that"), a.marks);
  v(member("readings", "every way each mark can be read"), a.readings);
  v(member("notes", "what dates do not prove"), a.notes);
}

Result<DatesAnswer> dates_answer(const DatesRequest&, const Asking&);
Verb dates_verb();

}  // namespace witnessline::app
