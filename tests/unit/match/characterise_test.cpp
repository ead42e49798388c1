#include "match/characterise.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <cmath>
#include <cstdlib>
#include <fstream>

#include "folds.h"
#include "match/fit_bands.h"
#include "match/prediction_table.h"

namespace witnessline::match {
namespace {

const std::vector<std::string> white_and_red{"white", "red"};

// K and S of an invented white and red; what a film of them reads is worked out by film_reflectance.
MixedFilm made_up(double red, int band) {
  const double t = band / 35.0;
  return {(1 - red) * (0.02 + 0.05 * (1 - t)) + red * (3.0 - 2.8 * t), (1 - red) * 4.0 + red * (0.4 + 0.6 * t)};
}

FilmReading made_up_film(double red, double thickness, const FilmFit& fit, bool both_grounds = true) {
  FilmReading film{fmt::format("{} at {}", red, thickness), {1 - red, red}, thickness, 0, {}, {}};
  std::vector<double> grounds{0.85};
  if (both_grounds) grounds.insert(grounds.begin(), 0.05);
  for (const double g : grounds) {
    OverGround over{flat_reflectance(g), {}};
    for (int b = 0; b < bands; ++b)
      over.film[b] = film_reflectance(made_up(red, b), thickness, ground_inside(g, fit.face), fit.face);
    film.over.push_back(over);
  }
  return film;
}

std::vector<FilmReading> oil_films() {
  const auto densities = read_pigment_densities(std::string(PROJECT_FOLDER) + "/data/pigments.csv");
  if (!densities) return {};
  const auto table =
      read_prediction_table(std::string(PROJECT_FOLDER) + "/tests/data/oil_paint_mixtures.csv", *densities);
  std::vector<FilmReading> films;
  if (table)
    for (const TableFilm& f : table->films) films.push_back(f.film);
  return films;
}

// Source of the expected values: the constants the readings were made from (kubelka1948 forwards).
TEST(Characterise, finds_the_constants_readings_were_made_from) {
  FilmFit fit;
  fit.prior = 1e-6, fit.pooling = 0;
  const std::vector<FilmReading> films{made_up_film(0, 1, fit), made_up_film(1, 1, fit), made_up_film(0.1, 1.3, fit),
                                       made_up_film(0.4, 0.8, fit)};
  const auto set = characterise(white_and_red, films, fit);
  ASSERT_TRUE(set);
  for (int b = 0; b < bands; ++b)
    for (const int colorant : {0, 1}) {
      const MixedFilm made = made_up(colorant, b);
      EXPECT_NEAR(set->colorants[colorant].absorption[b] / made.absorption, 1, 0.01);
      EXPECT_NEAR(set->colorants[colorant].scattering[b] / made.scattering, 1, 0.01);
    }
  const auto new_mixture = predict(*set, {0.8, 0.2}, flat_reflectance(0.5), {1.1, 0});
  ASSERT_TRUE(new_mixture);
  for (int b = 0; b < bands; ++b)
    EXPECT_NEAR(new_mixture->reflectance[b],
                film_reflectance(made_up(0.2, b), 1.1, ground_inside(0.5, fit.face), fit.face), 1e-4);
}

TEST(Characterise, finds_a_thickness_that_was_not_recorded) {
  FilmFit fit;
  std::vector<FilmReading> films{made_up_film(0, 1, fit), made_up_film(1, 1, fit), made_up_film(0.1, 1, fit)};
  const auto set = characterise(white_and_red, films, fit);
  ASSERT_TRUE(set);
  FilmReading thin = made_up_film(0.5, 0.6, fit);
  thin.thickness_ratio = 1, thin.thickness_log_sd = 0.5;
  const FilmThickness found = thickness_from_reading(*set, thin);
  EXPECT_NEAR(found.ratio, 0.6, 0.06);
  EXPECT_LT(found.log_sd, 0.3);
}

// Over one ground a film of any reflectance has endlessly many pairs of K and S (kubelka1948).
TEST(Characterise, one_ground_alone_is_refused) {
  const FilmFit fit;
  const auto alone = characterise(white_and_red, {made_up_film(0, 1, fit, false), made_up_film(1, 1, fit, false)}, fit);
  ASSERT_FALSE(alone);
  EXPECT_NE(alone.errors()[0].text().find("one ground"), std::string::npos);

  const auto white_known = characterise(white_and_red, {made_up_film(0, 1, fit), made_up_film(1, 1, fit, false)}, fit);
  ASSERT_TRUE(white_known);
  EXPECT_FALSE(white_known->colorants[1].separated);
  ASSERT_EQ(white_known->notes.size(), 1u);
  EXPECT_EQ(white_known->notes[0].about, "red");
  EXPECT_FALSE(predict(*white_known, {0.5, 0.5}, flat_reflectance(0.8), {}));
  EXPECT_TRUE(predict(*white_known, {1, 0}, flat_reflectance(0.8), {}));
}

TEST(Characterise, changed_over_grounds_per_cent_and_impossible_shares_are_named) {
  const FilmFit fit;
  const auto refused = [&](FilmReading bad, const char* word) {
    bad.sample = "the bad one";
    const auto set = characterise(white_and_red, {made_up_film(0, 1, fit), bad}, fit);
    if (set) return false;
    const std::string text = set.errors()[0].text();
    return text.find(word) != std::string::npos && text.find("the bad one") != std::string::npos;
  };
  FilmReading swapped = made_up_film(1, 0.3, fit);
  std::swap(swapped.over[0].ground, swapped.over[1].ground);
  EXPECT_TRUE(refused(swapped, "swapped"));
  FilmReading per_cent = made_up_film(1, 1, fit);
  for (double& r : per_cent.over[0].film.at) r *= 100;
  EXPECT_TRUE(refused(per_cent, "per cent"));
  FilmReading negative = made_up_film(1, 1, fit);
  negative.over[0].film[7] = -0.01;
  EXPECT_TRUE(refused(negative, "-0.01"));
  FilmReading nan = made_up_film(1, 1, fit);
  nan.over[1].film[7] = std::nan("");
  EXPECT_TRUE(refused(nan, "not a number"));
  FilmReading shares = made_up_film(1, 1, fit);
  shares.shares = {0.5, 0.2};
  EXPECT_TRUE(refused(shares, "sum to 1"));
}

TEST(Characterise, random_readings_never_give_nan_or_negative_constants) {
  for (std::uint64_t seed = 0; seed < 8; ++seed) {
    std::vector<FilmReading> films;
    for (std::uint64_t f = 0; f < 6; ++f) {
      const Key key = Key{seed}.with(f);
      FilmReading film{fmt::format("{}", f), {}, 1, 0.4, {}, {}};
      const double red = std::floor(uniform(key) * 3) / 2;
      film.shares = {1 - red, red};
      OverGround dark{flat_reflectance(0.05), {}}, light{flat_reflectance(0.8), {}};
      for (int b = 0; b < bands; ++b) {
        dark.film[b] = uniform(key.with(2).with(static_cast<std::uint64_t>(b)));
        light.film[b] = std::max(dark.film[b], uniform(key.with(3).with(static_cast<std::uint64_t>(b))));
      }
      film.over = {dark, light};
      films.push_back(film);
    }
    const auto set = characterise(white_and_red, films);
    ASSERT_TRUE(set);
    for (const ColorantModel& c : set->colorants)
      for (int b = 0; b < bands; ++b) {
        EXPECT_TRUE(c.absorption[b] >= 0 && std::isfinite(c.absorption[b]));
        EXPECT_TRUE(c.scattering[b] >= 0 && std::isfinite(c.scattering[b]));
        EXPECT_TRUE(std::isfinite(c.absorption_log_sd[b]) && std::isfinite(c.scattering_log_sd[b]));
      }
    const auto p = predict(*set, {0.3, 0.7}, flat_reflectance(0.4), {0.7, 0.3});
    ASSERT_TRUE(p);
    for (int b = 0; b < bands; ++b) EXPECT_TRUE(p->reflectance[b] >= 0 && p->reflectance[b] <= 1);
    EXPECT_TRUE(std::isfinite(p->likely_delta_e));
  }
}

// Source: geldof2018, real paints of known composition. Two folds; the whole table is in docs/validation/colour.md.
TEST(Characterise, comes_closer_to_real_paints_left_out_than_the_plain_model) {
  const auto table = read_prediction_table(std::string(PROJECT_FOLDER) + "/tests/data/oil_paint_mixtures.csv");
  ASSERT_TRUE(table);
  const std::vector<FilmReading> films = oil_films();
  Scores plain, ours, plain_white, ours_white;
  for (const std::uint64_t seed : {1, 2}) {
    const auto out = left_out(films, seed, 12);
    std::vector<FilmReading> kept, asked;
    for (std::size_t f = 0; f < films.size(); ++f)
      (std::find(out.begin(), out.end(), f) == out.end() ? kept : asked).push_back(films[f]);
    const auto plain_set = characterise(table->colorants, kept, plain_two_constant_fit());
    const auto our_set = characterise(table->colorants, kept);
    ASSERT_TRUE(plain_set && our_set);
    plain.add(from_composition(*plain_set, asked)), ours.add(from_composition(*our_set, asked));
    ours_white.add(with_thickness(*our_set, asked, 0.35));
  }
  EXPECT_LT(ours.mean(), 0.84 * plain.mean());
  EXPECT_LT(ours.quantile(0.95), 0.80 * plain.quantile(0.95));
  EXPECT_LT(ours_white.mean(), ours.mean());
}

// By hand: paints of 2798 and 1278 kg/m3 (0.4 x 5600 + 0.6 x 930 = 2798; 0.4 x 1800 + 0.6 x 930 = 1278), equal masses.
TEST(PaintDensity, shares_by_volume_follow_the_pigments_densities) {
  const PigmentDensities densities{{"PW4", 5600}};
  EXPECT_NEAR(paint_density("PW4_zinc_white", densities), 2798, 1e-9);
  EXPECT_NEAR(paint_density("some_lake", densities), 1278, 1e-9);
  const auto shares = shares_by_volume({0.5, 0.5}, {"PW4_zinc_white", "some_lake"}, densities);
  EXPECT_NEAR(shares[0], 1278.0 / (1278 + 2798), 1e-12);
  EXPECT_NEAR(shares[0] + shares[1], 1, 1e-12);
  EXPECT_NEAR(shares_by_volume({0.3, 0.7}, {"a", "b"}, densities)[0], 0.3, 1e-12);
}

TEST(PredictionTable, faults_are_located) {
  const std::string path = ::testing::TempDir() + "witnessline_table.csv";
  const auto errors_of = [&](const std::string& wavelengths, const std::string& rows) {
    std::ofstream(path) << "sample,surface,white" << wavelengths << "\n" << rows;
    const auto table = read_prediction_table(path);
    return table ? std::string() : table.errors()[0].text();
  };
  std::string right, swapped, values, per_cent;
  for (int nm = 400; nm <= 700; nm += 10) {
    right += fmt::format(",R{}", nm);
    swapped += fmt::format(",R{}", nm == 500 ? 510 : nm == 510 ? 500 : nm);
    values += ",0.5", per_cent += ",50";
  }
  EXPECT_EQ(errors_of(right, "a,card_white,100" + values + "\n"), "");
  EXPECT_NE(errors_of(swapped, "a,card_white,100" + values + "\n").find("out of order"), std::string::npos);
  const std::string hundred = errors_of(right, "a,card_white,100" + per_cent + "\n");
  EXPECT_NE(hundred.find("per cent"), std::string::npos);
  EXPECT_NE(hundred.find(":2"), std::string::npos);
  EXPECT_NE(errors_of(right, "a,card_wite,100" + values + "\n").find("did you mean 'card_white'"), std::string::npos);
  EXPECT_NE(errors_of(right, "a,over_white,100" + values + "\n").find("bare card"), std::string::npos);
}

}  // namespace
}  // namespace witnessline::match
