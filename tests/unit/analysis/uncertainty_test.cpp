// Bands against a synthetic truth whose band is known.
#include "analysis/uncertainty.h"

#include <gtest/gtest.h>

#include <cmath>

#include "shapes/every_step.h"

namespace witnessline::analysis {
namespace {

using namespace shapes;

constexpr double infinity = std::numeric_limits<double>::infinity();

double mean_film_m(const Film& film, const Body& body) {
  double volume_m3 = 0, area_m2 = 0;
  for (std::size_t v = 0; v < body.size(); ++v) {
    const auto a = static_cast<double>(body.areas_m2()[v]);
    area_m2 += a;
    for (const FilmLayer& layer : film.layers) volume_m3 += a * std::max(0.0, static_cast<double>(layer.dry_m[v]));
  }
  return volume_m3 / area_m2;
}

/// 95 % band of what is left of an even 100 um coat, over `draws` hands.
Band left_after(const Step& step, int draws) {
  const Bench bench = bench_on(torus(60, 24));
  const Film film = *existing_film({{"clear", "nitrocellulose_lacquer", Origin::later, 100e-6, 0, 0, {}}}, bench, 0);
  const Plan plan{"p", "", "", {{"cut", "", step}}};
  const auto left_m = [&](const Plan& p) { return mean_film_m(run(p, film, bench)->steps.back().film, bench.body); };
  const double nominal_m = left_m(plan);
  std::vector<double> shifts;
  for (int i = 0; i < draws; ++i) shifts.push_back(left_m(drawn(plan, 5, i)) - nominal_m);
  return band_around(nominal_m, shifts, 0, infinity);
}

// A depth of 20 um known to 25 % leaves 80 um with 5 um of standard deviation: 70.2 to 89.8 um, 95 in 100.
TEST(Uncertainty, LevellingMovesTheFilmByItsOwnDepth) {
  Flat flat;
  flat.depth_m = 20e-6, flat.edge_factor = 1;
  const Band band = left_after(flat, 600);
  EXPECT_NEAR(0.5 * (band.high - band.low), 1.96 * 0.25 * 20e-6, 0.12 * 1.96 * 0.25 * 20e-6);
  EXPECT_NEAR(0.5 * (band.high + band.low), 80e-6, 1.5e-6);
}

// Keying whose depth nobody gave is known to 35 %.
TEST(Uncertainty, KeyingMovesItByMore) {
  Sand key;
  key.grit = 220, key.edge_factor = 1;
  const Band band = left_after(key, 600);
  const double depth_m = keying_depth_m(220);
  EXPECT_NEAR(0.5 * (band.high - band.low), 1.96 * 0.35 * depth_m, 0.15 * 1.96 * 0.35 * depth_m);
}

TEST(Uncertainty, AShortageIsInTheBand) {
  std::vector<double> shifts;
  for (int i = -16; i <= 16; ++i) shifts.push_back(i * 5e-6);
  const Band left = band_around(20e-6, shifts, -infinity, infinity), used = band_around(20e-6, shifts, 0, infinity);
  EXPECT_LT(left.low, -40e-6) << "20 mL left may be 55 mL short";
  EXPECT_EQ(used.low, 0) << "nobody uses less than nothing";
  EXPECT_EQ(left.high, used.high);
}

TEST(Uncertainty, RefusedDrawsAreReportedWithTheCommonestReason) {
  const auto refusal = [](const char* what, const char* key) {
    return Error{what, {"", 0, 0, key}, "", "lay clear first"};
  };
  PlanOutcome outcome;
  add_refusals(outcome,
               {refusal("this would cut a metallic colour coat on 3 cm2", "steps.flat.where"),
                refusal("sprays over grime", "steps.clear.where"),
                refusal("this would cut a metallic colour coat on 5 cm2", "steps.flat.where")},
               32);
  EXPECT_NEAR(outcome.carried_out.value, 0.86, 0.02);
  EXPECT_LT(outcome.carried_out.band.low, 29.0 / 32);
  EXPECT_GT(outcome.carried_out.band.high, 29.0 / 32);
  ASSERT_EQ(outcome.notes.size(), 1u);
  EXPECT_NE(outcome.notes[0].text.find("3 of 32"), std::string::npos) << outcome.notes[0].text;
  EXPECT_NE(outcome.notes[0].text.find("metallic"), std::string::npos) << outcome.notes[0].text;
  PlanOutcome fine;
  add_refusals(fine, {}, 32);
  EXPECT_TRUE(fine.notes.empty());
  EXPECT_LT(fine.carried_out.value, 0.97) << "32 draws cannot tell 97 in 100 from certain";
}

}  // namespace
}  // namespace witnessline::analysis
