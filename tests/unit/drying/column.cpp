// The column solver against Crank's closed forms, its order, and what it must never break.
#include "drying/column.h"

#include <gtest/gtest.h>

#include <cmath>

#include "base/random.h"
#include "solvents/blush.h"

namespace witnessline::drying {
namespace {

/// Diffusivity `d` per dry thickness and activity in proportion to solvent per dry volume: the linear problem.
std::shared_ptr<const Transport> linear(double d_m2_s) {
  return std::make_shared<const Transport>([=](double p) { return d_m2_s / ((1 - p) * (1 - p)); },
                                           [](double p) { return p < 0.5 ? p / (1 - p) : 1.0; });
}
constexpr double thick_m = 50e-6, d_m2_s = 1e-12, unit_s = thick_m * thick_m / d_m2_s, little = 0.05;

/// Share lost at D t/L^2 = `at` with L = alpha l/D = `biot`.
double lost(double biot, double at, ColumnAccuracy accuracy) {
  DryingColumn column(AirSide::straight(biot * d_m2_s / thick_m), accuracy);
  column.lay(linear(d_m2_s), thick_m, little * thick_m);
  EXPECT_TRUE(column.dry(at * unit_s));
  return column.gone_m() / column.laid_m();
}

/// Source: crank1975, Eq. 4.53: 1 - sum 2 L^2 exp(-b^2 T) / (b^2 (b^2 + L^2 + L)), b tan b = L.
double crank_lost(double biot, double at) {
  double left = 0;
  for (int n = 0; n < 200; ++n) {
    double low = n * M_PI + 1e-12, high = (n + 0.5) * M_PI - 1e-12;
    for (int i = 0; i < 80; ++i) {
      const double b = 0.5 * (low + high);
      (b * std::tan(b) < biot ? low : high) = b;
    }
    const double b2 = low * low;
    left += 2 * biot * biot * std::exp(-b2 * at) / (b2 * (b2 + biot * biot + biot));
  }
  return 1 - left;
}

TEST(Column, FollowsCranksSlabWithSurfaceResistance) {
  const ColumnAccuracy fine{1e-7, 160, 160, 0.985};
  for (const double biot : {0.1, 1.0, 10.0, 100.0})
    for (const double at : {0.1, 0.5, 1.0, 2.0})
      EXPECT_NEAR(lost(biot, at, fine), crank_lost(biot, at), 2e-5) << biot << " " << at;
}

// Source: crank1975, Eq. 4.18 (surface held at zero); values of the reference collection.
TEST(Column, FollowsCranksSlabWithTheSurfaceHeldAtZero) {
  const ColumnAccuracy fine{1e-7, 240, 240, 0.985};
  for (const auto& [at, share] :
       {std::pair{0.01, 0.112838}, {0.1, 0.356823}, {0.5, 0.763950}, {1.0, 0.931260}, {2.0, 0.994170}})
    EXPECT_NEAR(lost(1e7, at, fine), share, 2e-5) << at;
}

TEST(Column, SurfaceLimitedLossDoublesItsTimeWithThicknessAndDiffusionLimitedFourfold) {
  const auto half_time = [](double biot, double thick) {
    DryingColumn column(AirSide::straight(biot * d_m2_s / thick_m), {1e-5, 48, 48, 0.95});
    column.lay(linear(d_m2_s), thick, little * thick);
    double found = 0, last_s = 0, last_m = 0;
    const double half_m = 0.5 * column.laid_m();
    column.dry(3.0 / std::min(biot, 1.0) * unit_s, [&](double now_s) {
      const double gone_m = column.gone_m();
      if (found == 0 && gone_m > half_m) found = last_s + (now_s - last_s) * (half_m - last_m) / (gone_m - last_m);
      last_s = now_s, last_m = gone_m;
    });
    return found;
  };
  EXPECT_NEAR(half_time(1e-3, 2 * thick_m) / half_time(1e-3, thick_m), 2.0, 0.03);
  EXPECT_NEAR(half_time(1e6, 2 * thick_m) / half_time(1e6, thick_m), 4.0, 0.06);
}

TEST(Column, ErrorFallsWithTheSquareOfTheCells) {
  const double exact = crank_lost(2.0, 0.5);
  double before = 0;
  for (const int cells : {8, 16, 32}) {
    const double error = std::abs(lost(2.0, 0.5, {1e-9, cells, cells, 1.0}) - exact);
    if (before > 0) { EXPECT_GT(std::log2(before / error), 1.9) << cells; }
    before = error;
  }
}

/// A lacquer of free-volume diffusivity, wet on dry.
Resin lacquer() { return {318.15, 1300, 0.48, 0, false}; }
FilmSolvent acetate() {
  return {
      {"butyl_acetate", {9.5, 1596.7, -43.85, 301, 424}, 0.11616, 882.5, 43860, 133.72, {15.8e3, 3.7e3, 6.3e3}, {}}};
}
std::shared_ptr<const Transport> lacquer_transport() { return transport_of(lacquer(), acetate(), {}, 294.15); }
// A water-borne coat dries into the water of the air: ever slower with its humidity, at saturation not at all; other
// solvents do not mind.
TEST(AirSide, WaterLeavesIntoTheWaterOfTheAir) {
  const Result<Library> library = read_library(PROJECT_FOLDER "/data");
  ASSERT_TRUE(library);
  const Volatile water = *volatile_of(*library->find("water"));
  const auto flux_m_s = [&](const Volatile& solvent, double humidity, double activity) {
    Airflow air = airflow_along(294.15, 0.3);
    air.relative_humidity = humidity;
    return AirSide(solvent, air).flux_m_s(activity).value;
  };
  double last = flux_m_s(water, 0, 1);
  for (const double humidity : {0.3, 0.6, 0.9}) {
    EXPECT_LT(flux_m_s(water, humidity, 1), last);
    EXPECT_GT(flux_m_s(water, humidity, 1), 0);
    EXPECT_EQ(flux_m_s(water, humidity, humidity - 0.1), 0);
    last = flux_m_s(water, humidity, 1);
  }
  EXPECT_NEAR(flux_m_s(water, 1, 1), 0, 1e-15);
  EXPECT_EQ(flux_m_s(acetate().of, 0.9, 0.5), flux_m_s(acetate().of, 0, 0.5));
}

AirSide shop_air() { return AirSide(acetate().of, airflow_along(294.15, 0.3)); }

TEST(Column, FixedStepsConvergeAtLeastSquarely) {
  // The tolerance is the only handle on the step: its error must fall with steps^-2 or faster in the nonlinear film.
  const auto solved = [](double tolerance) {
    DryingColumn column(shop_air(), {tolerance, 24, 24, 0.85});
    column.lay(lacquer_transport(), 10e-6, 60e-6);
    EXPECT_TRUE(column.dry(86400));
    return std::pair{column.solvent_m(), column.steps_taken()};
  };
  const double exact = solved(1e-9).first;
  const auto [coarse, few] = solved(1e-4);
  const auto [fine, many] = solved(1e-7);
  const double order = std::log(std::abs(coarse - exact) / std::abs(fine - exact)) / std::log(double(many) / few);
  EXPECT_GT(order, 2.0);
  EXPECT_LT(std::abs(fine - exact), 1e-5 * exact);
}

TEST(Column, KeepsItsSolventToEightDigitsAndNeverGoesNegative) {
  const auto hard = transport_of({353.15, 1200, 1.5, 1000, false}, acetate(), {}, 294.15);
  for (std::uint64_t seed = 1; seed <= 6; ++seed) {
    DryingColumn column(shop_air());
    for (std::uint64_t coat = 0; coat < 6; ++coat) {
      const Key key = Key{seed}.with(coat);
      const double dry = 2e-6 + 20e-6 * uniform(key.with(1));
      column.lay(uniform(key.with(2)) < 0.3 ? hard : lacquer_transport(), dry, 8 * dry * uniform(key.with(3)));
      EXPECT_TRUE(column.dry(std::pow(10, 2 + 4 * uniform(key.with(4)))));
      EXPECT_NEAR((column.solvent_m() + column.gone_m()) / column.laid_m(), 1.0, 1e-12);
      for (const double u : column.cells()) EXPECT_GE(u, 0.0);
      EXPECT_GE(column.gone_m(), 0.0);
    }
  }
}

TEST(Column, ANewCoatWetsLacquerBelowButHardlyACrossLinkedCoat) {
  const auto taken_up = [](const Resin& below) {
    DryingColumn column(shop_air());
    column.lay(transport_of(below, acetate(), {}, 294.15), 20e-6, 0);
    column.lay(lacquer_transport(), 10e-6, 80e-6);
    column.dry(300);
    return column.solvent_m(0) / column.dry_m(0);
  };
  const double soft = taken_up(lacquer()), hard = taken_up({353.15, 1200, 1.5, 1000, false});
  EXPECT_GT(soft, 0.1);
  EXPECT_LT(hard, 0.5 * soft);
}

TEST(Column, ADryCuredCoatBelowDoesNotStopTheSolver) {
  for (const double wet : {0.1, 0.5, 1.5}) {
    DryingColumn column(shop_air());
    column.lay(lacquer_transport(), 50e-6, 0);
    column.lay(transport_of({318.15, 1200, 0.5, 1000, true}, acetate(), {}, 294.15), 60e-6, 0);
    column.lay(lacquer_transport(), 30e-6, wet * 30e-6);
    column.settle();
    EXPECT_TRUE(column.dry(3 * 86400));
    EXPECT_LT(column.solvent_m(), wet * 30e-6);
    EXPECT_NEAR((column.solvent_m() + column.gone_m()) / column.laid_m(), 1.0, 1e-12);
  }
}

TEST(Column, WaitingNotAtAllChangesNothing) {
  DryingColumn column(shop_air());
  column.lay(lacquer_transport(), 10e-6, 40e-6);
  const std::vector<double> before = column.cells();
  EXPECT_TRUE(column.dry(0));
  EXPECT_EQ(column.cells(), before);
  EXPECT_EQ(column.gone_m(), 0.0);
}

TEST(Column, SettlingKeepsEveryCoatsVolume) {
  DryingColumn column(shop_air());
  column.lay(transport_of({353.15, 1200, 1.5, 1000, false}, acetate(), {}, 294.15), 15e-6, 1e-6);
  column.lay(lacquer_transport(), 30e-6, 3e-6);
  column.settle();
  EXPECT_NEAR(column.solvent_m(0), 1e-6, 1e-18);
  EXPECT_NEAR(column.solvent_m(1), 3e-6, 1e-18);
  EXPECT_LT(column.cells().back(), 0.1);
}

TEST(Column, MoreAirNeverDriesSlower) {
  double before = 0;
  for (const double speed : {0.05, 0.1, 0.3, 1.0, 3.0}) {
    DryingColumn column(AirSide(acetate().of, airflow_along(294.15, speed)));
    column.lay(lacquer_transport(), 10e-6, 60e-6);
    column.dry(600);
    EXPECT_GE(column.gone_m(), before);
    before = column.gone_m();
  }
}

}  // namespace
}  // namespace witnessline::drying
