#include "match/shade.h"

#include <gtest/gtest.h>

#include <cmath>

#include "base/random.h"
#include "optics/face.h"
#include "optics/kubelka_munk.h"

namespace witnessline::match {
namespace {

constexpr double index_of_lacquer = 1.5;

Carrier water_white() {
  Carrier clear{"clear", {}, 950, 0.2};
  clear.dry.refractive_index = index_of_lacquer;
  return clear;
}

// An invented dye: absorbs `most` per metre of its dry film at `centre_nm`, falling off on both sides.
Toner dye(const char* id, double centre_nm, double width_nm, double most_per_m) {
  Toner t{id, {}, 940, 0.18, 0.2};
  t.dry.refractive_index = index_of_lacquer;
  for (int b = 0; b < bands; ++b)
    t.dry.absorption_per_m[b] = most_per_m * std::exp(-std::pow((band_nm(b) - centre_nm) / width_nm, 2));
  return t;
}

Reflectance wood() {
  Reflectance r;
  for (int b = 0; b < bands; ++b) r[b] = 0.3 + 0.4 * b / 35.0;
  return r;
}

ShadeAsk ask_over(Ground ground) {
  ShadeAsk ask;
  ask.ground = std::move(ground);
  ask.carrier = water_white();
  ask.toners = {dye("yellow", 400, 70, 60000), dye("red", 510, 50, 50000), dye("blue", 620, 60, 50000)};
  ask.target = wood();
  return ask;
}

// Weak dyes take more coats, not another answer: what ten coats at the greatest strength hold is found again.
TEST(Shade, weak_toners_get_the_coats_they_need) {
  ShadeAsk ask = ask_over(ground_of_reading(wood(), false, index_of_lacquer, {}));
  ask.most_strength_kg_m3 = 300;
  ask.target = shaded(ask, {{0, 290, 10, 0}, {1, 280, 9, 0}});
  const auto found = shade(ask);
  ASSERT_TRUE(found);
  EXPECT_LT(found->recipes.front().mean_delta_e, 1);
}

// Closed form: a film that only absorbs lets exp(-2 K X) of the light through to a ground and back (kubelka1948, S =
// 0).
TEST(Shade, a_film_hides_by_what_it_lets_through_and_back) {
  Toner grey = dye("grey", 550, 1e9, 50000);
  const auto film = [&](double thick_m) {
    ColumnCoat coat;
    coat.optics = grey.dry, coat.thickness_m = thick_m;
    return std::vector<ColumnCoat>{coat};
  };
  const Hiding thin = hiding_of(film(14e-6), {});
  EXPECT_FALSE(thin.hides());
  EXPECT_LT(thin.through, std::exp(-2 * 50000 * 14e-6)) << "light thrown back inside the film crosses it again";
  EXPECT_GT(thin.through, 0.4 * std::exp(-2 * 50000 * 14e-6));
  // Where little comes back, hardly any is thrown back again: twice as deep, the square.
  EXPECT_NEAR(hiding_of(film(45e-6), {}).through / hiding_of(film(40e-6), {}).through, std::exp(-2 * 50000 * 5e-6),
              0.03);
  ASSERT_TRUE(thin.hides_from_m);
  EXPECT_TRUE(hiding_of(film(1.01 * *thin.hides_from_m), {}).hides());
  EXPECT_NEAR(hiding_of(film(*thin.hides_from_m), {}).through, 0.02, 1e-4);
  EXPECT_EQ(hiding_of({}, {}).through, 1);
}

// Closed form: light crosses a film without scattering twice, R = Rg exp(-2 K X) behind the face (kubelka1948, S = 0).
TEST(Shade, film_without_scattering_follows_beer_and_lambert) {
  const Ground ground = ground_of_reading(flat_reflectance(0.6), true, index_of_lacquer, {});
  ShadeAsk ask = ask_over(ground);
  const std::vector<ShadeStep> steps{{0, 300, 2, 0}, {2, 150, 3, 0}};
  const Reflectance made = shaded(ask, steps);
  const AirFace face = air_face(index_of_lacquer, 45);
  for (int b = 0; b < bands; ++b) {
    // A litre of clear leaves 200 mL dry, 300 g of toner of 940 g/L with 18 % solids leave 57.4 mL; thinned one to one.
    const auto depth = [&](int toner, double strength, int coats) {
      const double liquid = strength / 940, dry = 0.18 * liquid;
      const double dry_film_m = 45e-6 / 2 * (0.2 + dry) / (1 + liquid);
      return coats * dry_film_m * dry / (0.2 + dry) * ask.toners[toner].dry.absorption_per_m[b];
    };
    const double body = inside_of(0.6, face, 0) * std::exp(-2 * (depth(0, 300, 2) + depth(2, 150, 3)));
    EXPECT_NEAR(made[b], seen_outside(body, face, 0), 1e-9);
  }
}

// Closed form: Kubelka's film over its ground, toner that scatters a little.
TEST(Shade, film_that_scatters_follows_kubelka_and_munk) {
  const Ground ground = ground_of_reading(flat_reflectance(0.3), true, index_of_lacquer, {});
  ShadeAsk ask = ask_over(ground);
  ask.toners[0].dry.scattering_per_m.at.fill(20000);
  const ColumnCoat coat = toned_coat(ask.toners[0], ask.carrier, ask.laying, 400);
  const Reflectance made = shaded(ask, {{0, 400, 4, 0}});
  const AirFace face = air_face(index_of_lacquer, 45);
  for (int b = 0; b < bands; ++b) {
    const double x = 4 * coat.thickness_m, k = coat.optics.absorption_per_m[b], s = coat.optics.scattering_per_m[b];
    // kubelka1948: R = [1 - Rg (a - b coth bSX)] / [a - Rg + b coth bSX]
    const double a = 1 + k / s, root = std::sqrt(a * a - 1), rg = inside_of(0.3, face, 0);
    const double coth = 1 / std::tanh(root * s * x);
    const double body = (1 - rg * (a - root * coth)) / (a - rg + root * coth);
    EXPECT_NEAR(made[b], seen_outside(body, face, 0), 1e-9);
  }
}

TEST(Shade, no_coats_change_nothing_and_no_film_is_between) {
  for (const bool coated : {false, true}) {
    const Ground ground = ground_of_reading(wood(), coated, index_of_lacquer, {});
    const ShadeAsk ask = ask_over(ground);
    const Reflectance none = shaded(ask, {}), zero = shaded(ask, {{1, 200, 0, 0}});
    for (int b = 0; b < bands; ++b) {
      EXPECT_NEAR(none[b], wood()[b], 1e-12);
      EXPECT_EQ(zero[b], none[b]);
    }
  }
}

// Law: a film that only absorbs never lightens any band, and more of it darkens more; over random grounds and recipes.
TEST(Shade, more_dye_never_lightens_any_band) {
  for (std::uint64_t i = 0; i < 200; ++i) {
    const Key key = Key{}.with("more dye").with(i);
    Reflectance seen;
    for (int b = 0; b < bands; ++b) seen[b] = 0.05 + 0.9 * uniform(key.with(static_cast<std::uint64_t>(b)));
    const ShadeAsk ask = ask_over(ground_of_reading(seen, i % 2 == 0, index_of_lacquer, {}));
    const auto toner = static_cast<std::size_t>(3 * uniform(key.with("toner")));
    const double strength = 500 * uniform(key.with("strength"));
    const int coats = 1 + static_cast<int>(5 * uniform(key.with("coats")));
    const Reflectance less = shaded(ask, {{toner, strength, coats, 0}});
    const Reflectance more_coats = shaded(ask, {{toner, strength, coats + 1, 0}});
    ShadeAsk stronger_dye = ask;
    for (double& k : stronger_dye.toners[toner].dry.absorption_per_m.at) k *= 1.3;
    const Reflectance stronger = shaded(stronger_dye, {{toner, strength, coats, 0}});
    for (int b = 0; b < bands; ++b) {
      EXPECT_LE(more_coats[b], less[b] + 1e-12);
      EXPECT_LE(stronger[b], less[b] + 1e-12);
    }
  }
}

TEST(Shade, finds_a_shading_that_was_sprayed) {
  ShadeAsk ask = ask_over({wood(), {}});
  ask.over = {{ask.carrier.dry, 40e-6}};
  ask.target = shaded(ask, {{0, 260, 2, 0}, {1, 120, 3, 0}});
  const auto answer = shade(ask);
  ASSERT_TRUE(answer);
  const ShadeRecipe& best = answer->recipes.front();
  EXPECT_LT(best.mean_delta_e, 0.3);
  EXPECT_EQ(best.verdict, verdict_on(best.likely_delta_e));  // sprayed blind, not as worked out
  ASSERT_EQ(best.steps.size(), 2u);
  // The same dye on each square metre, in whatever coats.
  for (const ShadeStep& s : best.steps) {
    const auto dye_of = [&](double strength, int coats) {
      const ColumnCoat coat = toned_coat(ask.toners[s.toner], ask.carrier, ask.laying, strength);
      return coats * coat.thickness_m * coat.optics.absorption_per_m[s.toner == 0 ? 2 : 13];
    };
    EXPECT_NEAR(dye_of(s.strength_kg_m3, s.coats) / dye_of(s.toner == 0 ? 260 : 120, s.toner == 0 ? 2 : 3), 1, 0.05);
    EXPECT_EQ(s.strength_kg_m3, std::round(s.strength_kg_m3)) << "a scale weighs whole grams into a litre here";
  }
  // Coat by coat towards it, and the last coat is the recipe.
  ASSERT_FALSE(best.after.empty());
  for (std::size_t i = 1; i < best.after.size(); ++i) EXPECT_LT(best.after[i].delta_e, best.after[i - 1].delta_e + 0.3);
  EXPECT_NEAR(best.after.back().delta_e, best.mean_delta_e, 1e-9);
  EXPECT_LT(best.delta_e_low, best.likely_delta_e);
  EXPECT_LT(best.likely_delta_e, best.delta_e_high);
  EXPECT_TRUE(answer->reach.wanting.empty());
}

TEST(Shade, says_what_a_ground_cannot_give) {
  // Walnut-dark ground, pale neighbour: nothing that only darkens helps.
  ShadeAsk ask = ask_over({flat_reflectance(0.1), {}});
  ask.target = flat_reflectance(0.45);
  const auto dark = shade(ask);
  ASSERT_TRUE(dark);
  EXPECT_TRUE(dark->recipes.front().steps.empty());
  EXPECT_EQ(dark->recipes.front().verdict, Verdict::another_panel);
  ASSERT_EQ(dark->reach.wanting.size(), 1u);
  EXPECT_EQ(dark->reach.wanting[0].from_nm, 400);
  EXPECT_EQ(dark->reach.wanting[0].to_nm, 700);
  EXPECT_GT(dark->reach.perfect_delta_e, 20);

  // A yellow ground and a blue neighbour: the blue light is not there.
  Reflectance yellow, blue;
  for (int b = 0; b < bands; ++b) {
    yellow[b] = band_nm(b) < 500 ? 0.08 : 0.7;
    blue[b] = band_nm(b) < 500 ? 0.5 : 0.1;
  }
  ask = ask_over({yellow, {}});
  ask.target = blue;
  const auto missing = shade(ask);
  ASSERT_TRUE(missing);
  ASSERT_EQ(missing->reach.wanting.size(), 1u);
  EXPECT_EQ(missing->reach.wanting[0].to_nm, 490);
  EXPECT_NE(missing->reach.why[0].find("violet to green"), std::string::npos) << missing->reach.why[0];
  EXPECT_FALSE(missing->notes.empty());
}

// Common practice, no source: an aged yellow clear turns blue green. The size follows from Beer and Lambert above.
TEST(Shade, yellowed_clear_over_blue_goes_green_and_is_said_before) {
  Reflectance blue;
  for (int b = 0; b < bands; ++b) blue[b] = 0.06 + 0.45 * std::exp(-std::pow((band_nm(b) - 475) / 55, 2));
  ColumnCoat clear;
  clear.optics.refractive_index = index_of_lacquer;
  clear.thickness_m = 80e-6;
  for (int b = 0; b < bands; ++b) clear.optics.absorption_per_m[b] = 9000 * std::exp(-(band_nm(b) - 450) / 45);
  const Ground ground = ground_of_reading(blue, true, index_of_lacquer, {});
  const FilmEffect effect = effect_of(ground, {clear}, "The clear", Lamp::D65, Observer::deg10, {});
  EXPECT_TRUE(effect.hue_turns);
  EXPECT_EQ(hue_word(effect.before), "blue");
  EXPECT_NE(hue_word(effect.after).find("green"), std::string::npos) << effect.says;
  EXPECT_NE(effect.says.find("blue turns"), std::string::npos) << effect.says;
  ColumnCoat fresh = clear;
  fresh.optics.absorption_per_m = {};
  EXPECT_FALSE(effect_of(ground, {fresh}, "Fresh clear", Lamp::D65, Observer::deg10, {}).hue_turns);
}

TEST(Shade, bad_input_is_named) {
  const auto refused = [](const ShadeAsk& ask, const char* word) {
    const auto answer = shade(ask);
    return !answer && answer.errors()[0].text().find(word) != std::string::npos;
  };
  const ShadeAsk good = ask_over({wood(), {}});
  ShadeAsk bad = good;
  bad.toners.clear();
  EXPECT_TRUE(refused(bad, "no toner"));
  bad = good;
  for (double& r : bad.target.at) r *= 100;
  EXPECT_TRUE(refused(bad, "per cent"));
  bad = good;
  bad.toners[1].dry.absorption_per_m[5] = -3;
  EXPECT_TRUE(refused(bad, "red has absorption"));
  bad = good;
  bad.ground.bare[3] = std::nan("");
  EXPECT_TRUE(refused(bad, "ground"));
  bad = good;
  bad.carrier.volume_solids_fraction = 0;
  EXPECT_TRUE(refused(bad, "volume solids"));
}

TEST(InWords, verdicts_and_hues) {
  EXPECT_EQ(verdict_on(1.0), Verdict::beside_original);
  EXPECT_EQ(verdict_on(1.01), Verdict::on_separate_part);
  EXPECT_EQ(verdict_on(2.01), Verdict::another_panel);
  EXPECT_EQ(hue_word({50, 1, -2}), "grey");
  EXPECT_EQ(hue_word({50, 0, 40}), "yellow");
  EXPECT_EQ(hue_word({50, 40, 20}), "red");
  EXPECT_EQ(hue_word({50, -40, 12}), "green");
  EXPECT_EQ(hue_word({50, -16, -36}), "blue");
}

}  // namespace
}  // namespace witnessline::match
