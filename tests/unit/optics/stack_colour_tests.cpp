// What a column must do whatever its coats are made of.
#include <gtest/gtest.h>

#include <cmath>

#include "columns.h"

using namespace witnessline::optics;

namespace {

struct Column : testing::Test {
  Library library{{coat_material("white", 10, 2e5, 0), coat_material("clear", 0, 0, 3e4),
                   coat_material("brown", 2e4, 0, 0), wood_material("wood", 0.2, 0.7)},
                  {},
                  1};
  Palette palette{library};

  Stack stack(std::vector<Layer> layers) const {
    Stack s;
    s.wood = std::make_shared<const Material>(*library.find("wood"));
    s.layers = std::move(layers);
    return s;
  }
  static void expect_same(const Reflectance& one, const Reflectance& two, double within = 1e-12) {
    for (int band = 0; band < bands; ++band) EXPECT_NEAR(one[band], two[band], within) << band_nm(band) << " nm";
  }
};

TEST_F(Column, BareWoodIsTheWood) { expect_same(reflectance(stack({}), palette), palette.bare("wood")); }

TEST_F(Column, CoatOfNoThicknessChangesNothing) {
  expect_same(reflectance(stack({{alone("white"), {}, 0, 0, 0, 0}}), palette), palette.bare("wood"));
  const Layer clear{alone("clear"), {}, 30e-6, 0, 0, 0};
  expect_same(
      reflectance(stack({clear}), palette),
      reflectance(stack({{alone("white"), {}, -20e-6, 0, 0, 0}, clear, {alone("brown"), {}, 0, 0, 0, 0}}), palette));
}

TEST_F(Column, VeryThinClearTendsToBareWood) {
  expect_same(reflectance(stack({{alone("clear"), {}, 1e-10, 0, 0, 0}}), palette), palette.bare("wood"), 1e-4);
}

TEST_F(Column, TwoCoatsOfOneMaterialAreOneOfBothThicknesses) {
  expect_same(reflectance(stack({{alone("white"), {}, 7e-6, 0, 0, 0}, {alone("white"), {}, 5e-6, 0, 0, 0}}), palette),
              reflectance(stack({{alone("white"), {}, 12e-6, 0, 0, 0}}), palette));
}

TEST_F(Column, MeltedThroughAndThroughIsOneMixedCoat) {
  // Half white, half brown by volume is what a fully melted white under an equal brown becomes.
  const auto half = std::make_shared<const Mixture>(Mixture{"half", "half", {{"white", 0.5}, {"brown", 0.5}}});
  expect_same(reflectance(stack({{alone("white"), {}, 10e-6, 0, 1, 0}, {alone("brown"), {}, 10e-6, 0, 0, 0}}), palette),
              reflectance(stack({{half, {}, 20e-6, 0, 0, 0}}), palette), 1e-9);
}

TEST_F(Column, ThickPaintHidesTheWoodAndReachesItsLimit) {
  const Reflectance seen = reflectance(stack({{alone("white"), {}, 5e-3, 0, 0, 0}}), palette);
  const double expected = seen_outside(thick_reflectance(10 / 2e5), air_face(1.5, 45), 0);
  for (int band = 0; band < bands; ++band) EXPECT_NEAR(seen[band], expected, 1e-4);
}

TEST_F(Column, SpecularIncludedAddsTheFace) {
  Geometry included;
  included.specular_included = true;
  const Stack s = stack({{alone("white"), {}, 40e-6, 0, 0, 0}});
  const double face = fresnel_reflectance(1.5, 45);
  for (int band = 0; band < bands; ++band)
    EXPECT_NEAR(reflectance(s, palette, included)[band] - reflectance(s, palette)[band], face, 1e-6);
}

TEST_F(Column, RoughFaceLightensAndGrimeDarkensToBrown) {
  Stack clean = stack({{alone("brown"), {}, 40e-6, 0, 0, 0}});
  Stack rough = clean, grimy = clean;
  rough.surface.roughness_m = 1e-6;
  grimy.surface.grime_kg_m2 = 1e-3;
  const Lab c = to_lab(reflectance(clean, palette), Lamp::D65, Observer::deg10);
  EXPECT_GT(to_lab(reflectance(rough, palette), Lamp::D65, Observer::deg10).l, c.l + 1);
  EXPECT_LT(to_lab(reflectance(grimy, palette), Lamp::D65, Observer::deg10).l, c.l - 1);
  EXPECT_LT(reflectance(grimy, palette)[2] / reflectance(clean, palette)[2],
            reflectance(grimy, palette)[32] / reflectance(clean, palette)[32]);
}

TEST_F(Column, LightYellowsAClear) {
  const Layer fresh{alone("clear"), {}, 60e-6, 0, 0, 0};
  Layer aged = fresh;
  aged.light_lx_s = yellowing_unit_dose_lx_s;
  EXPECT_NEAR(yellowing(aged.light_lx_s), 1, 1e-12);
  EXPECT_GT(to_lab(reflectance(stack({aged}), palette), Lamp::D65, Observer::deg10).b,
            to_lab(reflectance(stack({fresh}), palette), Lamp::D65, Observer::deg10).b + 5);
}

TEST_F(Column, MixtureGoesByDryVolume) {
  // Equal masses of the same dry density: the means of K and S.
  const CoatOptics mixed = palette.of(Mixture{"m", "m", {{"white", 0.25}, {"brown", 0.75}}});
  EXPECT_NEAR(mixed.scattering_per_m[10], 0.25 * 2e5, 1);
  EXPECT_NEAR(mixed.absorption_per_m[10], 0.25 * 10 + 0.75 * 2e4, 1);
}

TEST_F(Column, AClearDarkensWood) {
  const double bare = to_lab(reflectance(stack({}), palette), Lamp::D65, Observer::deg10).l;
  const double wet =
      to_lab(reflectance(stack({{alone("clear"), {}, 40e-6, 0, 0, 0}}), palette), Lamp::D65, Observer::deg10).l;
  EXPECT_LT(wet, bare - 3);  // common practice, no source: lacquered wood is a few to a dozen L* darker than bare
  EXPECT_GT(wet, bare - 15);
}

}  // namespace
