#include "history/dates.h"

#include <gtest/gtest.h>

namespace witnessline::history {
namespace {

Day day(int y, unsigned m, unsigned d) {
  return Day(std::chrono::year(y) / std::chrono::month(m) / std::chrono::day(d));
}

DaySpan one(const Result<Days>& days) {
  EXPECT_TRUE(days) << days.errors().front().text();
  EXPECT_EQ(days->size(), 1u);
  return days->front();
}

// The registrar's example: 99 10 is March 7 to 13 (ecia_codes). ISO's week 10 of 1999 begins on March 8.
TEST(DateCode, RegistrarsExample) {
  for (const FirstWeek counting : {FirstWeek::first_sunday, FirstWeek::four_days})
    EXPECT_EQ(days_of_week(1999, 10, counting), (DaySpan{day(1999, 3, 7), day(1999, 3, 13)}));
  const auto read = read_date_code("999-9910");
  ASSERT_TRUE(read);
  ASSERT_EQ(read->size(), 1u);
  EXPECT_EQ(read->front().maker, "999");
  EXPECT_EQ(read->front().days, (DaySpan{day(1999, 3, 7), day(1999, 3, 13)}));
}

TEST(DateCode, WeeksCoverEveryYearWithoutGapOrOverlap) {
  for (const FirstWeek counting : {FirstWeek::first_sunday, FirstWeek::four_days})
    for (int year = 1945; year < 2044; ++year) {
      int weeks = 52;
      while (days_of_week(year, weeks + 1, counting)) ++weeks;
      EXPECT_LE(weeks, 53);
      for (int week = 1; week < weeks; ++week)
        EXPECT_EQ(days_of_week(year, week, counting)->last + std::chrono::days(1),
                  days_of_week(year, week + 1, counting)->first);
      EXPECT_EQ(days_of_week(year, weeks, counting)->last + std::chrono::days(1),
                days_of_week(year + 1, 1, counting)->first);
    }
}

// The system's own calendar counts weeks from the first Sunday by %U.
TEST(DateCode, FirstSundayIsWhatTheCLibraryCounts) {
  for (int year = 1946; year < 2030; year += 3)
    for (int week = 1; week <= 52; ++week) {
      const std::time_t when =
          std::chrono::system_clock::to_time_t(days_of_week(year, week, FirstWeek::first_sunday)->first);
      std::tm broken{};
      gmtime_r(&when, &broken);
      char text[3];
      std::strftime(text, sizeof text, "%U", &broken);
      EXPECT_EQ(std::stoi(text), week) << year;
    }
}

// As labels and dealers write it.
TEST(DateRead, CircaIsAbout) {
  const DaySpan about = one(read_date("about 1934"));
  for (const char* text : {"c. 1934", "ca. 1934", "circa 1934", "C. 1934"})
    EXPECT_EQ(one(read_date(text)), about) << text;
}

TEST(DateCode, WaysOfCountingGiveOneSpan) {
  const auto read = read_date_code("999 62 10");
  ASSERT_TRUE(read);
  EXPECT_EQ(read->front().days, (DaySpan{day(1962, 3, 4), day(1962, 3, 17)}));
}

TEST(DateCode, OneDigitYearIsACandidateInEveryDecade) {
  const auto read = read_date_code("999-233");
  ASSERT_TRUE(read);
  ASSERT_EQ(read->size(), 10u);
  EXPECT_EQ(read->front().year, 1952);
  EXPECT_EQ(read->back().year, 2042);
}

TEST(DateCode, WithoutGapsEverySplitIsTried) {
  const auto both = read_date_code("999233");  // 99, 92, 33 or 999, 2, 33
  ASSERT_TRUE(both);
  EXPECT_EQ(both->size(), 11u);
  const auto shown_text = read_date_code("999233", 2);
  ASSERT_TRUE(shown_text);
  ASSERT_EQ(shown_text->size(), 1u);
  EXPECT_EQ(shown_text->front().year, 1992);
}

TEST(DateCode, SaysWhatIsWrong) {
  const auto week = read_date_code("999-6257");
  ASSERT_FALSE(week);
  EXPECT_NE(week.errors().front().what.find("week 57"), std::string::npos);
  EXPECT_FALSE(read_date_code("999-6200"));
  EXPECT_FALSE(read_date_code("99999-6210"));
  EXPECT_FALSE(read_date_code("B 999-6210"));
  EXPECT_FALSE(read_date_code(""));
  EXPECT_FALSE(read_date_code("999-6253"));  // 1962 has 52 weeks however they are counted
  EXPECT_TRUE(read_date_code("999-6153"));   // 1961 began on a Sunday
}

TEST(WrittenDate, IsReadAsDays) {
  EXPECT_EQ(one(read_date("1962-02")), (DaySpan{day(1962, 2, 1), day(1962, 2, 28)}));
  EXPECT_EQ(one(read_date("3-62")), (DaySpan{day(1962, 3, 1), day(1962, 3, 31)}));
  EXPECT_EQ(one(read_date("3-14-62")), (DaySpan{day(1962, 3, 14), day(1962, 3, 14)}));
  EXPECT_EQ(read_date("3-4-62")->size(), 2u);
  EXPECT_EQ(one(read_date("About  1952")), (DaySpan{day(1950, 1, 1), day(1954, 12, 31)}));
  EXPECT_EQ(one(read_date("1950s")), (DaySpan{day(1950, 1, 1), day(1959, 12, 31)}));
  EXPECT_EQ(one(read_date("early 1950s")).last, day(1953, 12, 31));
  EXPECT_EQ(one(read_date("1952-06 to 1954")), (DaySpan{day(1952, 6, 1), day(1954, 12, 31)}));
  EXPECT_EQ(one(read_date("before 1960")).last, day(1959, 12, 31));
  EXPECT_EQ(one(read_date("1960-02-29")).first, day(1960, 2, 29));
}

TEST(WrittenDate, ImpossibleOnesAreRefused) {
  for (const char* text : {"1962-02-30", "1962-13", "31-31-62", "1954 to 1952", "1955s", "soon", "", "62", "1961-02-29",
                           "about", "to", " to 1950", "99999", "0-62"})
    EXPECT_FALSE(read_date(text)) << text;
}

DateMark mark(Dates dates, const char* text) { return {"", dates, *read_date(text)}; }

TEST(Assemblies, OlderPartsAreNormalYoungerOnesAreNot) {
  const auto fit = assemblies({mark(Dates::made, "1962-03"), mark(Dates::part, "1961-06")}, {});
  ASSERT_EQ(fit.size(), 1u);
  EXPECT_EQ(fit[0].days.first, day(1962, 3, 1));
  EXPECT_EQ(fit[0].standing, (std::vector{Standing::fits, Standing::fits}));

  const auto younger = assemblies({mark(Dates::assembly, "1962-03"), mark(Dates::part, "1964-06")}, {});
  ASSERT_EQ(younger.size(), 1u);
  EXPECT_EQ(younger[0].standing, (std::vector{Standing::fits, Standing::younger}));

  const auto older = assemblies({mark(Dates::assembly, "1962-03"), mark(Dates::part, "1957-06")}, {});
  EXPECT_EQ(older[0].standing[1], Standing::older);
  EXPECT_EQ(assemblies({mark(Dates::assembly, "1962-03"), mark(Dates::part, "1957-06")}, {6, 1})[0].standing[1],
            Standing::fits);
}

TEST(Assemblies, OthersDecideAOneDigitYear) {
  const DateMark control{"", Dates::part, days_of(*read_date_code("999-132"))};
  EXPECT_EQ(assemblies({control}, {}).size(), 10u);
  const auto found = assemblies({control, mark(Dates::made, "3-62")}, {});
  ASSERT_EQ(found.size(), 1u);
  EXPECT_EQ(found[0].days, (DaySpan{day(1962, 3, 1), day(1963, 3, 31)}));
}

TEST(Assemblies, OrderOfMarksDoesNotMatter) {
  const DateMark a = mark(Dates::made, "1962"), b = mark(Dates::part, "1963"), c = mark(Dates::seen, "before 1961");
  const auto one = assemblies({a, b, c}, {}), two = assemblies({c, b, a}, {});
  ASSERT_EQ(one.size(), two.size());
  for (std::size_t i = 0; i < one.size(); ++i) EXPECT_EQ(one[i].days, two[i].days);
}

}  // namespace
}  // namespace witnessline::history
