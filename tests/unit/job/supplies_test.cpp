#include "job/supplies.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

namespace witnessline::job {
namespace {

const Library& library() {
  static const Result<Library> held = read_library(PROJECT_FOLDER "/data");
  return *held;
}
/// One spraying of 100 mL of lacquer and as much thinner over an old coat.
Run run() {
  Run r;
  r.steps.resize(1);
  r.steps[0].word = "spray";
  r.steps[0].ledger.used = {{"nitrocellulose_lacquer", 100e-6, 0.09}, {"lacquer_thinner", 100e-6, 0.08}};
  r.steps[0].laid_on = {{"old clear", Origin::original, 0.1, Meeting::bites_in}};
  return r;
}
Job with(double lacquer_m3) {
  Job job;
  PaintTin item;
  item.material = "nitrocellulose_lacquer", item.volume_m3 = lacquer_m3;
  job.shelf = {item};
  return job;
}

TEST(Supplies, AFullTinIsNotMentionedAScantOneIs) {
  EXPECT_TRUE(notes_on_supplies(with(1e-3), run(), library()).empty());
  // 31 mL go on a card and 10 mL stay in the gun: 141 mL is an even chance, that an untried tin sprays 95 in 100.
  const std::vector<Note> even = notes_on_supplies(with(141e-6), run(), library());
  ASSERT_EQ(even.size(), 1u);
  EXPECT_NE(even[0].text.find("is enough: 4"), std::string::npos) << even[0].text;
  EXPECT_NE(even[0].text.find("give up"), std::string::npos);
}

// 31 mL of 100 on a card of 0.031 m2 beside 0.1 m2, 10 mL of 20 with the lacquer's half of the mix: 141 mL in the
// middle.
TEST(Supplies, FiguresOfWhatIsNeeded) {
  const std::map<std::string, Supply> all = supplies_of(with(141e-6), run(), library());
  const Supply& lacquer = all.at("nitrocellulose_lacquer");
  EXPECT_NEAR(lacquer.needed.value, 141e-6, 1e-6);
  EXPECT_NEAR(lacquer.beside_m3, 41e-6, 1e-9);
  const double sd = std::sqrt(0.05 * 0.05 + 3 * 0.15 * 0.15);
  EXPECT_NEAR(lacquer.needed.band.high, 10e-6 + 131e-6 * std::exp(1.96 * sd), 2e-6);
  EXPECT_NEAR(lacquer.enough.value, 0.5 * 0.95, 0.01);
  EXPECT_FALSE(lacquer.give_up.empty());
  EXPECT_NE(lacquer.strain.find("125 um"), std::string::npos);
  EXPECT_TRUE(all.at("lacquer_thinner").strain.empty());
  EXPECT_TRUE(std::isnan(all.at("lacquer_thinner").enough.value)) << "not on the shelf: not known";
}

// A mixture whose tin stands on the shelf is taken from that tin, and what is missing from its parts.
TEST(Supplies, AMixtureThatStandsMixedIsTakenFromItsTin) {
  Job job = with(1e-3);
  job.mixtures = {{"tea", "amber tea", {{"nitrocellulose_lacquer", 0.8}, {"amber_toner", 0.2}}}};
  bench::Run worked = run();
  worked.steps[0].ledger.used = {{"nitrocellulose_lacquer", 80e-6, 0.07, "tea"},
                                 {"amber_toner", 20e-6, 0.02, "tea"},
                                 {"lacquer_thinner", 100e-6, 0.08}};
  const auto volume_of = [](const std::vector<Used>& rows, const std::string& id) {
    for (const Used& row : rows)
      if (row.material == id) return 1e6 * row.volume_m3;
    return 0.0;
  };
  std::vector<Used> rows = taken_from_shelf(worked.steps[0].ledger.used, job);
  EXPECT_EQ(volume_of(rows, "tea"), 0) << "none of it stands there mixed";
  EXPECT_NEAR(volume_of(rows, "nitrocellulose_lacquer"), 80, 1e-9);

  PaintTin tin;
  tin.material = "tea", tin.volume_m3 = 500e-6;
  job.shelf.push_back(tin);
  rows = taken_from_shelf(worked.steps[0].ledger.used, job);
  EXPECT_NEAR(volume_of(rows, "tea"), 100, 1e-9);
  EXPECT_EQ(volume_of(rows, "nitrocellulose_lacquer"), 0);
  std::map<std::string, Supply> all = supplies_of(job, worked, library());
  EXPECT_NEAR(all.at("tea").needed.value, 141e-6, 1e-6) << "as the lacquer alone would be";
  EXPECT_FALSE(all.contains("amber_toner"));
  EXPECT_TRUE(notes_on_supplies(job, worked, library()).empty());

  job.shelf[1].volume_m3 = 70e-6;  // 71 mL short, cards and gun counted
  rows = taken_from_shelf(worked.steps[0].ledger.used, job);
  EXPECT_NEAR(volume_of(rows, "tea"), 70, 1e-9);
  EXPECT_NEAR(volume_of(rows, "amber_toner"), 0.3 * 20, 1e-9);
  all = supplies_of(job, worked, library());
  EXPECT_NEAR(all.at("amber_toner").needed.value, 0.2 * 71e-6, 1e-6);
  const std::vector<Note> notes = notes_on_supplies(job, worked, library());
  const bool says = std::any_of(notes.begin(), notes.end(), [](const Note& n) {
    return n.text.find("amber tea is short: mix at least 71 mL more") == 0;
  });
  EXPECT_TRUE(says) << notes[0].text;
}

// What the tin says of its grains decides the strainer, as it does for the question `tin`.
TEST(Supplies, TheStrainerKnowsTheGrainsOfTheTin) {
  Job job = with(1e-3);
  EXPECT_NE(supplies_of(job, run(), library()).at("nitrocellulose_lacquer").strain.find("125 um"), std::string::npos);
  job.shelf[0].grains = {{"flake", 60e-6, 0.5e-6, 2700, 0.02}};
  EXPECT_NE(supplies_of(job, run(), library()).at("nitrocellulose_lacquer").strain.find("355 um"), std::string::npos);
}

TEST(Supplies, ARefusedTinHoldsItsStepsBack) {
  Job job = with(1e-3);
  TinTest tin;
  tin.material = "nitrocellulose_lacquer", tin.batch = "L-1";
  job.tins = {tin};
  Plan plan;
  plan.id = "over";
  bench::Run worked = run();
  worked.steps[0].id = "clear";
  EXPECT_TRUE(refused_tins(job, plan, worked, library()).empty());
  job.tins[0].gel = Finding::bad;
  const std::vector<HoldPoint> held = refused_tins(job, plan, worked, library());
  ASSERT_EQ(held.size(), 1u);
  EXPECT_EQ(held[0].before, std::vector<std::string>{"clear"});
  EXPECT_FALSE(held[0].met);
  EXPECT_NE(held[0].question.find("L-1"), std::string::npos);
}

TEST(Supplies, ATinOfThePlanIsJudged) {
  Job job = with(1e-3);
  TinTest tin;
  tin.material = "nitrocellulose_lacquer", tin.batch = "L-1";
  job.tins = {tin};
  std::vector<Note> notes = notes_on_supplies(job, run(), library());
  ASSERT_FALSE(notes.empty());
  EXPECT_EQ(notes[0].severity, Severity::caution);
  EXPECT_NE(notes[0].text.find("prove it on scrap first"), std::string::npos);
  EXPECT_NE(notes[0].text.find("'old clear'"), std::string::npos);
  job.tins[0].gel = Finding::bad;
  notes = notes_on_supplies(job, run(), library());
  EXPECT_EQ(notes[0].severity, Severity::danger);
  EXPECT_NE(notes[0].text.find("must not be used"), std::string::npos);
  job.tins[0].material = "shellac";
  EXPECT_TRUE(notes_on_supplies(job, run(), library()).empty());
}

}  // namespace
}  // namespace witnessline::job
