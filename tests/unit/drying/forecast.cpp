// Hardness, dates with their band, and the refit by a weighed card.
#include "drying/forecast.h"

#include <gtest/gtest.h>

#include <cmath>

#include "base/parallel.h"
#include "drying/weighing.h"

namespace witnessline::drying {
namespace {

constexpr double hour_s = 3600, day_s = 86400;

FilmSolvent acetate() {
  return {
      {"butyl_acetate", {9.5, 1596.7, -43.85, 301, 424}, 0.11616, 882.5, 43860, 133.72, {15.8e3, 3.7e3, 6.3e3}, {}}};
}
/// Coats of lacquer of 100 um dry in all on a card, an hour and a half apart.
DryingCase card(int coats = 10) {
  DryingCase given;
  given.solvent = acetate();
  given.air = shop_draught(294.15, 0.3);
  for (int c = 0; c < coats; ++c)
    given.coats.push_back({{318.15, 1300, 0.48, 0, false}, 12, 100e-6 / coats, 800e-6 / coats, c * 5400.0});
  return given;
}

// Source: fox1956; the row of the reference collection: a tenth of solvent takes some 50 K.
TEST(Film, SolventLeftLowersTheGlassTransition) { EXPECT_NEAR(glass_transition_K(0.1, 318.15, 113), 269.265, 0.001); }

// Source: williams1955, universal constants.
TEST(Film, ViscosityFallsAboveTheGlassTransition) {
  EXPECT_NEAR(std::log10(film_viscosity_Pa_s(10)) - 12, -2.83117, 1e-4);
  EXPECT_NEAR(std::log10(film_viscosity_Pa_s(50)) - 12, -8.58268, 1e-4);
  for (const double x : {-20.0, -1.0, 0.0, 3.0, 40.0}) EXPECT_NEAR(above_transition_K(film_viscosity_Pa_s(x)), x, 1e-9);
}

TEST(Film, ActivityRunsFromNothingToOneAndSwellingStopsWhereItIsCrossLinked) {
  const Resin lacquer{318.15, 1300, 0.48, 0, false}, cured{353.15, 1200, 0.9, 1000, false};
  double before = 0;
  for (double p = 0.01; p < 1; p += 0.01) {
    const double a = solvent_activity(p, lacquer, acetate());
    EXPECT_GT(a, before);
    EXPECT_LE(a, 1.0 + 1e-12);
    before = a;
  }
  const auto swollen = passage_of(cured, acetate(), {}, 294.15)->fraction_at(1.0);
  EXPECT_GT(swollen, 0.05);
  EXPECT_LT(swollen, 0.5);
}

TEST(Readiness, HarderUsesAllowLessSolvent) {
  const Resin lacquer{318.15, 1300, 0.48, 0, false};
  const auto allowed = [&](Use use, double at_K = 294.15) {
    return solvent_allowed(criterion_of(use), lacquer, acetate(), at_K);
  };
  EXPECT_GT(allowed(Use::handle), allowed(Use::hang_on_stand));
  EXPECT_GT(allowed(Use::hang_on_stand), allowed(Use::fit_plates));
  EXPECT_GT(allowed(Use::flat), allowed(Use::buff));
  EXPECT_GT(allowed(Use::fit_plates), 0.0);
  EXPECT_GT(allowed(Use::fit_plates), allowed(Use::fit_plates, 304.15)) << "a warm shop asks for a drier film";
  const Resin soft{283.15, 1000, 0.5, 0, false};
  EXPECT_EQ(solvent_allowed(criterion_of(Use::fit_plates), soft, acetate(), 294.15), 0.0) << "never hard at all";
}

TEST(Forecast, DatesComeInTheirOrderAndTheBooksClose) {
  const std::vector<double> times{day_s, 7 * day_s, 30 * day_s};
  const Dried run = dried(card(), {}, times, 400 * day_s);
  const auto ready = [&](Use use) { return run.ready_s[static_cast<std::size_t>(use)]; };
  EXPECT_TRUE(run.finished);
  EXPECT_LT(ready(Use::handle), 6 * hour_s);
  EXPECT_LT(ready(Use::handle), ready(Use::hang_on_stand));
  EXPECT_LT(ready(Use::hang_on_stand), ready(Use::fit_plates));
  EXPECT_GT(ready(Use::fit_plates), 7 * day_s) << "fresh lacquer prints for weeks (common practice, no source)";
  EXPECT_NEAR(run.gone_m + run.left_m, run.laid_m, 1e-8 * run.laid_m);
  ASSERT_EQ(run.moments.size(), 3u);
}

TEST(Forecast, WoodTakesSolventUp) {
  DryingCase on_wood = card(3);
  on_wood.on_wood = true;
  const Dried run = dried(on_wood, {}, {}, 10 * day_s);
  EXPECT_GT(run.wood_m, 0.0);
  EXPECT_NEAR(run.gone_m + run.left_m + run.wood_m, run.laid_m, 1e-8 * run.laid_m);
}

TEST(Forecast, IsTheSameAtAnyThreadCount) {
  const std::vector<double> times{day_s};
  use_threads(1);
  const Forecast one = forecast(card(3), usual_belief(12), times, 30 * day_s);
  use_threads(0);
  const Forecast many = forecast(card(3), usual_belief(12), times, 30 * day_s);
  EXPECT_EQ(one.left_m[0].low, many.left_m[0].low);
  EXPECT_EQ(one.left_m[0].high, many.left_m[0].high);
  EXPECT_LT(one.left_m[0].low, one.middle.moments[0].solvent_m[2] + one.middle.moments[0].solvent_m[1]);
}

/// Weighings of a card whose film dries as `truth` says, to the scale's division.
WeighedCard weighed(const DryingCase& given, const Draw& truth, const std::vector<double>& times_s) {
  WeighedCard made;
  made.bare_kg = 0.0412;
  const Dried run = dried(given, truth, times_s, times_s.back(), {1e-4, 24, 12, 0.9});
  for (std::size_t i = 0; i < times_s.size(); ++i)
    made.weighings.push_back(
        {times_s[i],
         std::round((*made.bare_kg + film_mass_kg(given, truth, run.moments[i], made.area_m2)) * 1e5) * 1e-5});
  return made;
}

TEST(Weighing, AHundredMicrometresOnACardWeighAboutTwoGrams) {
  const DryingCase given = card();
  const Dried run = dried(given, {}, std::vector<double>{30 * day_s}, 30 * day_s);
  EXPECT_NEAR(film_mass_kg(given, {}, run.moments[0], 0.015), 1.95e-3 * 1.05, 0.15e-3);
}

TEST(Weighing, RefitsTheFilmAndNarrowsItsDates) {
  const DryingCase given = card();
  const Draw truth{-0.7, 0.4, -0.5, 0.2, 0.1, 0.3, 0};
  const double last_s = given.coats.back().at_s;
  const WeighedCard on_scale = weighed(given, truth,
                                       {last_s + 600, last_s + 3 * hour_s, last_s + day_s, last_s + 3 * day_s,
                                        last_s + 7 * day_s, last_s + 14 * day_s, last_s + 28 * day_s});
  const Result<CardFit> fit = fit_card(given, on_scale);
  ASSERT_TRUE(fit);
  EXPECT_LT(fit->worst_kg, 1e-5) << "no more than a division of the scale";
  const std::vector<double> times{last_s + 60 * day_s};
  const Forecast before = forecast(given, usual_belief(), times, times[0]),
                 after = forecast(given, fit->belief, times, times[0]);
  const double exact_m = [&] {
    const Dried run = dried(given, truth, times, times[0]);
    double sum = 0;
    for (const double coat : run.moments[0].solvent_m) sum += coat;
    return sum;
  }();
  EXPECT_LT(after.left_m[0].high - after.left_m[0].low, 0.6 * (before.left_m[0].high - before.left_m[0].low));
  EXPECT_LT(after.left_m[0].low, exact_m);
  EXPECT_GT(after.left_m[0].high, exact_m);
  EXPECT_LT(fit->belief.spread(Unknown::jump), 0.75);
  EXPECT_GT(fit->belief.spread(Unknown::hardness), 0.6) << "a scale does not feel hardness";
}

TEST(Weighing, OneHeavierThanBeforeIsLeftOutAndSaid) {
  const DryingCase given = card(3);
  const double last_s = given.coats.back().at_s;
  WeighedCard on_scale = weighed(given, {}, {last_s + hour_s, last_s + day_s, last_s + 5 * day_s});
  on_scale.weighings[1].mass_kg = on_scale.weighings[0].mass_kg + 8e-5;
  const Result<CardFit> fit = fit_card(given, on_scale);
  ASSERT_TRUE(fit);
  EXPECT_EQ(fit->used.size(), 2u);
  ASSERT_FALSE(fit->notes.empty());
  EXPECT_NE(fit->notes[0].text.find("80 mg heavier"), std::string::npos) << fit->notes[0].text;
}

TEST(Weighing, TimesOutOfOrderAreRefused) {
  WeighedCard on_scale;
  on_scale.weighings = {{2000, 0.05}, {1000, 0.049}};
  const Result<CardFit> fit = fit_card(card(1), on_scale);
  ASSERT_FALSE(fit);
  EXPECT_EQ(fit.errors()[0].where.key, "card.weighings[2].at_h");
  on_scale.weighings = {{2000, 0.05}};
  EXPECT_FALSE(fit_card(card(1), on_scale));
}

}  // namespace
}  // namespace witnessline::drying
