// Stills against closed forms: what an even white room must show, Fresnel's equations, view factors, and proportion.
#include "view/still.h"

#include <gtest/gtest.h>

#include <numbers>

#include "base/parallel.h"
#include "optics/face.h"
#include "sheet.h"
#include "view/relief.h"
#include "view/wood_figure.h"

namespace witnessline::view {
namespace {

constexpr StillSize size{60, 80, 16};
const LinearRgb& middle_of(const Canvas& canvas) { return canvas.light(static_cast<std::size_t>(40 * 60 + 30)); }

/// A sheet whose wood throws back an even share of all light.
struct Even : Scenario {
  explicit Even(double share, Body b = flat_sheet(20, 28, 4e-3)) : Scenario(std::move(b)) {
    Material wood = *library.find("spruce"), black = wood;
    wood.reflectance = flat_reflectance(share);
    black.id = "black", black.name = "black", black.role = Role::toner, black.reflectance.reset();
    black.absorption_per_m = Spectrum{};
    for (int b2 = 0; b2 < bands; ++b2) (*black.absorption_per_m)[b2] = 1e7;
    library = Library({wood, black, *library.find("clear")}, {}, 1);
    palette = Palette(library);
    woods = {std::make_shared<Material>(*library.find("spruce"))};
  }
};

double mean_covered(const Canvas& canvas, std::size_t channel) {
  double sum = 0;
  int count = 0;
  for (int y = 20; y < 60; ++y)
    for (int x = 16; x < 44; ++x, ++count) sum += double{canvas.light(static_cast<std::size_t>(y * 60 + x))[channel]};
  return sum / count;
}

TEST(StillInAnEvenWhiteRoom, AMatteBodyReadsItsReflectance) {
  const Even s(0.8);
  const Canvas canvas = expose(s.film, s.view_context(), Face::front, furnace(Observer::deg10), size);
  // The drawn figure keeps the wood's mean; over 28 x 40 pixels to half a hundredth.
  for (std::size_t c = 0; c < 3; ++c) EXPECT_NEAR(mean_covered(canvas, c), 0.8, 0.008) << c;
  EXPECT_GT(canvas.light(0)[1], 0.9f) << "the white card behind, which the body keeps a little from the room";
  EXPECT_LE(canvas.light(0)[1], 1.0001f);
}

TEST(StillInAnEvenWhiteRoom, AHollowLosesAndGainsNothingBeyondItsOwnBounces) {
  // A trough: its floor sees its own walls, which are as pale as itself; an even room never makes it brighter than 1.
  const Even s(0.9, sheet(40, 56, 2e-3, [](double x, double y) { return Vec3d{x, y, 0.02 * std::cos(x * 80)}; }));
  const Canvas canvas = expose(s.film, s.view_context(), Face::front, furnace(Observer::deg10), size);
  for (int y = 20; y < 60; ++y)
    for (int x = 16; x < 44; ++x) {
      const float light = canvas.light(static_cast<std::size_t>(y * 60 + x))[1];
      EXPECT_LE(light, 1.0f);
      EXPECT_GT(light, 0.5f);
    }
}

TEST(StillInAnEvenWhiteRoom, ABlackGlossReadsFresnelsReflectance) {
  // born1999 1.5.2: ((n - 1) / (n + 1))^2 head on.
  for (const double roughness_m : {0.0, 0.05e-6, 0.3e-6}) {
    Even s(0.8);
    add_layer(s.film, "black", "black", Origin::original, [](std::size_t) { return 100e-6; });
    s.film.roughness_m = Field<float>(s.film.size(), static_cast<float>(roughness_m));
    const double n = s.palette.of("black").refractive_index;
    const double expected = (n - 1) * (n - 1) / ((n + 1) * (n + 1));
    const Canvas canvas = expose(s.film, s.view_context(), Face::front, furnace(Observer::deg10), size);
    EXPECT_NEAR(middle_of(canvas)[1], expected, 0.02 * expected) << "rough or not, the face gives back the same";
  }
  EXPECT_NEAR(fresnel_reflectance(1.51, 0), 0.0413, 0.00005);
}

TEST(Still, DirtInACheckIsDarkOnALightColourAndPaleOnADarkOne) {
  // common practice, no source
  for (const bool dark : {false, true}) {
    Even s(0.8);
    if (dark) add_layer(s.film, "black", "black", Origin::original, [](std::size_t) { return 100e-6; });
    const auto lines = [&](float grime_kg_m2) {
      const auto ends = s.body.nearest(std::vector<Vec3>{{0.038f, 0.01f, 0}, {0.038f, 0.10f, 0}});
      s.film.marks = std::make_shared<const std::vector<Mark>>(
          std::vector<Mark>{{MarkKind::scratch, {ends[0], ends[1]}, 4e-3f, 1e-6f, "t", grime_kg_m2}});
      const Canvas canvas = expose(s.film, s.view_context(), Face::front, furnace(Observer::deg10), size);
      double most = 0, least = 1;
      for (int x = 16; x < 44; ++x) {
        const double light = canvas.light(static_cast<std::size_t>(40 * 60 + x))[1];
        most = std::max(most, light), least = std::min(least, light);
      }
      return std::pair{least, most};
    };
    const auto [clean_least, clean_most] = lines(0);
    const auto [packed_least, packed_most] = lines(30e-3f);
    if (dark) {
      EXPECT_GT(packed_most, clean_most + 0.05);
      EXPECT_NEAR(packed_least, clean_least, 0.01);
    } else {
      EXPECT_LT(packed_least, clean_least - 0.4);
      EXPECT_NEAR(packed_most, clean_most, 0.02);
    }
  }
}

TEST(Still, TwiceTheLightIsTwiceTheRadiance) {
  Even s(0.6);
  add_layer(s.film, "clear", "clear", Origin::original, [](std::size_t) { return 60e-6; });
  Studio room = studio_of(Light::window, Observer::deg10), brighter = room;
  for (AreaLight& light : brighter.lights) light.radiance *= 2;
  brighter.sky *= 2, brighter.sky_lift *= 2;
  const Canvas once = expose(s.film, s.view_context(), Face::front, room, size),
               twice = expose(s.film, s.view_context(), Face::front, brighter, size);
  for (std::size_t i = 0; i < 60 * 80; i += 7)
    for (std::size_t c = 0; c < 3; ++c) EXPECT_NEAR(twice.light(i)[c], 2 * once.light(i)[c], 2e-5);
}

TEST(Still, AWhiteCardTowardsTheCameraReadsOneInTheMiddleOfEveryRoom) {
  for (const Light light : {Light::window, Light::lamp, Light::stage}) {
    const Studio room = studio_of(light, Observer::deg10);
    double all = room.walls_on({0, 0, 1});
    for (const AreaLight& one : room.lights) all += Studio::falling_on(one, {0, 0, 0}, {0, 0, 1});
    EXPECT_NEAR(all * room.exposure, 1, 1e-9);
  }
  const Even s(0.8);
  const LinearRgb day = middle_of(
                      expose(s.film, s.view_context(), Face::front, studio_of(Light::window, Observer::deg10), size)),
                  lamp = middle_of(
                      expose(s.film, s.view_context(), Face::front, studio_of(Light::lamp, Observer::deg10), size));
  EXPECT_NEAR(day[0], day[2], 0.01) << "daylight is white";
  EXPECT_GT(lamp[0], 1.25f * lamp[2]) << "the lamp is warm";
}

TEST(Still, AnEdgeThatHidesHalfALightHalvesIt) {
  // One square lamp straight above and nothing else; a lid over the half x > middle, close under the lamp's line.
  const Even s(0.8);
  Studio room = furnace(Observer::deg10);
  room.sky = 0, room.card = 0;
  AreaLight lamp;
  lamp.centre = {0, 0, 2}, lamp.half_across = {-0.2, 0, 0}, lamp.half_up = {0, 0.2, 0};
  lamp.lamp = Lamp::D65, lamp.radiance = 30;
  room.lights = {lamp};
  ASSERT_LT(lamp.normal().z, 0);
  const Canvas open = expose(s.film, s.view_context(), Face::front, room, size);
  FittingMesh lid;  // 30 mm above the sheet; the camera looks past it only on the left half
  lid.stuffs = {{{0, 0, 0}, {0, 0, 0}, 0.1}};
  for (const auto& [x, y] : {std::pair{0.04f, -1.0f}, {1.0f, -1.0f}, {1.0f, 1.0f}, {0.04f, 1.0f}})
    lid.points.push_back({x, y, 0.03f}), lid.normals.push_back({0, 0, 1});
  lid.triangles = {{0, 1, 2}, {0, 2, 3}}, lid.stuff_of = {0, 0};
  const Canvas hidden = expose(s.film, s.view_context(), Face::front, room, size, &lid);
  // The lamp is 224 mm away and 45 mm wide, the lid 30 mm: its penumbra is 45 x 30 / 194 = 6.9 mm, 4.2 px, wide.
  const auto ratio = [&](int x) {
    double a = 0, b = 0;
    for (int y = 30; y < 50; ++y) {
      a += double{hidden.light(static_cast<std::size_t>(y * 60 + x))[1]};
      b += double{open.light(static_cast<std::size_t>(y * 60 + x))[1]};
    }
    return a / b;
  };
  EXPECT_NEAR(ratio(29), 0.5 + 0.5 / 4.2, 0.06) << "half a pixel off the middle of the penumbra";
  EXPECT_NEAR(ratio(20), 1, 1e-6);
}

TEST(Still, IsTheSameOnOneThreadAndOnTwo) {
  Scenario s(flat_sheet(20, 28, 4e-3));
  add_layer(s.film, "clear", "clear", Origin::original, [](std::size_t v) { return v % 5 ? 60e-6 : -10e-6; });
  std::vector<Mark> marks{{MarkKind::check, {{10, 0.2f, 0.2f}, {60, 0.2f, 0.2f}}, 40e-6f, 90e-6f, "t", 1e-3f}};
  s.film.marks = std::make_shared<const std::vector<Mark>>(marks);
  use_threads(1);
  const Image one = still(s.film, s.view_context(), Face::three_quarter, Light::stage, {90, 120, 4});
  use_threads(2);
  EXPECT_EQ(one.rgb, still(s.film, s.view_context(), Face::three_quarter, Light::stage, {90, 120, 4}).rgb);
  use_threads(0);
}

TEST(Relief, KnowsSlopesAndSlots) {
  EXPECT_NEAR(slot_openness(1e-4, 1e-4), std::numbers::sqrt2 - 1, 1e-12);
  EXPECT_NEAR(slot_openness(1e-9, 1e-4), 1, 1e-4);
  // A film that rises 50 um over 100 mm across.
  Scenario s(flat_sheet(50, 50, 2e-3));
  add_layer(s.film, "clear", "clear", Origin::original,
            [](std::size_t v) { return 1e-6 * static_cast<double>(v % 51); });
  Mark ding{MarkKind::ding, s.body.nearest(std::vector<Vec3>{{0.05f, 0.05f, 0}}), 10e-3f, 0.5e-3f, "t"};
  s.film.marks = std::make_shared<const std::vector<Mark>>(std::vector<Mark>{ding});
  const Relief relief(s.film, s.body, 0.5e-3);
  const Vec3d slope = relief.slope(s.body.triangles()[2 * 50 * 25 + 40], 0.3f, 0.3f);
  EXPECT_NEAR(slope.x, 1e-6 / 2e-3, 1e-8);
  EXPECT_NEAR(slope.y, 0, 1e-8);
  MarkHere here;
  ASSERT_TRUE(relief.mark_at({0.0525, 0.05, 0}, {0, 0, 1}, 0.5, here));
  // 4 d / R r (1 - r^2) at r = 1/2, away from the middle.
  EXPECT_NEAR(here.slope.x, 4 * 0.5 / 5 * 0.5 * 0.75, 1e-3);
  EXPECT_FALSE(relief.mark_at({0.0625, 0.05, 0}, {0, 0, 1}, 0.5, here));
}

TEST(Relief, AFineCheckDarkensByItsShareWhateverThePixel) {
  // 50 um wide and as deep: the mean over a strip across it is what it would be drawn sharp.
  Scenario s(flat_sheet(50, 50, 2e-3));
  const auto ends = s.body.nearest(std::vector<Vec3>{{0.05f, 0.02f, 0}, {0.05f, 0.08f, 0}});
  s.film.marks = std::make_shared<const std::vector<Mark>>(
      std::vector<Mark>{{MarkKind::check, {ends[0], ends[1]}, 50e-6f, 50e-6f, "t"}});
  for (const double pixel_m : {0.25e-3, 0.5e-3, 1e-3}) {
    const Relief relief(s.film, s.body, pixel_m);
    double lost_m = 0;
    constexpr double step_m = 2e-6;
    for (double x = 0.048; x < 0.052; x += step_m) {
      MarkHere here;
      if (relief.mark_at({x, 0.05, 0}, {0, 0, 1}, 0.5, here)) lost_m += step_m * (1 - double{here.open});
    }
    EXPECT_NEAR(lost_m, 50e-6 * (2 - std::numbers::sqrt2), 2e-6) << pixel_m;
  }
}

TEST(WoodFigure, StaysWithinItsShades) {
  Material not_drawn;
  not_drawn.id = "something else";
  std::vector<Material> woods{not_drawn};
  const Result<Library> library = read_library(PROJECT_FOLDER "/data");
  ASSERT_TRUE(library);
  for (const Material& material : library->all())
    if (material.role == Role::wood) woods.push_back(material);
  for (const Material& of : woods) {
    const WoodFigure figure(of, {0, 1, 0});
    const std::string& wood = of.id;
    double sum = 0;
    for (int i = 0; i < 4000; ++i) {
      const double d = figure.at({0.0007 * (i % 60), 0.004 * (i / 60), 0.02}, {0, 1, 0}, {0, 0, 1});
      ASSERT_TRUE(d >= 0 && d <= 1) << wood;
      sum += d;
    }
    EXPECT_GT(sum / 4000, 0.1) << wood;
    EXPECT_LT(sum / 4000, 0.8) << wood;
  }
}

}  // namespace
}  // namespace witnessline::view
