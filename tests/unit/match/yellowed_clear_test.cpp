#include "match/yellowed_clear.h"

#include <gtest/gtest.h>

#include <cmath>

#include "base/random.h"
#include "optics/face.h"

namespace witnessline::match {
namespace {

constexpr double index_of_lacquer = 1.51;

// The shape aged resins have: absorption falling exponentially with wavelength.
double depth_of_aged(int band) { return 0.12 * std::exp(-(band_nm(band) - 450) / 45); }

// Beer and Lambert, written out: the reading of such a film over a coated ground.
ClearOverGround made_up_readings() {
  ClearOverGround read;
  const AirFace face = air_face(index_of_lacquer, 45);
  for (int b = 0; b < bands; ++b) {
    const double body = 0.75 - 0.2 * (35 - b) / 35.0;
    read.ground[b] = seen_outside(body, face, 0);
    read.with_clear[b] = seen_outside(body * std::exp(-2 * depth_of_aged(b)), face, 0);
  }
  read.ground_coated = true, read.ground_index = read.refractive_index = index_of_lacquer;
  read.thickness_m = 70e-6;
  return read;
}

CoatOptics kind_of_clear() {
  CoatOptics clear;
  clear.refractive_index = index_of_lacquer;
  for (int b = 0; b < bands; ++b) {
    clear.absorption_per_m[b] = 81 * std::exp(-(band_nm(b) - 450) / 45);
    clear.yellowing_per_m[b] = 1353 * std::exp(-(band_nm(b) - 450) / 45);
  }
  return clear;
}

Toner dye(const char* id, double centre_nm, double width_nm, double most_per_m) {
  Toner t{id, {}, 940, 0.18, 0.2};
  t.dry.refractive_index = index_of_lacquer;
  for (int b = 0; b < bands; ++b)
    t.dry.absorption_per_m[b] = most_per_m / (1 + std::exp((band_nm(b) - centre_nm) / width_nm));
  return t;
}

TEST(YellowedClear, absorption_comes_back_out_of_two_readings) {
  const auto aged = clear_from_readings(made_up_readings());
  ASSERT_TRUE(aged);
  for (int b = 0; b < bands; ++b) EXPECT_NEAR(aged->depth[b], depth_of_aged(b), 1e-6);
  EXPECT_TRUE(aged->notes.empty());
  EXPECT_NEAR(aged->coat().optics.absorption_per_m[7] * 70e-6, depth_of_aged(7), 1e-7);
}

// The stated uncertainty is the spread that noisy readings really have.
TEST(YellowedClear, uncertainty_is_the_spread_of_noisy_readings) {
  ClearOverGround read = made_up_readings();
  read.reading_sd = 0.004;
  const auto stated = clear_from_readings(read);
  ASSERT_TRUE(stated);
  constexpr int draws = 800;
  for (const int b : {6, 12, 20}) {
    double sum = 0, squares = 0;
    for (std::uint64_t d = 0; d < draws; ++d) {
      ClearOverGround noisy = read;
      const Key key = Key{}.with("noise").with(d);
      for (int band = 0; band < bands; ++band) {
        const auto part = static_cast<std::uint64_t>(band);
        noisy.ground[band] += 0.004 * normal(key.with("g").with(part));
        noisy.with_clear[band] += 0.004 * normal(key.with("c").with(part));
      }
      const auto found = clear_from_readings(noisy);
      ASSERT_TRUE(found);
      sum += found->depth[b], squares += found->depth[b] * found->depth[b];
    }
    const double mean = sum / draws, sd = std::sqrt(squares / draws - mean * mean);
    if (depth_of_aged(b) > 3 * sd) { EXPECT_NEAR(sd / stated->depth_sd[b], 1, 0.1) << band_nm(b); }
  }
}

TEST(YellowedClear, yellowness_of_an_old_part_gives_its_yellowing) {
  ClearByYellowness part;
  part.ground = white_ground();
  part.clear = kind_of_clear();
  part.thickness_m = 60e-6;
  for (const Lamp lamp : {Lamp::D65, Lamp::C}) {
    part.lamp = lamp;
    std::vector<ColumnCoat> coats = part.ground.coats;
    coats.push_back({part.clear, 60e-6, 0, 1.3});
    part.yellowness =
        yellowness_e313(to_xyz(reflectance(coats, part.ground.bare, {}), lamp, part.observer), part.observer, lamp);
    const auto aged = clear_from_yellowness(part);
    ASSERT_TRUE(aged);
    EXPECT_NEAR(aged->yellowing, 1.3, 1e-6);
    EXPECT_NEAR(aged->depth[7], (81 + 1.3 * 1353) * 60e-6, 1e-6);
    EXPECT_GT(aged->yellowing_sd, 0);
    EXPECT_FALSE(aged->notes.empty()) << "one number cannot say a shape";
  }
  part.lamp = Lamp::A;
  EXPECT_FALSE(clear_from_yellowness(part));
  part.lamp = Lamp::D65, part.yellowness = -20;
  const auto refused = clear_from_yellowness(part);
  ASSERT_FALSE(refused);
  EXPECT_NE(refused.errors()[0].text().find("as new"), std::string::npos);
}

TEST(YellowedClear, tint_makes_fresh_clear_look_aged) {
  TintAsk ask;
  ask.aged = *clear_from_readings(made_up_readings());
  ask.ground = {flat_reflectance(0.4), {}};
  ask.fresh = {"clear", kind_of_clear(), 945, 0.2};
  ask.fresh_film_m = 70e-6;
  ask.toners = {dye("amber", 450, 25, 30000), dye("brown", 520, 60, 40000), dye("grey", 900, 50, 20000)};
  ask.batch_m3 = 0.5e-3;
  const auto tint = tint_like(ask);
  ASSERT_TRUE(tint);
  const TintRecipe& best = tint->recipes.front();
  EXPECT_GT(tint->fresh_delta_e, 3);
  EXPECT_LT(best.mean_delta_e, 1);
  EXPECT_EQ(best.delta_e.size(), 6u);
  EXPECT_NEAR(best.clear_kg, 0.4725, 1e-9);
  for (const TintPart& p : best.parts) {
    EXPECT_NEAR(p.mass_kg, std::round(p.mass_kg * 1e4) * 1e-4, 1e-12) << "what the scale shows";
    EXPECT_NEAR(p.strength_kg_m3, p.mass_kg / 0.5e-3, 1e-9);
  }
  // Outside measure of the same thing: E313 of both over white agree.
  const auto yellowness = [](const Reflectance& r) {
    return yellowness_e313(to_xyz(r, Lamp::D65, Observer::deg10), Observer::deg10);
  };
  EXPECT_NEAR(yellowness(best.over_white), yellowness(tint->aged_over_white), 3);
  EXPECT_GT(yellowness(tint->aged_over_white), yellowness(tint->fresh_over_white) + 20);
}

TEST(YellowedClear, haze_and_swapped_readings_are_named) {
  ClearOverGround hazy = made_up_readings();
  for (int b = 10; b < 15; ++b) hazy.with_clear[b] = hazy.ground[b] + 0.05;
  const auto noted = clear_from_readings(hazy);
  ASSERT_TRUE(noted);
  ASSERT_EQ(noted->notes.size(), 1u);
  EXPECT_NE(noted->notes[0].text.find("480 to 520 nm"), std::string::npos) << noted->notes[0].text;
  ClearOverGround swapped = made_up_readings();
  std::swap(swapped.ground, swapped.with_clear);
  const auto refused = clear_from_readings(swapped);
  ASSERT_FALSE(refused);
  EXPECT_NE(refused.errors()[0].text().find("swapped"), std::string::npos);
  ClearOverGround no_film = made_up_readings();
  no_film.thickness_m = 0;
  EXPECT_FALSE(clear_from_readings(no_film));
}

}  // namespace
}  // namespace witnessline::match
