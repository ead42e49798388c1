#include "drying/laying.h"

#include "drying/carrier.h"
#include "solvents/blush.h"

#include <gtest/gtest.h>

#include <cmath>

namespace witnessline::drying {
namespace {

/// A film that keeps its solvent for a while and sets at once after it.
Setting holds_for(double time_s, double viscosity_Pa_s) {
  Setting s;
  s.density_kg_m3 = 1000, s.solids_fraction = 0.1, s.solvent_m = 90e-6;
  s.viscosity_Pa_s = [viscosity_Pa_s](double, double) { return viscosity_Pa_s; };
  EvaporationMoment start, end;
  start.film_temperature_K = end.film_temperature_K = 294.15;
  end.time_s = time_s;
  s.run.moments = {start, end};
  return s;
}

// Closed form: rho g h^2 t / (2 mu).
TEST(Sag, OfConstantViscosityIsTheFallingFilm) {
  const Setting s = holds_for(60, 0.1);
  EXPECT_NEAR(run_down_m(100e-6, s), 1000 * gravity_m_s2 * 1e-8 * 60 / (2 * 0.1), 1e-9);
}

// The time a film stays wet goes with its depth, so at constant viscosity it runs with the cube of its depth.
TEST(Sag, GoesWithTheCubeOfDepth) {
  const Setting s = holds_for(60, 0.1);
  EXPECT_NEAR(run_down_m(200e-6, s) / run_down_m(100e-6, s), 8, 1e-6);
  const double h_m = thickest_wet_m(s, 3e-3);
  EXPECT_NEAR(run_down_m(h_m, s), 3e-3, 1e-7);
}

TEST(Sag, IsLessWhenSolventLeaves) {
  Setting s = holds_for(60, 0.1);
  const double whole_m = run_down_m(100e-6, s);
  s.viscosity_Pa_s = [](double solids, double) { return 0.1 * std::exp(20 * (solids - 0.1)); };
  s.run.moments.back().left_fraction = 0.1;
  const double setting_m = run_down_m(100e-6, s);
  EXPECT_LT(setting_m, 0.6 * whole_m);
  EXPECT_GT(setting_m, 0);
  EXPECT_NEAR(film_after_m(100e-6, 60, s), 10e-6 + 9e-6, 1e-9);
  EXPECT_NEAR(film_after_m(100e-6, 0, s), 100e-6, 1e-9);
}

// What leaves in flight is gone when the film lands, and what is left runs less.
TEST(Sag, SolventLostInFlightIsGoneWhenItLands) {
  Setting s = holds_for(60, 0.1);
  s.run.moments.back().left_fraction = 0.1;
  s.viscosity_Pa_s = [](double solids, double) { return 0.1 * std::exp(20 * (solids - 0.1)); };
  const double whole_m = run_down_m(100e-6, s);
  s.lost_in_flight = 0.3;
  EXPECT_NEAR(film_after_m(100e-6, 0, s), 10e-6 + 0.7 * 90e-6, 1e-9);
  EXPECT_LT(run_down_m(100e-6, s), 0.5 * whole_m);
}

// Kinematic waves, worked out apart: every depth of a wave carried along at rho g h^2/mu; the first crossing of two
// neighbours comes when the surface has run as far as the closed form says, for a small wave within a tenth.
TEST(Sag, StripesCloseUpWhereTheirPathsCross) {
  Gun gun;
  gun.fan_m = 0.15, gun.overlap = 0.66;
  const double length_m = gun.fan_m * (1 - gun.overlap), height = std::hypot(0.5 * ripple(gun), 0.15);
  constexpr int points = 4000;
  double first_m = 1e9;  // run of the mean surface: a depth h travels 2 (h/h0)^2 of it
  const auto depth = [&](int i) { return 1 + height * std::cos(2 * 3.14159265358979 * i / points); };
  for (int i = 0; i < points; ++i) {
    const double behind = depth(i) * depth(i), ahead = depth(i + 1) * depth(i + 1);
    if (behind > ahead) first_m = std::min(first_m, length_m / points / (2 * (behind - ahead)));
  }
  EXPECT_NEAR(run_until_ridges_m(gun) / first_m, 1, 0.1);
}

TEST(Passes, LeaveWhatLands) {
  Gun gun;
  gun.flow_m3_s = 120e-6 / 60, gun.transfer = 0.5, gun.speed_m_s = 0.4, gun.fan_m = 0.2, gun.overlap = 0.5;
  EXPECT_NEAR(wet_film_of_coat_m(gun), 1e-6 / (0.4 * 0.1), 1e-12);
}

// Exact: a parabola at half overlap has low 1, high 3/2, mean 4/3.
TEST(Passes, OfAParabolaOverlapExactly) {
  const Overlapped half = overlapped(2, 0.5);
  EXPECT_NEAR(half.low, 1, 1e-12);
  EXPECT_NEAR(half.high, 1.5, 1e-12);
  EXPECT_NEAR(half.mean, 4.0 / 3, 1e-6);
}

// What leaves in flight is an estimate; here it is held against a drop that is mixed through, which loses the most: its
// depth is a sixth of its width, heat and vapour go by Nu = 2 + 0.6 Re^1/2 Pr^1/3 (ranz1952). Drops of a small air gun,
// some 30 to 60 um wide, 18 ms on the way, slipping past the air at 2 m/s (memory).
TEST(Flight, AQuarterIsWhatAMixedDropLoses) {
  const Result<Library> library = read_library(std::string(PROJECT_FOLDER) + "/data");
  ASSERT_TRUE(library);
  const Result<CarrierBlend> blend = usual_carrier(Binder::nitrocellulose, *library);
  ASSERT_TRUE(blend);
  std::vector<Note> notes;
  const Solution solution(*volatiles_of(*blend, "", notes), film_former_of(*library->find("nitrocellulose_lacquer")),
                          294.15);
  const auto lost = [&](double drop_m) {
    const double nusselt = 2 + 0.6 * std::sqrt(2 * drop_m / 1.56e-5) * std::cbrt(0.71);
    Airflow air;
    air.temperature_K = 294.15, air.heat_ratio = 1, air.heat_coefficient_W_m2K = nusselt * 0.0263 / drop_m;
    WetFilm film{{}, 0.1 * drop_m / 6};
    for (const double share : blend->volume_fraction) film.solvent_m.push_back(0.9 * share * drop_m / 6);
    return 1 - evaporate(solution, film, air, 0.01, 0.018).moments.back().left_fraction;
  };
  std::printf("lost in flight by a mixed drop of 30, 45, 60, 90 um: %.2f %.2f %.2f %.2f\n", lost(30e-6), lost(45e-6),
              lost(60e-6), lost(90e-6));
  EXPECT_NEAR(lost(45e-6), 0.25, 0.05);
  EXPECT_GT(lost(30e-6), 0.4);  // the band of 10 to 40 % is drops of about 75 to 33 um
  EXPECT_LT(lost(90e-6), 0.1);
}

}  // namespace
}  // namespace witnessline::drying
