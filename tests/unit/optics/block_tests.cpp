// The kernel of 64 columns against the double-precision reference, over random columns and at the limits.
#include <gtest/gtest.h>

#include <cmath>

#include "columns.h"

using namespace witnessline::optics;

namespace {

constexpr double agrees = 5e-6;

struct Case {
  std::vector<Material> materials;
  std::vector<std::string> sequence;
  bool specular_included = false;
};

void compare(const Case& c, std::mt19937& random, bool melts, bool yellows, bool dirty) {
  std::vector<Material> all = c.materials;
  all.push_back(wood_material("pale", 0.3, 0.8));
  all.push_back(wood_material("dark", 0.03, 0.2));
  const Library library(all, {}, 1);
  const Palette palette(library);
  Geometry geometry;
  geometry.specular_included = c.specular_included;

  std::vector<CoatOptics> coats;
  for (const std::string& id : c.sequence) coats.push_back(palette.of(id));
  const CoatSequence sequence(coats, {palette.bare("pale"), palette.bare("dark")}, geometry);
  ColumnBlock columns(coats.size());
  std::vector<Stack> stacks(block);
  std::uniform_real_distribution<double> uniform(0, 1);
  for (std::size_t i = 0; i < block; ++i) {
    const bool dark = uniform(random) < 0.5;
    columns.ground_of[i] = dark ? 1 : 0;
    stacks[i].wood = std::make_shared<const Material>(*library.find(dark ? "dark" : "pale"));
    for (std::size_t layer = 0; layer < coats.size(); ++layer) {
      // From a tenth of a nanometre to a millimetre, now and then nothing or less than nothing.
      double thickness_m = std::pow(10, -10 + 7 * uniform(random));
      if (uniform(random) < 0.1) thickness_m = 0;
      if (uniform(random) < 0.1) thickness_m = -10e-6;
      const double dose = yellows ? 2 * uniform(random) * yellowing_unit_dose_lx_s : 0;
      const double melted = melts ? uniform(random) : 0;
      columns.thickness_m[layer][i] = static_cast<float>(thickness_m);
      columns.yellowing[layer][i] = static_cast<float>(yellowing(dose));
      columns.melted[layer][i] = static_cast<float>(melted);
      stacks[i].layers.push_back(
          {alone(c.sequence[layer]), {}, columns.thickness_m[layer][i], 0, columns.melted[layer][i], dose});
    }
    if (dirty) {
      columns.roughness_m[i] = static_cast<float>(uniform(random) * 0.3e-6);
      columns.grime_kg_m2[i] = static_cast<float>(uniform(random) * 2e-3);
      stacks[i].surface.roughness_m = columns.roughness_m[i];
      stacks[i].surface.grime_kg_m2 = columns.grime_kg_m2[i];
    }
  }
  BlockSpectra out;
  reflectance(sequence, columns, out);
  double worst = 0;
  for (std::size_t i = 0; i < block; ++i) {
    const Reflectance reference = reflectance(stacks[i], palette, geometry);
    for (std::size_t band = 0; band < bands; ++band) {
      const double difference = std::abs(reference.at[band] - out[band][i]);
      ASSERT_TRUE(std::isfinite(out[band][i]));
      ASSERT_GE(reference.at[band], 0);
      ASSERT_LE(reference.at[band], 1);
      worst = std::max(worst, difference);
    }
  }
  EXPECT_LE(worst, agrees);
}

TEST(Block, AgreesWithReferenceOverRandomColumns) {
  std::mt19937 random(7);
  std::uniform_real_distribution<double> power(-2, 6);
  for (int round = 0; round < 40; ++round) {
    Case c;
    c.specular_included = round % 2 == 0;
    for (int layer = 0; layer < 1 + round % 5; ++layer) {
      const std::string id = "coat" + std::to_string(layer);
      const double s = (layer + round) % 3 == 0 ? 0 : std::pow(10, power(random));
      c.materials.push_back(coat_material(id, std::pow(10, power(random)), s, layer % 2 ? 2e4 : 0, 1.4 + 0.05 * layer));
      c.sequence.push_back(id);
    }
    SCOPED_TRACE(round);
    compare(c, random, false, false, false);
    compare(c, random, false, true, false);
    compare(c, random, true, true, false);
    compare(c, random, true, true, true);
  }
}

TEST(Block, Limits) {
  std::mt19937 random(11);
  const std::vector<std::pair<double, double>> k_and_s{{0, 0},      {0, 1e5},    {1e5, 0},
                                                       {1e-9, 1e5}, {1e5, 1e-9}, {1e7, 1e7}};
  for (const auto& [k, s] : k_and_s) {
    Case c{{coat_material("one", k, s, 0)}, {"one", "one", "one"}, false};
    SCOPED_TRACE(testing::Message() << "K " << k << " S " << s);
    compare(c, random, false, false, false);
    compare(c, random, true, false, true);
  }
}

TEST(Block, BytesAreTheSrgbOfTheSpectrum) {
  BlockSpectra spectra;
  std::mt19937 random(3);
  std::uniform_real_distribution<float> uniform(0.02f, 0.9f);
  for (Lane& lane : spectra)
    for (float& v : lane) v = uniform(random);
  const auto bytes = to_srgb_bytes(spectra, Lamp::D65, Observer::deg10);
  const auto labs = to_lab(spectra, Lamp::D65, Observer::deg10);
  for (std::size_t i = 0; i < block; ++i) {
    Reflectance one;
    for (std::size_t band = 0; band < bands; ++band) one.at[band] = spectra[band][i];
    const Xyz white = white_point(Lamp::D65, Observer::deg10);
    const Rgb rgb = to_srgb(to_xyz(one, Lamp::D65, Observer::deg10), white);
    EXPECT_NEAR(bytes[i][0], 255 * rgb.r, 1);
    EXPECT_NEAR(bytes[i][1], 255 * rgb.g, 1);
    EXPECT_NEAR(bytes[i][2], 255 * rgb.b, 1);
    EXPECT_LT(delta_e_76(labs[i], to_lab(one, Lamp::D65, Observer::deg10)), 1e-3);
  }
}

}  // namespace
