// One truth: what `thin`, `lay`, `compatible` and a spray step of a plan say of the same coat in the same air.
#include <gtest/gtest.h>

#include <fmt/format.h>

#include "app/verbs/compatible.h"
#include "app/verbs/lay.h"
#include "app/verbs/thin.h"
#include "base/random.h"
#include "bench/existing.h"
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
struct Drawn {
  std::string paint, thinner;
  double thinning, wet_m, temperature_degC, humidity_pct, air_speed_m_s;
};
Drawn drawn(std::uint64_t seed) {
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
Answered laid(const Drawn& d) {  // flow set so that the coat is as wet as the one drawn: 0.4 m/s, 200 mm, half over
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
    Drawn d = drawn(seed);
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
    const Tree& said = thin.answer.find("thinners")->list[0];
    EXPECT_NEAR(value(today(lay), "coldest"), 273.15 + said.find("coldest_degC")->number, 1e-6) << d.paint;
    EXPECT_NEAR(value(today(lay), "no_mist"), 0.01 * said.find("no_mist_pct")->number, 1e-9) << d.paint;
    EXPECT_NEAR(value(today(lay), "no_blush"), 0.01 * said.find("no_blush_pct")->number, 1e-9) << d.paint;
    EXPECT_NEAR(value(today(lay), "wet_for"), 60 * said.find("time_90_min")->number, 1e-6) << d.paint;
    EXPECT_EQ(today(lay).find("blush")->text, said.find("blush")->text);
    const bool thin_refuses = thin.text.rfind("Do not", 0) == 0, lay_refuses = lay.text.rfind("Do not", 0) == 0;
    EXPECT_EQ(thin_refuses, lay_refuses) << thin.text << lay.text;
    ++same;
  }
  EXPECT_EQ(same, 50);
}

TEST(OneAnswer, ASprayStepCautionsWhereLayDoes) {
  int runs = 0, drier = 0, blushes = 0;
  for (std::uint64_t seed = 1; seed <= 50; ++seed) {
    const Drawn d = drawn(seed);
    const Answered lay = laid(d);
    Bench bench{torus(20, 8), library(), {nullptr}, {}, {}, 1};
    bench.shop.temperature_K = 273.15 + d.temperature_degC;
    bench.shop.relative_humidity = 0.01 * d.humidity_pct, bench.shop.air_speed_m_s = d.air_speed_m_s;
    Spray step;
    step.mixture = d.paint, step.thinner = d.thinner, step.thinning = d.thinning, step.wet_m = d.wet_m, step.coats = 1;
    const Result<bench::Run> run = bench::run({"p", "", "", {{"spray", "", step}}}, *existing_film({}, bench), bench);
    ASSERT_TRUE(run) << run.errors().front().text();
    std::string notes;
    for (const Note& note : run->steps.back().notes) notes += note.text + "\n";
    const auto has = [&](const char* words) { return notes.find(words) != std::string::npos; };
    const std::string holds = today(lay).find("holds")->text, blush = today(lay).find("blush")->text;
    EXPECT_EQ(has("may run on an upright face"), holds == "nowhere") << d.paint << "\n" << notes << lay.text;
    EXPECT_EQ(has("go drier at edges and holes"), holds == "open_faces") << notes << lay.text;
    EXPECT_EQ(has("It blushes today"), blush == "stays") << notes << lay.text;
    runs += holds == "nowhere", drier += holds == "open_faces", blushes += blush == "stays";
  }
  EXPECT_GT(runs, 0);
  EXPECT_GT(drier, 0);
  EXPECT_GT(blushes, 0);
}

}  // namespace
}  // namespace witnessline::app
