// One truth: what `thin`, `lay`, `compatible` and a spray step of a plan say of the same coat in the same air.
#include <gtest/gtest.h>

#include <fmt/format.h>

#include "app/open_job.h"
#include "app/verbs/compatible.h"
#include "app/verbs/lay.h"
#include "app/verbs/thin.h"
#include "app/work.h"
#include "base/random.h"
#include "bench/existing.h"
#include "job/supplies.h"
#include "materials/coverage.h"
#include "shapes/bench_bodies.h"

namespace witnessline::app {
namespace {

using namespace shapes;

const Library& library() {
  static const Result<Library> read = read_library(PROJECT_FOLDER "/data");
  if (!read) throw std::runtime_error(read.errors().front().text());
  return *read;
}

/// A coat somebody may well lay: paint, thinner, how far, how wet, in what air.
struct RenderCache {
  std::string paint, thinner;
  double thinning, wet_m, temperature_degC, humidity_pct, air_speed_m_s;
};
RenderCache drawn(std::uint64_t seed) {
  const Key key = Key{seed}.with("coat");
  const auto u = [&](std::uint64_t n) { return uniform(key.with(n)); };
  struct Pair {
    const char *paint, *thinner;
  };
  constexpr Pair pairs[]{{"nitrocellulose_lacquer", "lacquer_thinner"},
                         {"nitrocellulose_lacquer", "butyl_acetate"},
                         {"nitrocellulose_lacquer", "mek"},
                         {"amber_toner", "lacquer_thinner"},
                         {"acrylic_lacquer", "toluene"},
                         {"shellac", "ethanol"},
                         {"spirit_varnish", "ethanol"},
                         {"oil_varnish", "mineral_spirits"},
                         {"polyurethane", "mineral_spirits"},
                         {"sanding_sealer", "acetone"}};
  const Pair& pair = pairs[static_cast<std::size_t>(u(1) * std::size(pairs)) % std::size(pairs)];
  return {pair.paint,     pair.thinner,   0.2 + 1.3 * u(2), (50 + 100 * u(3)) * 1e-6,
          12 + 16 * u(4), 25 + 65 * u(5), 0.1 + 0.6 * u(6)};
}

Answered asked(const Verb& verb, const std::string& json) {
  Result<Answered> answer = ask_json(verb, json, PROJECT_FOLDER, BenchUnits::metric);
  if (!answer) throw std::runtime_error(answer.errors().front().text() + json);
  return std::move(*answer);
}
Answered laid(
    const RenderCache& d) {  // flow set so that the coat is as wet as the one drawn: 0.4 m/s, 200 mm, half over
  return asked(
      lay_verb(),
      fmt::format(R"({{"tin": {{"material": "{}"}}, "thinner": "{}", "thinning": {}, "flow_mL_min": {}, "film_um": 20,
      "temperature_degC": {}, "relative_humidity_pct": {}, "air_speed_m_s": {}}})",
                  d.paint, d.thinner, d.thinning, d.wet_m * 0.4 * 0.2 * 0.5 / 0.5 * 60e6, d.temperature_degC,
                  d.humidity_pct, d.air_speed_m_s));
}
const Tree& today(const Answered& lay) { return lay.answer.find("days")->list[0]; }
double value(const Tree& day, const char* figure) { return day.find(figure)->find("value")->number; }

