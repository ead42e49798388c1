// Bands against a synthetic truth whose band is known.
#include "analysis/uncertainty.h"

#include <gtest/gtest.h>

#include <cmath>

#include "base/random.h"
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

std::vector<double> normal_draws(Key key, int draws) {
  std::vector<double> z;
  for (int i = 0; i < draws; ++i) z.push_back(normal(key.with(static_cast<std::uint64_t>(i))));
  return z;
}

// Litres known to a factor: ln x ~ N(0, 0.35^2) has its 2.5 and 97.5 % quantiles at exp(-+1.96 x 0.35). The ends of
// 4000 draws have a standard error of 1.5 % of themselves.
TEST(Uncertainty, ABandOfALognormalHasItsClosedFormEnds) {
  std::vector<double> shifts;
  for (const double z : normal_draws(Key{7}.with("lognormal"), 4000)) shifts.push_back(std::exp(0.35 * z) - 1);
  const Band band = band_around(1, shifts, 0, infinity);
  EXPECT_NEAR(band.low / std::exp(-1.959964 * 0.35), 1, 0.05);
  EXPECT_NEAR(band.high / std::exp(1.959964 * 0.35), 1, 0.05);
}

// From the r-th to the s-th of n draws lies (s - r) / (n + 1) of what was drawn from, whatever its shape: from the
// first to the last of 39, 95 in 100, as every screen and paper says of a band.
TEST(Uncertainty, ABandOfFewDrawsCoversWhatOrderStatisticsSay) {
  const auto below = [](double z) { return 0.5 * std::erfc(-z / std::sqrt(2.0)); };
  double covered = 0;
  constexpr int bands = 400;
  for (std::uint64_t b = 0; b < bands; ++b) {
    const Band band = band_around(0, normal_draws(Key{11}.with("coverage").with(b), band_draws), -infinity, infinity);
    covered += (below(band.high) - below(band.low)) / bands;
  }
  EXPECT_NEAR(covered, 0.95, 0.01);
}

// A surveyed coat's mean is known to 10 %.
TEST(Uncertainty, ASurveyedCoatVariesByATenth) {
  const std::vector<ExistingCoat> coats{{"clear", "nitrocellulose_lacquer", Origin::original, 80e-6, 0, 0, {}}};
  double mean_m = 0, square_m2 = 0;
  constexpr int draws = 2000;
  for (int i = 0; i < draws; ++i) {
    const double drawn_m = drawn(coats, 3, i).front().thickness_m;
    mean_m += drawn_m / draws, square_m2 += drawn_m * drawn_m / draws;
  }
  EXPECT_NEAR(mean_m, 80e-6, 0.6e-6);
  EXPECT_NEAR(std::sqrt(square_m2 - mean_m * mean_m), 8e-6, 0.5e-6);
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
