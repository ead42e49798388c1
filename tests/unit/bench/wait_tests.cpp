// The step `wait`: solvent leaving a body's film, against the forecast of one column and against practice.
#include "bench/steps/wait.h"

#include <gtest/gtest.h>

#include "drying/forecast.h"
#include "shapes/every_step.h"
#include "solvents/blush.h"

namespace witnessline::bench {
namespace {

using namespace shapes;

constexpr double day_s = 86400;

const Bench& bench() {
  static const Bench held = bench_on(torus(220, 63));
  return held;
}
Film found() { return found_film(bench()); }
StepResult done(const Step& step, const Film& film, const std::string& id = "it") {
  Result<StepResult> result = run_step({id, "", step}, film, bench());
  if (!result) throw std::runtime_error(result.errors()[0].text());
  return *result;
}
Spray clear(int coats, double wet_um = 90, double thinning = 1.35) {
  Spray spray;
  spray.mixture = "nitrocellulose_lacquer", spray.thinner = "lacquer_thinner";
  spray.coats = coats, spray.wet_m = wet_um * 1e-6, spray.thinning = thinning, spray.flash_s = 3600;
  return spray;
}
double volume_m3(const Field<float>& field) {
  double sum = 0;
  for (std::size_t v = 0; v < bench().body.size(); ++v)
    sum += std::max(0.0, static_cast<double>(field[v])) * static_cast<double>(bench().body.areas_m2()[v]);
  return sum;
}
/// Solvent over dry film of a coat.
double wetness(const FilmLayer& coat) { return volume_m3(coat.solvent_m) / volume_m3(coat.dry_m); }
double wetness(const Film& film) { return wetness(film.layers.back()); }

TEST(Wait, SolventGoesOnLeavingAndThickFilmsKeepItLonger) {
  const Film one = done(clear(1), bare_film(bench().body)).film, ten = done(clear(10), bare_film(bench().body)).film;
  double before = wetness(ten);
  for (const double days : {0.1, 1.0, 7.0, 30.0, 365.0}) {
    const double now = wetness(done(Wait{days * 86400, {}}, ten).film);
    EXPECT_LT(now, before) << days;
    EXPECT_GT(now, wetness(done(Wait{days * 86400, {}}, one).film)) << days;
    before = now;
  }
}

TEST(Wait, AWarmShopDriesFaster) {
  const Film wet = done(clear(6), bare_film(bench().body)).film;
  EXPECT_LT(wetness(done(Wait{5 * 86400, 303.15}, wet).film), wetness(done(Wait{5 * 86400, 288.15}, wet).film));
}

TEST(Wait, NotAtAllChangesNothing) {
  const Film wet = done(clear(2), found()).film, same = done(Wait{0, {}}, wet).film;
  for (std::size_t l = 0; l < wet.layers.size(); ++l)
    for (std::size_t v = 0; v < wet.size(); v += 37) EXPECT_EQ(same.layers[l].solvent_m[v], wet.layers[l].solvent_m[v]);
}

// An old coat takes up only what the fresh one bit into, so new clear over a saved finish dries as
// `dry` forecasts it over sealed ground. Practice level sands both after two to four weeks. Source: common practice, no
// source.
TEST(Wait, FreshClearOverAnOldFinishDriesAsDryForecasts) {
  const Film wet = done(clear(4), found()).film;
  const Material& lacquer = *real_library().find("nitrocellulose_lacquer");
  const FilmSolvent solvent = *film_solvent_of(*real_library().find("butyl_acetate"));
  DryingCase card;
  card.solvent = solvent, card.air = airflow_along(bench().shop.temperature_K, bench().shop.air_speed_m_s);
  for (int coat = 0; coat < 4; ++coat) card.coats.push_back(laid_coat(lacquer, solvent, 90e-6, 1.35, coat * 3600.0));
  const double last_s = card.coats.back().at_s;
  for (const double days : {7.0, 21.0, 56.0}) {
    const double at_s = last_s + days * day_s;
    const Dried one = dried(card, {}, std::span(&at_s, 1), at_s);
    double solvent_m = 0, dry_m = 0;
    for (std::size_t c = 0; c < card.coats.size(); ++c)
      solvent_m += one.moments.front().solvent_m[c], dry_m += card.coats[c].dry_m;
    EXPECT_NEAR(wetness(done(Wait{days * day_s, {}}, wet).film) / (solvent_m / dry_m), 1, 0.12) << days;
  }
}

TEST(Wait, AnOldCoatTakesUpNoMoreThanItsMeltedSkinHolds) {
  const Film film = done(Wait{1800, {}}, done(clear(3), found()).film).film;
  double skins_m3 = 0, taken_up_m3 = 0;
  for (const FilmLayer& layer : film.layers) {
    if (layer.provenance.origin == Origin::this_plan) continue;
    taken_up_m3 += volume_m3(layer.solvent_m);
    for (std::size_t v = 0; v < bench().body.size(); ++v)
      skins_m3 += std::max(0.0, static_cast<double>(layer.dry_m[v])) * layer.melted[v] / 255.0 *
                  static_cast<double>(bench().body.areas_m2()[v]);
  }
  EXPECT_GT(taken_up_m3, 0);
  EXPECT_LT(taken_up_m3, 1.5 * skins_m3);
}

// A linked glass lets go of what came down on it more slowly than the soft coat it was: a later wait goes on from how
// far the coat has cured, not from how it was laid. Source: the law of partly_cured(), only its direction.
TEST(Wait, ACuredCoatHoldsFreshSolventLonger) {
  Spray two_pack;
  two_pack.mixture = "two_pack_polyurethane", two_pack.coats = 1, two_pack.wet_m = 60e-6;
  const Film laid = done(two_pack, found(), "two-pack").film;
  const auto held = [&](double cured_days) {
    const Film film = done(clear(2), done(Wait{cured_days * day_s, {}}, laid).film, "clear").film;
    return wetness(done(Wait{10 * day_s, {}}, film).film.layers[film.layers.size() - 2]);
  };
  EXPECT_GT(held(30), 1.1 * held(0.05));
}

TEST(Wait, OldLacquerTakesUpSolventFromANewCoatAndTheBooksSayHowMuch) {
  const StepResult result = done(Wait{1800, {}}, done(clear(1, 90, 0), found()).film);
  double soaked_m3 = 0, left_m3 = 0, taken_up_m3 = 0;
  for (const CoatVolumes& coat : result.ledger.coats) {
    soaked_m3 += coat.solvent_soaked_m3, left_m3 += coat.solvent_left_m3;
    if (coat.coat == "old lacquer") taken_up_m3 = coat.solvent_soaked_m3;
  }
  EXPECT_GT(taken_up_m3, 0);
  EXPECT_GT(left_m3, 0);
  EXPECT_NEAR(soaked_m3, 0, 1e-9 * taken_up_m3);
}

TEST(Wait, TheColumnsThatStandForTheBodyAreWithinATenthOfAPercentOfFilm) {
  Film film = done(clear(6), found()).film;
  Sand sand;
  sand.grit = 400;
  film = done(sand, film).film;
  const StepResult result = done(Wait{3 * 86400, {}}, film);
  double worst = -1;
  for (const Note& note : result.notes)
    if (const auto at = note.text.find("differ by at most "); at != std::string::npos)
      worst = std::stod(note.text.substr(at + 18));
  ASSERT_GE(worst, 0) << "the error is said";
  EXPECT_LE(worst, 0.1);
}

TEST(Wait, TwoWaitsComeNearOneOfTheirSum) {
  const Film wet = done(clear(10), bare_film(bench().body)).film;
  const double once = wetness(done(Wait{10 * 86400, {}}, wet).film),
               twice = wetness(done(Wait{7 * 86400, {}}, done(Wait{3 * 86400, {}}, wet).film).film);
  // The film keeps no profile between steps, only what each coat holds; the profile is drawn afresh.
  EXPECT_NEAR(twice / once, 1.0, 0.05);
}

}  // namespace
}  // namespace witnessline::bench