TEST(OneAnswer, ThinAndLayAgreeOnTheSameMix) {
  int same = 0;
  for (std::uint64_t seed = 1; seed <= 50; ++seed) {
    RenderCache d = drawn(seed);
    const Answered thin =
        asked(thin_verb(), fmt::format(R"({{"tin": {{"material": "{}", "readings": [{{"cup": "ford_4", "run_out_s": 60,
            "temperature_degC": {}}}]}}, "wanted": {{"cup": "ford_4", "run_out_s": 22}}, "wet_um": {},
            "air": {{"temperature_degC": {}, "humidity_pct": {}, "speed_m_s": {}}},
            "thinner": [{{"material": "{}", "share_pct": 100}}]}})",
                                       d.paint, d.temperature_degC, 1e6 * d.wet_m, d.temperature_degC, d.humidity_pct,
                                       d.air_speed_m_s, d.thinner));
    d.thinning = thin.answer.find("ratio")->find("value")->number;
    ASSERT_GT(d.thinning, 0) << thin.text;
    const Answered lay = laid(d);
    const Tree& stated = thin.answer.find("thinners")->list[0];
    EXPECT_NEAR(value(today(lay), "coldest"), 273.15 + stated.find("coldest_degC")->number, 1e-6) << d.paint;
    EXPECT_NEAR(value(today(lay), "no_mist"), 0.01 * stated.find("no_mist_pct")->number, 1e-9) << d.paint;
    EXPECT_NEAR(value(today(lay), "no_blush"), 0.01 * stated.find("no_blush_pct")->number, 1e-9) << d.paint;
    EXPECT_NEAR(value(today(lay), "wet_for"), 60 * stated.find("time_90_min")->number, 1e-6) << d.paint;
    EXPECT_EQ(today(lay).find("blush")->text, stated.find("blush")->text);
    const bool thin_refuses = thin.text.rfind("Do not", 0) == 0, lay_refuses = lay.text.rfind("Do not", 0) == 0;
    EXPECT_EQ(thin_refuses, lay_refuses) << thin.text << lay.text;
    ++same;
  }
  EXPECT_EQ(same, 50);
}

/// How often each caution came up.
struct Cautions {
  int asked = 0, runs = 0, drier = 0, blushes = 0;
};

/// The notes of a spray step on a small body, beside what `lay` answered of the same coat.
void expect_same(const Spray& step, Bench& bench, const Answered& lay, Cautions& seen) {
  const Result<bench::Run> run = bench::run({"p", "", "", {{"spray", "", step}}}, *existing_film({}, bench), bench);
  ASSERT_TRUE(run) << run.errors().front().text();
  std::string notes = step.mixture + "\n";
  for (const Note& note : run->steps.back().notes) notes += note.text + "\n";
  const auto has = [&](const char* words) { return notes.find(words) != std::string::npos; };
  const std::string holds = today(lay).find("holds")->text, blush = today(lay).find("blush")->text;
  EXPECT_EQ(has("may run on an upright face"), holds == "nowhere") << notes << lay.text;
  const bool told_apart = lay.text.find("At edges and holes it is too close to call") == std::string::npos;
  EXPECT_EQ(has("go drier at edges and holes"), holds == "open_faces" && told_apart) << notes << lay.text;
  EXPECT_EQ(has("It blushes today"), blush == "stays") << notes << lay.text;
  ++seen.asked, seen.runs += holds == "nowhere", seen.drier += holds == "open_faces", seen.blushes += blush == "stays";
}

TEST(OneAnswer, ASprayStepCautionsWhereLayDoes) {
  Cautions seen;
  for (std::uint64_t seed = 1; seed <= 50; ++seed) {
    const RenderCache d = drawn(seed);
    Bench bench{torus(20, 8), library(), {nullptr}, {}, {}, 1};
    bench.shop.temperature_K = 273.15 + d.temperature_degC;
    bench.shop.relative_humidity = 0.01 * d.humidity_pct, bench.shop.air_speed_m_s = d.air_speed_m_s;
    Spray step;
    step.mixture = d.paint, step.thinner = d.thinner, step.thinning = d.thinning, step.wet_m = d.wet_m, step.coats = 1;
    expect_same(step, bench, laid(d), seen);
  }
  EXPECT_GT(seen.runs, 0);
  EXPECT_GT(seen.drier, 0);
  EXPECT_GT(seen.blushes, 0);
}

