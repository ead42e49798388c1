// Known answers: areas and quantiles of sheets by plain geometry; the ring on a round-over by the geometry of a flat
// cut through a circle (a block that takes depth d off the crown of a radius r leaves a strip 2 sqrt(2 r d - d^2)
// wide).
#include "view/readings.h"

#include <gtest/gtest.h>

#include "base/parallel.h"
#include "sheet.h"

namespace witnessline::view {
namespace {

double area_of(const std::vector<ExposedReading>& readings, const std::string& coat) {
  for (const auto& r : readings)
    if (r.coat == coat) return r.area.value;
  return -1;
}

TEST(Thickness, QuantilesOfARampAreExact) {
  Scenario s(flat_sheet(100, 20, 1e-3));
  add_layer(s.film, "clear", "ramp", Origin::later, [](std::size_t v) { return (v % 101) * 1e-6; });
  const auto readings = thickness_by_region(s.film, s.view_context());
  ASSERT_EQ(readings.size(), 2u);
  EXPECT_EQ(readings[0].region, "whole body");
  EXPECT_EQ(readings[1].region, "front");
  EXPECT_NEAR(readings[1].area.value, 0.1 * 0.02, 1e-9);
  EXPECT_DOUBLE_EQ(readings[1].min.value, 0);
  EXPECT_NEAR(readings[1].p5.value, 5e-6, 1e-10);
  EXPECT_NEAR(readings[1].median.value, 50e-6, 1e-10);
  EXPECT_NEAR(readings[1].p95.value, 95e-6, 1e-10);
}

TEST(Exposed, StraightWearLineInsideTheMeshIsExact) {
  Scenario s(flat_sheet(20, 10, 1e-3));
  add_layer(s.film, "clear", "first", Origin::original, [](std::size_t) { return 20e-6; });
  // Signed film falls from +7.3 um to below zero along x: gone beyond 7.3 mm.
  add_layer(s.film, "clear", "second", Origin::later, [](std::size_t v) { return (7.3 - v % 21) * 1e-6; });
  const auto readings = exposed(s.film, s.view_context());
  EXPECT_NEAR(area_of(readings, "second"), 7.3e-3 * 0.01, 1e-10);
  EXPECT_NEAR(area_of(readings, "first"), 12.7e-3 * 0.01, 1e-10);
  EXPECT_NEAR(area_of(readings, "wood"), 0, 1e-15);
}

/// Bare strip along the crown of a 3 mm round-over where a flat block took 25 um. The mesh runs slantwise over the
/// crown, so that its points fall on the strip in every way.
double ring_width_error(double pitch_m) {
  constexpr double radius_m = 3e-3, depth_m = 25e-6, length_m = 60e-3, film_m = 25e-6;
  const int across = static_cast<int>(std::lround(6e-3 / pitch_m)),
            along = static_cast<int>(std::lround(length_m / pitch_m));
  const Body body = sheet(across, along, pitch_m, [&](double x, double t) {
    const double a = (x - 3e-3 + 0.031 * (t - length_m / 2)) / radius_m;
    return Vec3d{radius_m * std::sin(a), t, radius_m * std::cos(a)};
  });
  Scenario s(body);
  // The film follows the crown; the block's plane lies 25 um below the film's own bottom there.
  add_layer(s.film, "clear", "lacquer", Origin::original, [&](std::size_t v) {
    const double below_crown_m = radius_m - body.positions()[v].z;
    return film_m - std::max(0.0, depth_m + film_m - below_crown_m);
  });
  const double strip_m = 2 * radius_m * std::acos(1 - depth_m / radius_m);
  return area_of(exposed(s.film, s.view_context()), "wood") / length_m / strip_m - 1;
}

TEST(Exposed, RingOnARoundOverConvergesToGeometry) {
  // Source: plane geometry of a circle; 25 um off a 3 mm radius bares 0.77 mm.
  EXPECT_NEAR(2 * 3.0 * std::acos(1 - 0.025 / 3.0), 0.775, 1e-3);
  // The strip is narrower than one cell of 1 mm: what can be known there is its width to about a third.
  const double coarse = std::abs(ring_width_error(1e-3)), middle = std::abs(ring_width_error(0.5e-3)),
               fine = std::abs(ring_width_error(0.25e-3)), finest = std::abs(ring_width_error(0.0625e-3));
  RecordProperty("error_at_1_mm", std::to_string(coarse));
  EXPECT_LT(coarse, 0.35);
  EXPECT_LT(middle, 0.15);
  EXPECT_LT(fine, 0.05);
  EXPECT_LT(finest, 0.005);
  EXPECT_LT(finest, fine);
}

TEST(Kept, BinsOfASheetAreExact) {
  Scenario s(flat_sheet(40, 40, 1e-3));
  const auto original = add_layer(s.film, "clear", "old", Origin::original, [](std::size_t) { return 40e-6; });
  const Film before = s.film;
  const auto over = [&](std::size_t v) { return v % 41 < 20 ? 60e-6 : 0.0; };
  add_layer(s.film, "opaque", "paint", Origin::later, over);
  s.film.layers[original].melted.set_uniform(0, 51);  // a fifth
  const KeptReading kept = original_kept(s.film, before, s.view_context());
  double covered_m2 = 0, all_m2 = 0;
  for (std::size_t v = 0; v < s.body.size(); ++v) {
    all_m2 += s.body.areas_m2()[v];
    if (v % 41 < 20) covered_m2 += s.body.areas_m2()[v];
  }
  EXPECT_NEAR(kept.buried_area.value, covered_m2, 1e-12);
  EXPECT_NEAR(kept.visible_area.value, all_m2 - covered_m2, 1e-12);
  EXPECT_NEAR(kept.buried_volume.value, covered_m2 * 40e-6 * 0.8, 1e-14);
  EXPECT_NEAR(kept.dissolved_volume.value, all_m2 * 40e-6 * 0.2, 1e-14);
  EXPECT_NEAR(kept.kept_fraction.value, 0.8, 1e-6);
  EXPECT_EQ(kept.kept_fraction.kind, Kind::estimate);
}

TEST(Kept, AClearHidesNothingAndAGhostIsNotKept) {
  Scenario s(flat_sheet(10, 10, 1e-3));
  add_layer(s.film, "clear", "old", Origin::original, [](std::size_t v) { return v % 11 < 5 ? 40e-6 : 9e-6; });
  add_layer(s.film, "clear", "new", Origin::this_plan, [](std::size_t) { return 80e-6; });
  const KeptReading kept = original_kept(s.film, s.film, s.view_context());
  double thick_m2 = 0;
  for (std::size_t v = 0; v < s.body.size(); ++v)
    if (v % 11 < 5) thick_m2 += s.body.areas_m2()[v];
  EXPECT_NEAR(kept.visible_area.value, thick_m2, 1e-12);
  EXPECT_EQ(kept.buried_area.value, 0);
}

TEST(Colour, MeanOfAPlaceIsTheColumnsColour) {
  Scenario s(flat_sheet(30, 30, 1e-3));
  add_layer(s.film, "clear", "coat", Origin::original, [](std::size_t) { return 50e-6; });
  const auto reading = colour_of(s.film, s.view_context(), Where{{"front"}, {}, {}, 0}, "front");
  ASSERT_TRUE(reading);
  const Reflectance one = reflectance(stack_at(s.film, s.body, s.woods, 0), s.palette);
  for (int b = 0; b < bands; ++b) EXPECT_NEAR(reading->mean[b], one[b], 1e-4);
  EXPECT_FALSE(colour_of(s.film, s.view_context(), Where{{"no such place"}, {}, {}, 0}, "x"));
  use_threads(1);
  const auto again = colour_of(s.film, s.view_context(), Where{{"front"}, {}, {}, 0}, "front");
  use_threads(0);
  EXPECT_EQ(again->mean.at, reading->mean.at);
}

/// The stop of one kind; every depth is the thin end of the film above it.
const Stop* stop_for(const ColumnReading& c, StopFor why) {
  for (const Stop& stop : c.stops)
    if (stop.why == why) return &stop;
  return nullptr;
}

TEST(Column, StopsBeforeTheNextCoatThenOriginalThenWood) {
  Scenario s(flat_sheet(10, 10, 1e-3));
  add_layer(s.film, "clear", "old varnish", Origin::original, [](std::size_t) { return 30e-6; });
  add_layer(s.film, "opaque", "house paint", Origin::later, [](std::size_t) { return 60e-6; });
  const Film before = s.film;
  add_layer(s.film, "clear", "new clear", Origin::this_plan, [](std::size_t) { return 50e-6; });
  const Film laid = s.film;
  std::vector<float> cut(s.film.size(), 20e-6f);
  s.film.layers[2].dry_m.write(0, cut.data());
  const ColumnReading c = column_at({&before, &laid, &s.film}, s.view_context(), {7, 0.3f, 0.3f});
  ASSERT_EQ(c.coats.size(), 3u);
  EXPECT_EQ(c.coats[0].name, "new clear");
  EXPECT_NEAR(c.coats[0].laid.value, 50e-6, 1e-10);
  EXPECT_NEAR(c.coats[0].left.value, 20e-6, 1e-10);
  EXPECT_FALSE(c.edge_band);
  EXPECT_EQ(c.softened, Softened::hard);
  EXPECT_GT(c.colour_bare_wood.r, c.coats[1].colour_if_bared.r);

  ASSERT_EQ(c.stops.size(), 3u);
  EXPECT_EQ(c.stops[0].before, "house paint");
  EXPECT_EQ(c.stops[0].why, StopFor::next_coat);
  EXPECT_EQ(c.stops[1].before, "old varnish");
  EXPECT_EQ(c.stops[1].why, StopFor::original);
  EXPECT_EQ(c.stops[2].before, "wood");
  // 20 um of 50 left: sd = sqrt((10% of 50)^2 + (25% of 30)^2); the house paint adds 10% of 60.
  const double sd = std::hypot(5e-6, 7.5e-6);
  EXPECT_NEAR(c.stops[0].depth.value, 20e-6 - 1.96 * sd, 1e-9);
  EXPECT_NEAR(c.stops[1].depth.value, 80e-6 - 1.96 * std::hypot(sd, 6e-6), 1e-9);
  EXPECT_EQ(c.stops[0].depth.kind, Kind::estimate);
}

TEST(Column, NothingIsCutOfAHazardOrAnOriginalThatLiesOutermost) {
  Scenario s(flat_sheet(10, 10, 1e-3));
  add_layer(s.film, "clear", "old varnish", Origin::original, [](std::size_t) { return 30e-6; });
  EXPECT_EQ(column_at({&s.film}, s.view_context(), {7, 0.3f, 0.3f}).stops.front().depth.value, 0);
  add_layer(s.film, "opaque", "house paint", Origin::later, [](std::size_t) { return 60e-6; });
  const Survey survey{nullptr, {{"house paint", {0.0, "lead"}}}};
  const ColumnReading c = column_at({&s.film}, s.view_context(), {7, 0.3f, 0.3f}, survey);
  EXPECT_EQ(c.coats.front().hazard, "lead");
  ASSERT_EQ(c.stops.size(), 1u);
  EXPECT_EQ(c.stops.front().why, StopFor::hazard);
  EXPECT_EQ(c.stops.front().before, "house paint");
  EXPECT_EQ(c.stops.front().depth.value, 0);
  add_layer(s.film, "clear", "new clear", Origin::this_plan, [](std::size_t) { return 50e-6; });
  const ColumnReading over = column_at({&s.film}, s.view_context(), {7, 0.3f, 0.3f}, survey);
  ASSERT_NE(stop_for(over, StopFor::hazard), nullptr);
  EXPECT_EQ(stop_for(over, StopFor::wood), nullptr);
  EXPECT_LT(stop_for(over, StopFor::hazard)->depth.value, 50e-6);
  EXPECT_GT(stop_for(over, StopFor::hazard)->depth.value, 0);
}

// What lies under a finger is known no better than the survey knows the zone, whatever unevenness was drawn.
TEST(Column, ACoatFoundHasTheSurveysMeanAndSpread) {
  double first = 0;
  for (const double drawn_m : {40e-6, 170e-6}) {
    Scenario s(flat_sheet(10, 10, 1e-3));
    add_layer(s.film, "clear", "overcoat", Origin::later, [](std::size_t) { return 95e-6; });
    const Film mean = s.film;
    std::vector<float> uneven(s.film.size(), static_cast<float>(drawn_m));
    s.film.layers[0].dry_m.write(0, uneven.data());
    const Film before = s.film;
    std::vector<float> cut(s.film.size(), static_cast<float>(drawn_m - 20e-6));
    s.film.layers[0].dry_m.write(0, cut.data());
    const ColumnReading c =
        column_at({&before, &s.film}, s.view_context(), {7, 0.3f, 0.3f}, {&mean, {{"overcoat", {30.0 / 95.0, ""}}}});
    EXPECT_NEAR(c.coats[0].left.value, 75e-6, 1e-9);
    const double sd = std::hypot(std::hypot(9.5e-6, 30e-6), 5e-6);
    EXPECT_NEAR(c.stops.front().depth.value, 75e-6 - 1.96 * sd, 1e-9);
    if (first == 0) first = c.stops.front().depth.value;
    EXPECT_NEAR(c.stops.front().depth.value, first, 1e-9);
  }
}

TEST(StopMap, SaysWhatTheColumnSays) {
  Scenario s(flat_sheet(10, 10, 1e-3));
  add_layer(s.film, "clear", "old varnish", Origin::original, [](std::size_t v) { return v % 3 == 0 ? 0.0 : 30e-6; });
  add_layer(s.film, "opaque", "house paint", Origin::later,
            [](std::size_t v) { return 1e-6 * static_cast<double>(v); });
  const Film before = s.film;
  std::vector<float> cut(s.film.size()), solvent(s.film.size());
  for (std::size_t v = 0; v < cut.size(); ++v)
    cut[v] = 0.7e-6f * static_cast<float>(v) - 10e-6f, solvent[v] = v % 7 == 0 ? 20e-6f : 0.0f;
  s.film.layers[1].dry_m.write(0, cut.data());
  s.film.layers[1].solvent_m.write(0, solvent.data());
  const Survey survey{&before, {{"old varnish", {0.2, ""}}, {"house paint", {0.1, ""}}}};
  std::vector<std::uint32_t> vertices;
  std::vector<double> expected;
  for (std::uint32_t t = 0; t < s.body.triangles().size(); t += 5) {  // u = v = 0: the first corner itself
    vertices.push_back(s.body.triangles()[t][0]);
    expected.push_back(column_at({&before, &s.film}, s.view_context(), {t, 0, 0}, survey).stops.front().depth.value);
  }
  const std::vector<float> map = stop_depths_m({&before, &s.film}, s.body, survey, vertices);
  ASSERT_GT(vertices.size(), 20u);
  EXPECT_GT(*std::max_element(map.begin(), map.end()), 10e-6f);
  EXPECT_EQ(*std::min_element(map.begin(), map.end()), 0.0f);
  for (std::size_t i = 0; i < map.size(); ++i) EXPECT_NEAR(map[i], expected[i], 1e-11) << vertices[i];
}

TEST(Column, SolventIsNoFilmToCut) {
  Scenario s(flat_sheet(10, 10, 1e-3));
  add_layer(s.film, "clear", "new clear", Origin::this_plan, [](std::size_t) { return 50e-6; });
  const double dry = column_at({&s.film}, s.view_context(), {7, 0.3f, 0.3f}).stops.front().depth.value;
  std::vector<float> solvent(s.film.size(), 100e-6f);
  s.film.layers[0].solvent_m.write(0, solvent.data());
  const ColumnReading wet = column_at({&s.film}, s.view_context(), {7, 0.3f, 0.3f});
  EXPECT_EQ(wet.softened, Softened::too_soft);
  EXPECT_NEAR(wet.coats[0].left.value, 50e-6, 1e-10);
  EXPECT_EQ(wet.stops.front().depth.value, 0);
  EXPECT_GT(dry, 0);
}

// "Still wet" was said of every film over 5 % solvent, so eight weeks after clearing nothing could be cut. Common
// practice: it can be scuffed the next day, levelled at two to four weeks.
TEST(Column, AFilmIsTooSoftThenStillSinkingThenHard) {
  const auto library = materials::read_library(PROJECT_FOLDER "/data");
  ASSERT_TRUE(library);
  const auto solvent = drying::film_solvent_of(*library->find("butyl_acetate"));
  ASSERT_TRUE(solvent);
  CoatFacts lacquer;
  lacquer.softness = drying::softness_of(*library->find("nitrocellulose_lacquer"), *solvent);
  const auto at = [&](double share) { return softened(&lacquer, 90e-6, share * 90e-6, 0); };
  EXPECT_EQ(at(0.5), Softened::too_soft);
  EXPECT_EQ(at(0.11), Softened::still_sinking);
  EXPECT_EQ(at(0.065), Softened::hard) << "about what 90 um hold after eight weeks";
  EXPECT_EQ(softened(nullptr, 90e-6, 0.06 * 90e-6, 0), Softened::too_soft)
      << "of an unknown binder nothing is promised";
  EXPECT_EQ(softened(&lacquer, 0, 1e-6, 0), Softened::hard) << "no coat is there";
}

}  // namespace
}  // namespace witnessline::view
