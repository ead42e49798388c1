#include <fmt/format.h>
#include <gtest/gtest.h>

#include <cmath>

#include "match/characterise.h"
#include "match/fit_bands.h"

namespace witnessline::match {
namespace {

const std::vector<std::string> names{"white", "red", "yellow", "blue", "black", "green"};

// K and S of six invented colorants; what a film of them reads is worked out by film_reflectance.
MixedFilm made_up(std::size_t colorant, int band) {
  const double centre_nm[] = {0, 500, 430, 610, 0, 660}, scattering[] = {4, 0.6, 0.9, 0.4, 0.1, 0.5};
  if (colorant == 0) return {0.02, scattering[0]};
  if (colorant == 4) return {6, scattering[4]};
  return {0.03 + 4 * std::exp(-std::pow((band_nm(band) - centre_nm[colorant]) / 60, 2)), scattering[colorant]};
}

std::vector<FilmReading> set_read_through(AirFace face) {
  std::vector<FilmReading> films;
  const auto add = [&](std::vector<double> shares) {
    FilmReading film{fmt::format("film {}", films.size()), std::move(shares), 1, 0, {}, {}};
    for (const double ground : {0.06, 0.85}) {
      OverGround over{flat_reflectance(ground), {}};
      for (int b = 0; b < bands; ++b) {
        MixedFilm mixed;
        for (std::size_t c = 0; c < names.size(); ++c) {
          mixed.absorption += film.shares[c] * made_up(c, b).absorption;
          mixed.scattering += film.shares[c] * made_up(c, b).scattering;
        }
        over.film[b] = film_reflectance(mixed, 1, ground_inside(ground, face), face);
      }
      film.over.push_back(over);
    }
    films.push_back(film);
  };
  for (std::size_t a = 0; a < names.size(); ++a) {
    std::vector<double> alone(names.size(), 0.0);
    alone[a] = 1;
    add(alone);
    for (std::size_t b = a + 1; b < names.size(); ++b) {
      std::vector<double> pair(names.size(), 0.0);
      pair[a] = 0.7, pair[b] = 0.3;
      add(pair);
    }
  }
  return films;
}

// The face the readings were made with foretells their mixtures best.
TEST(ChooseFit, finds_whether_a_set_is_glossy_or_matt) {
  EXPECT_GT(fit_suited_to(names, set_read_through(FilmFit().face)).face.inside, 0);
  EXPECT_EQ(fit_suited_to(names, set_read_through({0, 0})).face.inside, 0);
  // Too few mixtures to tell by: the usual fit.
  std::vector<FilmReading> few = set_read_through({0, 0});
  few.resize(6);
  EXPECT_EQ(fit_suited_to(names, few).face.inside, FilmFit().face.inside);
}

TEST(ChooseFit, kin_are_told_by_their_names) {
  const auto kin = kin_of({"zinc_white", "red", "zinc_white_linseed", "zinc_white_poppy", "redder"});
  EXPECT_EQ(kin[0], (std::vector<std::size_t>{2, 3}));
  EXPECT_EQ(kin[2], (std::vector<std::size_t>{0, 3}));
  EXPECT_TRUE(kin[1].empty());
  EXPECT_TRUE(kin[4].empty());
}

// A film read ten times over is one film: its error does not count ten times against the others.
TEST(ChooseFit, a_composition_read_often_counts_once) {
  const FilmFit fit;
  std::vector<FilmReading> films = set_read_through(fit.face);
  const auto once = characterise(names, films, fit);
  const std::size_t red_masstone = 6;
  ASSERT_EQ(films[red_masstone].shares[1], 1);
  for (OverGround& over : films[red_masstone].over)
    for (double& r : over.film.at) r += 0.02;
  const auto one_bad = characterise(names, films, fit);
  for (int i = 0; i < 9; ++i) films.push_back(films[red_masstone]);
  const auto ten_bad = characterise(names, films, fit);
  ASSERT_TRUE(once && one_bad && ten_bad);
  for (int b = 4; b < 32; b += 3)
    EXPECT_NEAR(ten_bad->colorants[1].absorption[b] / one_bad->colorants[1].absorption[b], 1, 0.01);
}

}  // namespace
}  // namespace witnessline::match
