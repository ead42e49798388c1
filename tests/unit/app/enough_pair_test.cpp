// What a plan says of its materials and what the question beside it answers are one computation.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <cmath>

#include "app/open_job.h"
#include "app/verb.h"
#include "app/verbs/enough.h"
#include "app/verbs/tin.h"
#include "app/work.h"
#include "base/random.h"
#include "bench/strainer.h"
#include "bench/tin_facts.h"
#include "job/supplies.h"
#include "shapes/every_step.h"

namespace witnessline::app {
namespace {

using shapes::real_library;

double value_of(const Answered& answered, const char* figure) {
  const Tree* found = answered.answer.find(figure);
  const Tree* value = found ? found->find("value") : nullptr;
  return value && value->is == Tree::Is::number ? value->number : std::nan("");
}

/// Asks `enough` in the terms of one row of a plan: the same paint, landed on an area of its own. Returns rows asked.
int ask_both(const Job& job, const bench::Run& run) {
  int asked = 0;
  for (const auto& [id, supply] : supplies_of(job, run, real_library())) {
    if (std::isnan(supply.enough.value)) continue;
    PaintTin tin;
    tin.material = id, tin = with_parts(tin, job);
    const Result<Paint> paint = bench::paint_of(tin, real_library(), "tin");
    if (!paint || paint->volume_solids == 0) continue;
    std::string parts;
    for (const Part& part : tin.parts)
      parts += fmt::format(R"({}{{"material": "{}", "mass_fraction": {}}})", parts.empty() ? "" : ", ", part.material,
                           part.mass_fraction);
    const auto input = [](const Figure& f, std::size_t i) { return f.inputs[i].value; };
    constexpr double film_m = 50e-6, transfer = 0.5, solids = 0.2;
    const double area_m2_a_m3 = solids * transfer / film_m;
    const double area_cm2 = 1e4 * input(supply.needed, 0) * area_m2_a_m3;
    if (area_cm2 < 1) continue;  // less than the question takes
    const std::string request = fmt::format(
        R"({{"tin": {{"material": "{}", "volume_mL": {}, "solids_pct": 20, "parts": [{}]}}, "area_cm2": {},
            "panels_cm2": {}, "film_um": 50, "solids_sd_pct": 15, "transfer_pct": 50, "fillings": {}, "lost_mL": {}, "sprays_pct": {}}})",
        id, 1e6 * input(supply.enough, 0), parts, area_cm2, 1e4 * input(supply.needed, 1) * area_m2_a_m3,
        input(supply.needed, 3), 1e6 * input(supply.needed, 2) / input(supply.needed, 3),
        100 * input(supply.enough, 2));
    const auto answered = ask_json(enough_verb(), request, PROJECT_FOLDER, BenchUnits::metric);
    EXPECT_TRUE(answered) << (answered ? "" : answered.errors().front().text()) << "\n" << request;
    if (!answered) continue;
    EXPECT_NEAR(value_of(*answered, "need"), supply.needed.value, 1e-6 * supply.needed.value) << id;
    EXPECT_NEAR(value_of(*answered, "chance"), supply.enough.value, 1e-6) << id;
    ++asked;
  }
  return asked;
}

TEST(EnoughAndThePlan, AgreeOverTheDemoJobs) {
  int asked = 0, mixed = 0;
  for (const char* demo : {"lap_steel", "octave_mandolin", "slab_bass"}) {
    const auto opened = open_job(fmt::format(PROJECT_FOLDER "/examples/{}/job.toml", demo), real_library());
    ASSERT_TRUE(opened) << opened.errors().front().text();
    const auto built = body_of(*opened, 4e-3);
    ASSERT_TRUE(built);
    const Bench bench = bench_of(opened->job, built->body, real_library());
    const auto before = existing_film(opened->job.coats, bench, opened->job.grime_kg_m2);
    ASSERT_TRUE(before);
    for (const Plan& plan : opened->job.plans)
      if (const Result<bench::Run> run = bench::run(plan, *before, bench)) {
        asked += ask_both(opened->job, *run);
        for (const auto& [id, supply] : supplies_of(opened->job, *run, real_library()))
          mixed += bench.mixtures.contains(id);
      }
  }
  EXPECT_GT(asked, 0);
  EXPECT_GT(mixed, 0) << "a mixture that stands on the shelf is asked too";
}

TEST(EnoughAndThePlan, AgreeOverFiftyDrawnOnes) {
  int asked = 0;
  for (std::uint64_t i = 0; i < 50; ++i) {
    const auto draw = [&](std::string_view what, double low, double high) {
      return low + (high - low) * uniform(Key{7}.with(i).with(what));
    };
    bench::Run run;
    run.steps.resize(1);
    run.steps[0].word = "spray";
    run.steps[0].ledger.used = {{"nitrocellulose_lacquer", draw("paint", 5e-6, 900e-6), 0.1},
                                {"lacquer_thinner", draw("thinner", 1e-6, 900e-6), 0.1}};
    run.steps[0].laid_on = {{"old clear", Origin::original, draw("area", 0.005, 0.6), Meeting::bites_in}};
    Job job;
    PaintTin item;
    item.material = "nitrocellulose_lacquer", item.volume_m3 = draw("have", 5e-6, 2e-3);
    job.shelf = {item};
    TinTest tin;
    tin.material = item.material;
    if (i % 3 == 0) job.tins = {tin};
    if (i % 5 == 0) tin.gel = Finding::bad, job.tins = {tin};
    asked += ask_both(job, run);
  }
  EXPECT_EQ(asked, 50);
}

TEST(StrainerAndThePlan, AgreeForEveryPaintOfTheLibrary) {
  for (const Material& material : real_library().all()) {
    if (material.role != Role::clear && material.role != Role::toner && material.role != Role::sealer) continue;
    const auto answered = ask_json(tin_verb(), fmt::format(R"({{"tin": {{"material": "{}"}}}})", material.id),
                                   PROJECT_FOLDER, BenchUnits::metric);
    ASSERT_TRUE(answered);
    const double opening_m = value_of(*answered, "strainer");
    if (std::isfinite(opening_m))
      EXPECT_DOUBLE_EQ(
          opening_m, bench::strainer_m(*bench::paint_of(PaintTin{material.id, {}, "", 0, 0, false, {}, {}, {}, {}, {}},
                                                        real_library(), "")))
          << material.id;
  }
}

}  // namespace
}  // namespace witnessline::app
