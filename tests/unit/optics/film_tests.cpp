// One film, one face, one exponential. Values worked out elsewhere stand in data/published/colour_films.csv.
#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "columns.h"
#include "optics/absorbed.h"

using namespace witnessline::optics;

namespace {

TEST(Absorbed, StaysWithinItsStatedError) {
  double worst = 0;
  for (double power = -30; power < 2; power += 1e-4) {
    const auto u = static_cast<float>(std::pow(10, power));
    const double exact = -std::expm1(-static_cast<double>(u));
    worst = std::max(worst, std::abs(static_cast<double>(absorbed(u)) - exact) / exact);
  }
  EXPECT_LT(worst, 2e-7);
  EXPECT_EQ(absorbed(0), 0);
  EXPECT_EQ(absorbed(1e30f), 1);
}

TEST(Film, ObeysTheLawsOfAFilm) {
  std::mt19937 random(5);
  std::uniform_real_distribution<double> power(-9, 3), share(0, 1);
  for (int i = 0; i < 20000; ++i) {
    const OpticalDepth depth{std::pow(10, power(random)), std::pow(10, power(random))};
    const FilmOptics film = film_optics(depth);
    EXPECT_GE(film.reflectance, 0);
    EXPECT_GE(film.transmittance, 0);
    EXPECT_LE(film.reflectance + film.transmittance, 1 + 1e-12);
    const double ground = share(random), cut = share(random);
    const double whole = over_ground(film, ground);
    EXPECT_LE(whole, 1);
    // Cut anywhere, the two halves are the film.
    const FilmOptics lower = film_optics({depth.absorption * cut, depth.scattering * cut});
    const FilmOptics upper = film_optics({depth.absorption * (1 - cut), depth.scattering * (1 - cut)});
    EXPECT_NEAR(over_ground(upper, over_ground(lower, ground)), whole, 1e-10);
  }
}

TEST(Film, InverseFindsTheFilmAgain) {
  std::mt19937 random(6);
  std::uniform_real_distribution<double> power(-3, 0.3);
  for (int i = 0; i < 5000; ++i) {
    const OpticalDepth depth{std::pow(10, power(random)), std::pow(10, power(random))};
    const FilmOptics film = film_optics(depth);
    const InverseFilm found = film_from_two_grounds(over_ground(film, 0.02), over_ground(film, 0.85), 0.02, 0.85);
    EXPECT_FALSE(found.clamped);
    EXPECT_NEAR(found.depth.absorption / depth.absorption, 1, 1e-6);
    EXPECT_NEAR(found.depth.scattering / depth.scattering, 1, 1e-6);
  }
}

TEST(Film, InverseSaysWhenItHadToGiveWay) {
  // Hides its ground; brighter over dark than over light; darker than any film over black could be.
  for (const auto& [over_dark, over_light] : {std::pair{0.30, 0.30}, {0.31, 0.30}, {0.001, 0.5}, {0.0001, 0.0001}}) {
    const InverseFilm found = film_from_two_grounds(over_dark, over_light, 0.02, 0.85);
    EXPECT_TRUE(found.clamped);
    EXPECT_GE(found.depth.absorption, 0);
    EXPECT_GE(found.depth.scattering, 0);
    const FilmOptics film = film_optics(found.depth);
    EXPECT_NEAR(over_ground(film, 0.85), over_light, 0.02);
  }
}

TEST(Face, BareWoodsBodyGivesTheBareReflectanceBack) {
  const AirFace face = air_face(1.55, 45);
  for (double bare = 0.04; bare < 0.95; bare += 0.01) {
    const double body = body_of_bare_wood(bare, face);
    EXPECT_NEAR((1 - bare_wood_face_share) * body + bare_wood_face_share * seen_outside(body, face, 1), bare, 1e-12);
  }
  EXPECT_EQ(body_of_bare_wood(0, face), 0);
}

TEST(Face, RoughnessScattersAllOfItOrNone) {
  EXPECT_EQ(scattered_share(0, 45, 550), 0);
  EXPECT_NEAR(scattered_share(5e-6, 45, 550), 1, 1e-12);
  EXPECT_GT(scattered_share(50e-9, 45, 400), scattered_share(50e-9, 45, 700));
}

}  // namespace
