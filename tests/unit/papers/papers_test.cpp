// Papers refer to nothing outside themselves, escape what people write, print no NaN, and say what they are not.
#include "papers/papers.h"

#include <gtest/gtest.h>

#include <regex>

namespace witnessline::papers {
namespace {

Figure number(const char* name, double value, Quantity quantity, const char* law, Kind kind = Kind::computed) {
  Figure f;
  f.name = name, f.value = value, f.quantity = quantity, f.law = law, f.kind = kind;
  return f;
}

Figure film(double m) {
  Figure f = number("film", m, Quantity::film_thickness, "quantile", Kind::estimate);
  f.band = {0.8 * m, 1.2 * m};
  return f;
}

StepOutcome state(const char* id, const char* word) {
  StepOutcome s;
  s.id = id, s.word = word, s.why = "because <it> must & shall";
  ThicknessReading t;
  t.region = "front";
  t.area = number("area of front", 0.05, Quantity::area, "sum of areas");
  t.min = t.p5 = t.median = t.p95 = film(38e-6);
  s.thickness = {t};
  s.exposed = {{"wood", Origin::original, number("bare wood", 1e-2, Quantity::area, "clip")}};
  s.kept.kept_fraction = number("kept", std::numeric_limits<double>::quiet_NaN(), Quantity::fraction, "volume ratio");
  s.hands_on = s.waiting = number("hours", 3600, Quantity::duration, "sum");
  return s;
}

struct Demo {
  Outcome outcome;
  Job job;
  Library library{{}, {}, 0};
  std::vector<PlanPictures> pictures;
  Demo() {
    job.id = "demo", job.title = outcome.title = "A <made up> job", job.invented = outcome.invented = true;
    job.instrument.kind = "lap steel", job.start = "2026-02-27";
    Spray spray;
    spray.mixture = "shader";
    job.mixtures = {{"shader", "red shader", {{"clear", 0.7}, {"red", 0.3}}}};
    Wait wait;
    wait.duration_s = 2 * unit::day.scale;
    Wear wear;
    wear.where.on = {"front bass"};
    job.plans = {{"thin",
                  "Thin coats",
                  "Only what is needed.",
                  {{"first_coats", "keep it thin", spray}, {"dries", "", wait}, {"arm", "Where the arm lies.", wear}}}};
    PlanOutcome plan;
    plan.id = "thin", plan.title = "Thin coats";
    plan.steps = {state("before", "before"), state("first_coats", "spray"), state("dries", "wait"),
                  state("arm", "wear")};
    plan.steps[1].used = {{"clear", "clear", {}, number("m", 0.0704, Quantity::mass, "sum"), {}, false, {}, {}, "", ""},
                          {"red", "red", {}, number("m", 0.0303, Quantity::mass, "sum"), {}, false, {}, {}, "", ""}};
    plan.steps[2].waiting = number("hours", 2 * unit::day.scale, Quantity::duration, "sum");
    AgeingReading a;
    a.deepest = film(60e-6);
    a.stops = {{"colour", StopFor::next_coat, film(40e-6), film(32e-6)},
               {"old lacquer", StopFor::original, film(70e-6), film(56e-6)}};
    Figure width = number("width", 3e-3, Quantity::length, "geometry");
    width.band = {2e-3, 4e-3};
    a.rings = {{"colour", Origin::this_plan, {}, width}};
    a.edges = {{"wood", {}, film(230e-6), width}};
    a.chips = 12, a.scratches = 1;
    plan.steps[3].ageing = a;
    plan.hands_on = number("hours", 7200, Quantity::duration, "sum", Kind::estimate);
    plan.notes = {{Severity::information, "A plain remark.", ""},
                  {Severity::danger, "Vapour can burn.", "first_coats"}};
    plan.open_hold_points = {{"Is there lead?", {"spray"}, "", ""}};
    outcome.plans = {plan};
    Image grey{8, 8, std::vector<std::uint8_t>(192, 128)};
    TrueSize front;
    front.name = front.title = "front", front.right_mm = 250, front.top_mm = 500;
    front.kinds = {{"outline", 0.35, "", {{{0, 0}, {250, 0}, {250, 500}, {0, 500}, {0, 0}}}}};
    pictures = {{"thin", grey, grey, "", "", {front}}};
  }
  std::string html(Paper paper, BenchUnits units = BenchUnits::metric, Sheet sheet = Sheet::a4) const {
    return paper_html(paper, {outcome, job, library, pictures, units, sheet}, "thin").value_or("");
  }
};

std::vector<Paper> all_papers() {
  std::vector<Paper> all;
  const Paper any{};
  for (std::size_t i = 0; i < words(&any).size(); ++i) all.push_back(static_cast<Paper>(i));
  return all;
}

bool has(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

TEST(Papers, ReferToNothingOutside) {
  const Demo demo;
  for (const Paper paper : all_papers()) {
    std::string html = demo.html(paper);
    ASSERT_FALSE(html.empty()) << static_cast<int>(paper);
    html = std::regex_replace(html, std::regex("http://www.w3.org/2000/svg"), "");
    for (const char* outside : {"http://", "https://", "<script", "@import", "url(//", "<link"})
      EXPECT_FALSE(has(html, outside)) << outside << " in paper " << static_cast<int>(paper);
    const std::regex source("src=\"([^\"]{0,22})");
    for (auto it = std::sregex_iterator(html.begin(), html.end(), source); it != std::sregex_iterator(); ++it)
      EXPECT_EQ((*it)[1].str(), "data:image/jpeg;base64");
    EXPECT_FALSE(has(html, "{{")) << "a template was not filled";
    EXPECT_FALSE(std::regex_search(html, std::regex("<img(?![^>]*alt=\"[^\"]+\")"))) << "a picture without words";
  }
}

TEST(Papers, EscapeMarkInventedAndNeverPrintNan) {
  Demo demo;
  for (const Paper paper : all_papers()) {
    const std::string html = demo.html(paper, BenchUnits::us, Sheet::letter);
    EXPECT_TRUE(has(html, "Invented data"));
    EXPECT_TRUE(has(html, "size:letter"));
    EXPECT_TRUE(has(html, "A &lt;made up&gt; job"));
    EXPECT_FALSE(has(html, "<made up>"));
    EXPECT_FALSE(std::regex_search(html, std::regex("[>( ]-?nan[ <)]")));
    EXPECT_TRUE(has(html, "Left out:")) << "what it leaves out, paper " << static_cast<int>(paper);
  }
  demo.job.invented = demo.outcome.invented = false;
  EXPECT_FALSE(has(demo.html(Paper::owners_report), "Invented data"));
}

TEST(Papers, NoneOfARefusedPlanOrAnUnknownOne) {
  Demo demo;
  const PaperSource source{demo.outcome, demo.job, demo.library, demo.pictures};
  EXPECT_FALSE(paper_html(Paper::job_card, source, "other"));
  EXPECT_TRUE(paper_html(Paper::proposal, source));
  demo.outcome.plans[0].runs = false;
  EXPECT_FALSE(paper_html(Paper::job_card, source, "thin"));
  EXPECT_TRUE(has(*paper_html(Paper::proposal, source), "cannot be carried out"));
}

TEST(Papers, JobCardHoldsBackDatesAndAsksOnce) {
  Demo demo;
  const std::string html = demo.html(Paper::job_card);
  for (const char* stated : {"Not agreed.", "Not ready.", "Is there lead?", "red shader", "Not before 2026-03-02"})
    EXPECT_TRUE(has(html, stated)) << stated;  // 27 February, two days' wait and three hours at the bench: no leap year
  demo.job.consent = {"thin", "2026-01-05", "go ahead"};
  EXPECT_FALSE(has(demo.html(Paper::job_card), "Not agreed."));
}

TEST(Papers, AgeingCardStatesWhereToStopAndWhichRingToExpect) {
  Demo demo;
  const std::string html = demo.html(Paper::ageing_card);
  for (const char* stated :
       {"front bass", "where it is deepest, and stop", "which is original", "old lacquer", "From the outside in",
        "Rubbed through?", "shows as a step", "230", "12 chips, 1 scratch", "thinner than planned"})
    EXPECT_TRUE(has(html, stated)) << stated;
  demo.outcome.plans[0].steps[3].ageing.reset();
  EXPECT_EQ(demo.html(Paper::ageing_card), "");
}

TEST(Papers, MixingCardAddsUpWhatItShows) {
  const std::string html = Demo().html(Paper::mixing_card);
  for (const char* stated : {">70.4<", ">30.3<", ">100.7<", "100.7 g in all"}) EXPECT_TRUE(has(html, stated)) << stated;
}

// Two steps meet one solvent: what the sheet says of cartridges holds for the worse of them, whichever comes first.
TEST(Papers, SafetySheetJudgesCartridgesWhereTheyAreWorst) {
  StepAir light, heavy;
  light.step = "wipe", heavy.step = "clear";
  light.cartridges = {{"toluene", CartridgeFit::holds, "It holds.", "cartridge_rule"}};
  heavy.cartridges = {{"toluene", CartridgeFit::too_much, "Too much of it.", "cartridge_rule"}};
  for (const bool light_first : {true, false}) {
    Demo demo;
    demo.outcome.plans[0].air = light_first ? std::vector{light, heavy} : std::vector{heavy, light};
    const std::string html = demo.html(Paper::safety_sheet);
    EXPECT_TRUE(has(html, "Too much of it."));
    EXPECT_FALSE(has(html, "It holds."));
  }
}

TEST(Papers, EveryEntryOfTheIndexLeadsToAWorking) {
  const std::string html = Demo().html(Paper::workings);
  const std::regex reference("href=\"#(w[0-9]+)\"");
  int count = 0;
  for (auto it = std::sregex_iterator(html.begin(), html.end(), reference); it != std::sregex_iterator(); ++it, ++count)
    EXPECT_TRUE(has(html, "id=\"" + (*it)[1].str() + "\""));
  EXPECT_GT(count, 5);
  EXPECT_TRUE(has(html, "ESTIMATE"));
}

// 250 x 500 mm on sheets of 186 x 238 mm that overlap by 10 mm: 2 x 3 of them (arithmetic only).
TEST(Papers, TemplatesAreCutIntoSheetsWithABarEach) {
  const std::string html = Demo().html(Paper::templates);
  EXPECT_TRUE(has(html, "250.0 mm across, 500.0 mm along; 2 \u00d7 3 sheets"));
  std::size_t bars = 0;
  for (std::size_t at = 0; (at = html.find("class=\"bar\"", at)) != std::string::npos; ++at) ++bars;
  EXPECT_EQ(bars, 6u);
}

}  // namespace
}  // namespace witnessline::papers
