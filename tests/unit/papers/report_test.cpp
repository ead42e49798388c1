// The report refers to nothing outside itself, shows what may hurt first, and keeps a working for every number.
#include "papers/report.h"

#include <gtest/gtest.h>

#include <regex>

namespace witnessline::papers {
namespace {

Figure number(const char* name, double value, Quantity quantity, const char* law, Kind kind = Kind::computed) {
  Figure f;
  f.name = name, f.value = value, f.quantity = quantity, f.law = law, f.kind = kind;
  return f;
}

StepOutcome state(const char* id, const char* word) {
  StepOutcome s;
  s.id = id, s.word = word, s.why = "because <it> must & shall";
  ThicknessReading t;
  t.region = "front";
  t.area = number("area of front", 0.05, Quantity::area, "sum of areas");
  t.min = t.p5 = t.median = t.p95 = number("film", 38e-6, Quantity::film_thickness, "quantile", Kind::estimate);
  s.thickness = {t};
  s.exposed = {{"wood", Origin::original, number("bare wood", 1e-4, Quantity::area, "clip")}};
  s.kept.kept_fraction = number("kept", std::numeric_limits<double>::quiet_NaN(), Quantity::fraction, "volume ratio");
  return s;
}

struct Demo {
  Outcome outcome;
  Job job;
  ReportPictures pictures;
  Demo() {
    job.id = "demo", job.title = outcome.title = "A <made up> job", job.invented = outcome.invented = true;
    job.instrument.kind = "lap steel";
    PlannedStep step{"first_coats", "keep it thin", Spray{}};
    job.plans = {{"thin", "Thin coats", "Only what is needed.", {step}}};
    job.consent = {"thin", "2026-01-05", "go ahead"};
    PlanOutcome plan;
    plan.id = "thin", plan.title = "Thin coats";
    plan.steps = {state("before", "before"), state("first_coats", "spray")};
    plan.hands_on = number("hours", 7200, Quantity::duration, "sum", Kind::estimate);
    plan.notes = {{Severity::information, "A plain remark.", ""},
                  {Severity::danger, "Vapour can burn.", "first_coats"}};
    plan.open_hold_points = {{"Is there lead?", {"spray"}, "", ""}};
    outcome.plans = {plan};
    Image grey{8, 8, std::vector<std::uint8_t>(192, 128)};
    pictures.plans = {{"thin", {{"before", grey, {}, {}}, {"first_coats", grey, grey, grey}}, {}}};
  }
};

TEST(Report, RefersToNothingOutside) {
  const Demo demo;
  const std::string html = report_html(demo.outcome, demo.job, demo.pictures, BenchUnits::metric);
  for (const char* outside : {"http://", "https://", "<script", "@import", "url(//", "<link"}) {
    std::string rest = html;
    for (std::size_t at; (at = rest.find("http://www.w3.org/2000/svg")) != std::string::npos;) rest.erase(at, 26);
    EXPECT_EQ(rest.find(outside), std::string::npos) << outside;
  }
  const std::regex source("src=\"([^\"]{0,22})");
  for (auto it = std::sregex_iterator(html.begin(), html.end(), source); it != std::sregex_iterator(); ++it)
    EXPECT_EQ((*it)[1].str().rfind("data:image/jpeg;base64", 0), 0u);
}

TEST(Report, EscapesMarksInventedAndNeverPrintsNan) {
  const Demo demo;
  const std::string html = report_html(demo.outcome, demo.job, demo.pictures, BenchUnits::us);
  EXPECT_NE(html.find("Invented data"), std::string::npos);
  EXPECT_NE(html.find("A &lt;made up&gt; job"), std::string::npos);
  EXPECT_EQ(html.find("<made up>"), std::string::npos);
  EXPECT_EQ(html.find(">nan"), std::string::npos);
  EXPECT_EQ(html.find("nan "), std::string::npos);
  EXPECT_NE(html.find("not known"), std::string::npos);
  EXPECT_NE(html.find("1.5\u00a0mil"), std::string::npos);
  Demo real;
  real.outcome.invented = real.job.invented = false;
  EXPECT_EQ(report_html(real.outcome, real.job, real.pictures, BenchUnits::us).find("Invented data"),
            std::string::npos);
}

TEST(Report, SaysDangerBeforeAnythingMilderAndShowsOpenHoldPoints) {
  const Demo demo;
  const std::string html = report_html(demo.outcome, demo.job, demo.pictures, BenchUnits::metric);
  EXPECT_LT(html.find("Vapour can burn."), html.find("A plain remark."));
  EXPECT_LT(html.find("Vapour can burn."), html.find("The plans side by side"));
  EXPECT_NE(html.find("Is there lead?"), std::string::npos);
  EXPECT_NE(html.find("HOLD."), std::string::npos) << "on the job card, at its step";
}

TEST(Report, EveryReferenceLeadsToAWorking) {
  const Demo demo;
  const std::string html = report_html(demo.outcome, demo.job, demo.pictures, BenchUnits::metric);
  const std::regex reference("href=\"#(w[0-9]+)\"");
  int count = 0;
  for (auto it = std::sregex_iterator(html.begin(), html.end(), reference); it != std::sregex_iterator(); ++it, ++count)
    EXPECT_NE(html.find("id=\"" + (*it)[1].str() + "\""), std::string::npos);
  EXPECT_GT(count, 10);
  EXPECT_NE(html.find("ESTIMATE"), std::string::npos);
}

}  // namespace
}  // namespace witnessline::papers