/// What a step of a job lays, as a request writes a tin: the tin of the shelf, its mixture's parts beside it.
std::string tin_json(const std::string& id, const Job& job, const Bench& bench) {
  PaintTin tin;
  tin.material = id;
  for (const PaintTin& one : bench.tins)
    if (one.material == id) {
      tin = one;
      break;
    }
  Tree tree = tree_of(with_parts(tin, job));
  std::erase_if(tree.table, [](const Tree::Entry& e) { return e.value.is == Tree::Is::nothing; });
  for (Tree::Entry& e : tree.table)
    for (Tree& item : e.value.list)
      std::erase_if(item.table, [](const Tree::Entry& x) { return x.value.is == Tree::Is::nothing; });
  return print_json(tree);
}

// The same of every spray step of the demo jobs, each from its own tin in the shop's own air; and `thin` beside `lay`
// for every tin that was run out of a cup.
TEST(OneAnswer, TheDemoJobsStepsToo) {
  Cautions seen;
  int thinned = 0;
  for (const char* demo : {"lap_steel", "octave_mandolin", "slab_bass"}) {
    const auto opened = open_job(fmt::format(PROJECT_FOLDER "/examples/{}/job.toml", demo), library());
    ASSERT_TRUE(opened) << opened.errors().front().text();
    const Job& job = opened->job;
    Bench bench = bench_of(job, torus(20, 8), library());
    const std::string air =
        fmt::format(R"("temperature_degC": {}, "relative_humidity_pct": {}, "air_speed_m_s": {})",
                    job.shop.temperature_K - 273.15, 100 * job.shop.relative_humidity, job.shop.air_speed_m_s);
    for (const Plan& plan : job.plans)
      for (const PlannedStep& planned : plan.steps) {
        const Spray* step = std::get_if<Spray>(&planned.step);
        if (!step) continue;
        Spray one = *step;
        one.coats = 1, one.where = {};
        const std::string tin = tin_json(step->mixture, job, bench);
        const auto ask_lay = [&](double thinning) {
          return ask_json(
              lay_verb(),
              fmt::format(R"({{"tin": {}, "thinner": "{}", "thinning": {}, "flow_mL_min": {}, "film_um": 5, {}}})", tin,
                          step->thinner, thinning, step->wet_m * 0.4 * 0.2 * 0.5 / 0.5 * 60e6, air),
              PROJECT_FOLDER, BenchUnits::metric);
        };
        const auto lay = ask_lay(step->thinning);
        if (!lay && lay.errors()[0].what.find("nothing says how thick") == 0) continue;
        ASSERT_TRUE(lay) << demo << " " << planned.id << " " << lay.errors().front().text() << tin;
        SCOPED_TRACE(fmt::format("{} {} {}", demo, plan.id, planned.id));
        expect_same(one, bench, *lay, seen);
        if (tin.find("run_out_s") == std::string::npos || step->thinner.empty()) continue;
        const auto thin = ask_json(
            thin_verb(),
            fmt::format(
                R"({{"tin": {}, "wanted": {{"cup": "zahn_2", "run_out_s": 21}}, "wet_um": {}, "air": {{"temperature_degC": {},
                "humidity_pct": {}, "speed_m_s": {}}}, "thinner": [{{"material": "{}", "share_pct": 100}}]}})",
                tin, 1e6 * step->wet_m, job.shop.temperature_K - 273.15, 100 * job.shop.relative_humidity,
                job.shop.air_speed_m_s, step->thinner),
            PROJECT_FOLDER, BenchUnits::metric);
        ASSERT_TRUE(thin) << thin.errors().front().text();
        const auto same = ask_lay(thin->answer.find("ratio")->find("value")->number);
        ASSERT_TRUE(same) << same.errors().front().text();
        const Tree& stated = thin->answer.find("thinners")->list[0];
        EXPECT_NEAR(value(today(*same), "coldest"), 273.15 + stated.find("coldest_degC")->number, 1e-6);
        EXPECT_NEAR(value(today(*same), "wet_for"), 60 * stated.find("time_90_min")->number, 1e-6);
        EXPECT_EQ(today(*same).find("blush")->text, stated.find("blush")->text);
        ++thinned;
      }
  }
  EXPECT_GT(seen.asked, 8);
  EXPECT_GT(thinned, 1);
}

}  // namespace
}  // namespace witnessline::app
