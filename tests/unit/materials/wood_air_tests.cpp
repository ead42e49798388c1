// Laws of wood and moist air that hold whatever the numbers (published values: data/published/wood.csv, air.csv).
#include <gtest/gtest.h>

#include "materials/air.h"
#include "materials/coverage.h"
#include "materials/wood.h"

namespace witnessline::materials {
namespace {

TEST(Wood, IsDryInDryAirAndDamperInDamperAir) {
  EXPECT_NEAR(equilibrium_moisture_fraction(294.15, 0), 0, 1e-12);
  for (double humidity = 0.05; humidity < 0.95; humidity += 0.05)
    EXPECT_LT(equilibrium_moisture_fraction(294.15, humidity), equilibrium_moisture_fraction(294.15, humidity + 0.05));
  EXPECT_GT(equilibrium_moisture_fraction(278.15, 0.5), equilibrium_moisture_fraction(303.15, 0.5));
}

TEST(Air, DewPointOfSaturatedAirIsItsOwnTemperature) {
  for (double t_K = 275; t_K < 315; t_K += 5) {
    EXPECT_NEAR(dew_point_K(t_K, 1), t_K, 1e-9);
    EXPECT_NEAR(wet_bulb_K(t_K, 1), t_K, 1e-6);
    EXPECT_LT(dew_point_K(t_K, 0.5), wet_bulb_K(t_K, 0.5));
    EXPECT_LT(wet_bulb_K(t_K, 0.5), t_K);
  }
}

TEST(Air, RatioAndPressureInvertEachOther) {
  EXPECT_NEAR(vapour_pressure_of_ratio_Pa(humidity_ratio(1234.5)), 1234.5, 1e-9);
}

TEST(Coverage, WetAndDryFilmInvertEachOther) {
  EXPECT_NEAR(dry_film_m(wet_film_m(8e-6, 0.2, 1.5), 0.2, 1.5), 8e-6, 1e-18);
  EXPECT_NEAR(coverage_m2_m3(25e-6, 0.2) * 25e-6, 0.2, 1e-12);
}

}  // namespace
}  // namespace witnessline::materials
