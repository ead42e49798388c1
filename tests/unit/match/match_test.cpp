#include "match/match.h"

#include <gtest/gtest.h>

#include <cmath>
#include <set>

#include "bench_shelf.h"
#include "match/correct.h"
#include "match/recipe.h"
#include "optics/reflectance.h"

namespace witnessline::match {
namespace {

const Weighing usual{0.25, 0.00001 * 10, 0.2};  // 250 g on a scale of 0.1 g

std::vector<double> masses(const Recipe& r, std::size_t tins) {
  std::vector<double> kg(tins, 0.0);
  for (const Pour& p : r.pours) kg[p.tin] = p.mass_kg;
  return kg;
}

// Source: sharma2005, the 34 published pairs (data/published/colour_differences.csv checks delta_e_2000 itself).
TEST(ColourGap, squares_sum_to_delta_e_2000) {
  for (std::uint64_t i = 0; i < 4000; ++i) {
    const Key key = Key{5}.with(i);
    const Lab one{100 * uniform(key.with(1)), 60 * normal(key.with(2)), 60 * normal(key.with(3))};
    const double size = i % 2 ? 1.5 : 12;
    const Lab two{one.l + size * normal(key.with(4)), one.a + size * normal(key.with(5)),
                  one.b + size * normal(key.with(6))};
    const float l = static_cast<float>(two.l), a = static_cast<float>(two.a), b = static_cast<float>(two.b);
    EXPECT_NEAR(std::sqrt(colour_gap(one, l, a, b).squared()), delta_e_2000(one, {l, a, b}), 2e-3);
  }
}

TEST(ColourGap, slopes_follow_small_moves) {
  const Lab aim{52, 18, -23};
  const ColourGap gap = colour_gap(aim, 52.4f, 18.5f, -22.6f);
  const ColourGap moved = colour_gap(aim, 52.4f, 18.6f, -22.6f);
  for (std::size_t p = 0; p < 3; ++p) EXPECT_NEAR((moved.part[p] - gap.part[p]) / 0.1f, gap.on_lab[p][1], 0.03);
}

// The reference is optics' own reflectance of a column, in double precision, over wood and under a clear.
TEST(MixtureKernel, agrees_with_the_column_of_coats) {
  const std::vector<Tin> shelf = invented_shelf(6);
  for (const double film_m : {2e-6, 20e-6, 200e-6}) {
    LaidFilm laying = invented_laying(film_m);
    laying.ground_is_wood = true;
    laying.face = air_face(1.5, 45);
    ClearAbove clear;
    for (int b = 0; b < bands; ++b)
      clear.absorption_per_m[b] = 300.0 * (35 - b) / 35, clear.yellowing_per_m[b] = 40.0 * (35 - b);
    clear.thickness_m = 60e-6, clear.yellowing_on_the_day = 0.1, clear.yellowing_as_aged = 1;
    laying.clear = clear;
    std::vector<double> mass_kg{1, 0.1, 0.5, 0, 0.02, 0};
    Aim aim = three_lamps(flat_reflectance(0.3));
    aim.specular_share = 0, aim.when = MatchWhen::both;
    const MixedTins mixed = mixed_tins(shelf, mass_kg);
    for (const bool aged : {false, true}) {
      const Reflectance ours = laid(mixed, laying, 0, aged);
      CoatOptics paint{mixed.absorption_per_m, mixed.scattering_per_m, {}, 1.5};
      CoatOptics over{clear.absorption_per_m, {}, clear.yellowing_per_m, 1.5};
      const Reflectance theirs =
          reflectance({{paint, film_m, 0, 0}, {over, 60e-6, 0, aged ? 1.0 : 0.1}}, laying.ground, {}, {});
      for (int b = 0; b < bands; ++b) EXPECT_NEAR(ours[b], theirs[b], 1e-6);
    }
    const SearchProblem problem = problem_of(shelf, aim, laying, 0.1);
    const double kg = 1.62;
    const Candidate c{4, {0, 1, 2, 4}, {float(1 / kg), float(0.1 / kg), float(0.5 / kg), float(0.02 / kg)}};
    const auto fast = differences(problem, c);
    const auto exact =
        differences(views_that_count(aim, laying), aim, laid(mixed, laying, 0, false), laid(mixed, laying, 0, true));
    for (std::size_t v = 0; v < fast.size(); ++v) EXPECT_NEAR(fast[v], exact[v].delta_e, 5e-3);
  }
}

TEST(MixtureKernel, slopes_are_those_of_small_steps) {
  const std::vector<Tin> shelf = invented_shelf(5);
  for (const double film_m : {1e-7, 3e-6, 40e-6, 400e-6}) {
    const SearchProblem problem = problem_of(shelf, three_lamps(flat_reflectance(0.3)), invented_laying(film_m), 0.1);
    const std::array<std::uint8_t, 5> which{0, 1, 2, 3, 4};
    std::array<float, 5> share{0.5f, 0.02f, 0.2f, 0.18f, 0.1f};
    MixtureKernel::Slopes<5> at;
    problem.kernel.slopes(which, share, at);
    for (std::size_t j = 0; j < 5; ++j) {
      const float step = 0.02f * share[j];
      std::array<MixtureKernel::Outputs, 2> up, down;
      share[j] += step, problem.kernel.colour(which, share, up);
      share[j] -= 2 * step, problem.kernel.colour(which, share, down);
      share[j] += step;
      for (int o = 0; o < 9; ++o) {
        const float slope = (up[0].at[o] - down[0].at[o]) / (2 * step);
        EXPECT_NEAR(at.on_share[0][j].at[o], slope, 0.01f + 0.01f * std::abs(slope)) << film_m << " " << j << " " << o;
      }
    }
  }
}

TEST(Search, finds_what_looking_at_everything_finds) {
  const std::vector<Tin> shelf = invented_shelf(9);
  const LaidFilm laying = invented_laying();
  for (std::uint64_t i = 0; i < 6; ++i) {
    const SearchProblem problem = problem_of(shelf, invented_aim(shelf, laying, i), laying, 0.25);
    const Candidate ours = search(problem, 5, 1)[0], theirs = Exhaustive(problem, 5, 150).best();
    EXPECT_LE(ours.worst, theirs.worst + 0.05) << "target " << i;
  }
}

TEST(Search, keeps_to_the_stock_and_to_the_whole) {
  std::vector<Tin> shelf = invented_shelf(10);
  for (std::size_t i = 0; i < shelf.size(); ++i) shelf[i].left_kg = 0.02 * static_cast<double>(i);
  const LaidFilm laying = invented_laying();
  for (std::uint64_t i = 0; i < 5; ++i) {
    const SearchProblem problem = problem_of(shelf, invented_aim(shelf, laying, i), laying, 0.25);
    for (const Candidate& c : search(problem, 5, 50)) {
      float sum = 0;
      for (std::size_t j = 0; j < static_cast<std::size_t>(c.count); ++j) {
        EXPECT_GE(c.share[j], 0);
        EXPECT_LE(c.share[j] * 0.25, shelf[c.which[j]].left_kg + 1e-6);
        sum += c.share[j];
      }
      EXPECT_NEAR(sum, 1, 1e-5);
    }
  }
}

TEST(Search, is_the_same_at_any_number_of_threads) {
  const std::vector<Tin> shelf = invented_shelf(14);
  const LaidFilm laying = invented_laying();
  const SearchProblem problem = problem_of(shelf, invented_aim(shelf, laying, 1), laying, 0.25);
  use_threads(1);
  const auto one = search(problem, 5, 20);
  use_threads(0);
  const auto many = search(problem, 5, 20);
  ASSERT_EQ(one.size(), many.size());
  for (std::size_t i = 0; i < one.size(); ++i) EXPECT_EQ(one[i].share, many[i].share);
}

TEST(Match, a_mixture_of_the_shelf_is_found_again_in_grams) {
  const std::vector<Tin> shelf = invented_shelf(12);
  const LaidFilm laying = invented_laying();
  std::vector<double> mixed_kg(12, 0.0);
  mixed_kg[0] = 0.6, mixed_kg[3] = 0.3, mixed_kg[6] = 0.1;
  const auto found = match(shelf, three_lamps(laid(mixed_tins(shelf, mixed_kg), laying, 1, false)), laying, usual);
  ASSERT_TRUE(found);
  const Recipe& r = found->recipes[0];
  EXPECT_LT(r.closeness, 0.15);
  EXPECT_EQ(r.verdict, Verdict::beside_original);
  EXPECT_NEAR(r.batch_kg, 0.25, 5 * usual.step_kg);
  for (std::size_t i = 1; i < r.pours.size(); ++i) EXPECT_LE(r.pours[i].mass_kg, r.pours[i - 1].mass_kg);
  for (const Pour& p : r.pours) {
    EXPECT_NEAR(std::remainder(p.mass_kg, usual.step_kg), 0, 1e-9);
    EXPECT_NEAR(p.mass_kg, p.exact_kg, usual.step_kg);
  }
  EXPECT_NEAR(r.pours.back().running_kg, r.batch_kg, 1e-12);
  // The recipe read by optics' own double precision reads what the recipe says.
  const Reflectance again = laid(mixed_tins(shelf, masses(r, 12)), laying, 1, false);
  EXPECT_NEAR(delta_e_2000(to_lab(again, Lamp::A, Observer::deg10), r.views[1].aim), r.views[1].delta_e, 1e-9);
  EXPECT_EQ(found->subsets, 12u + 66 + 220 + 495 + 792);
}

TEST(Match, rounding_costs_more_on_a_coarse_scale_and_a_small_batch) {
  const std::vector<Tin> shelf = invented_shelf(12);
  const LaidFilm laying = invented_laying();
  const Aim aim = invented_aim(shelf, laying, 3);
  const auto fine = match(shelf, aim, laying, {0.25, 0.00001, 0.2}),
             coarse = match(shelf, aim, laying, {0.05, 0.001, 0.2});
  ASSERT_TRUE(fine && coarse);
  const Recipe &f = fine->recipes[0], &c = coarse->recipes[0];
  EXPECT_NEAR(f.closeness, f.exact_closeness, 0.05);
  EXPECT_GT(c.half_step_closeness - c.exact_closeness, f.half_step_closeness - f.exact_closeness);
  EXPECT_GT(c.smallest_batch_kg, f.smallest_batch_kg);
}

TEST(Match, the_smallest_batch_is_the_least_round_figure_that_can_be_weighed) {
  const std::vector<Tin> shelf = invented_shelf(12);
  const LaidFilm laying = invented_laying();
  const Weighing weighing{0.25, 0.00001, 0.2};
  for (std::uint64_t t = 0; t < 6; ++t) {
    const SearchProblem problem = problem_of(shelf, invented_aim(shelf, laying, t), laying, 0.25);
    const Aim aim = invented_aim(shelf, laying, t);
    const RecipeMaking making{shelf, aim, laying, weighing, problem};
    const Candidate best = search(problem, 5, 1)[0];
    const Recipe r = recipe_of(making, best);
    const float least = *std::min_element(best.share.begin(), best.share.begin() + best.count);
    const auto weighs = [&](double batch_kg) {
      return batch_kg * static_cast<double>(least) >= 5 * weighing.step_kg * (1 - 1e-6) &&
             half_step_closeness(making, best, batch_kg) <= r.exact_closeness + 0.2 + 2e-3;
    };
    if (r.smallest_batch_kg == 0) {
      EXPECT_NE(r.smallest_batch_why.find("left"), std::string::npos) << r.smallest_batch_why;
      continue;
    }
    EXPECT_TRUE(weighs(r.smallest_batch_kg)) << t;
    EXPECT_FALSE(weighs(0.65 * r.smallest_batch_kg)) << t;  // no figure is under two thirds of the next
    for (const double kg : rounded_masses(making, best, r.smallest_batch_kg)) EXPECT_GE(kg, 4.5 * weighing.step_kg);
  }
  // A tin that cannot fill five steps of the weakest share.
  std::vector<Tin> little = shelf;
  little[0].left_kg = 0.001;
  std::vector<double> kg(12, 0.0);
  kg[0] = 1, kg[1] = 1e-5;
  const Aim aim = three_lamps(laid(mixed_tins(shelf, kg), laying, 1, false));
  const SearchProblem problem = problem_of(shelf, aim, laying, 0.25);
  const Candidate two{2, {0, 1}, {1 - 1e-5f, 1e-5f}};
  const Recipe none = recipe_of({little, aim, laying, {0.001, 0.0001, 0.2}, problem}, two);
  EXPECT_EQ(none.smallest_batch_kg, 0);
  EXPECT_NE(none.smallest_batch_why.find("finer scale"), std::string::npos) << none.smallest_batch_why;
}

TEST(Match, the_batch_is_what_was_asked_for) {
  const std::vector<Tin> shelf = invented_shelf(12);
  const LaidFilm laying = invented_laying();
  for (std::uint64_t t = 0; t < 4; ++t) {
    const auto found = match(shelf, invented_aim(shelf, laying, t), laying, {0.15, 0.00001, 0.2});
    ASSERT_TRUE(found);
    for (const Recipe& r : found->recipes) EXPECT_NEAR(r.batch_kg, 0.15, 1e-9);
  }
}

TEST(Match, a_further_colorant_has_to_earn_its_place) {
  const std::vector<Tin> shelf = invented_shelf(12);
  const LaidFilm laying = invented_laying();
  for (std::uint64_t t = 0; t < 6; ++t) {
    const auto found = match(shelf, invented_aim(shelf, laying, t), laying, usual);
    ASSERT_TRUE(found);
    for (std::size_t i = 1; i < found->recipes.size(); ++i) {
      const Recipe &a = found->recipes[i - 1], &b = found->recipes[i];
      EXPECT_LE(a.closeness + 0.1 * static_cast<double>(a.pours.size()),
                b.closeness + 0.1 * static_cast<double>(b.pours.size()) + 1e-9);
    }
    EXPECT_EQ(found->recipes[0].chosen_for.substr(0, 12), "first choice");
  }
}

TEST(Match, what_holds_a_poisonous_metal_comes_last_or_not_at_all) {
  const std::vector<Tin> shelf = invented_shelf(12);
  const LaidFilm laying = invented_laying();
  int shown_text = 0;
  for (std::uint64_t t = 0; t < 6; ++t) {
    const Aim aim = invented_aim(shelf, laying, t);
    const auto before = match(shelf, aim, laying, usual);
    std::vector<Tin> lead = shelf, without = shelf;
    const std::size_t poisoned = before->recipes[0].pours.front().tin;  // the largest share
    lead[poisoned].poison = true, without[poisoned].left_kg = 0;
    const auto after = match(lead, aim, laying, usual), alone = match(without, aim, laying, usual);
    ASSERT_TRUE(after && alone);
    EXPECT_NEAR(after->recipes[0].closeness, alone->recipes[0].closeness, 1e-6);
    for (std::size_t i = 0; i < after->recipes.size(); ++i) {
      const Recipe& r = after->recipes[i];
      if (std::none_of(r.pours.begin(), r.pours.end(), [&](const Pour& p) { return p.tin == poisoned; })) continue;
      ++shown_text;
      EXPECT_EQ(i + 1, after->recipes.size());
      EXPECT_LT(r.closeness, after->recipes[0].closeness - 0.5);
    }
  }
  EXPECT_GT(shown_text, 0);  // some of these aims need that tin
}

TEST(Match, two_tins_of_one_kind_give_no_recipe_twice) {
  std::vector<Tin> shelf = invented_shelf(8);
  const LaidFilm laying = invented_laying();
  const Aim aim = invented_aim(shelf, laying, 0);
  shelf.push_back(shelf[0]), shelf.push_back(shelf[3]);
  const auto found = match(shelf, aim, laying, usual);
  ASSERT_TRUE(found);
  std::set<std::set<std::size_t>> seen;
  for (const Recipe& r : found->recipes) {
    std::set<std::size_t> kinds;
    for (const Pour& p : r.pours) kinds.insert(p.tin == 8 ? 0 : p.tin == 9 ? 3 : p.tin);
    EXPECT_TRUE(seen.insert(kinds).second);
  }
}

TEST(Match, tins_poured_out_to_the_last_step) {
  std::vector<Tin> shelf = invented_shelf(6);
  for (std::size_t i = 0; i < shelf.size(); ++i) shelf[i].left_kg = 0.03 + 0.01 * static_cast<double>(i);
  const LaidFilm laying = invented_laying();
  for (std::uint64_t t = 0; t < 6; ++t)
    for (const double step_kg : {1e-5, 1e-4, 7e-5}) {
      const auto found = match(shelf, invented_aim(shelf, laying, t), laying, {0.15, step_kg, 0.2});
      ASSERT_TRUE(found);
      for (const Recipe& r : found->recipes)
        for (const Pour& p : r.pours) EXPECT_LE(p.mass_kg, shelf[p.tin].left_kg + 1e-3 * step_kg);
    }
}

TEST(Match, says_which_limit_binds) {
  const std::vector<Tin> full = invented_shelf(12);
  const LaidFilm laying = invented_laying();
  std::vector<double> kg(12, 0.0);
  kg[0] = 0.5, kg[3] = 0.5;
  const Aim aim = three_lamps(laid(mixed_tins(full, kg), laying, 1, false));
  std::vector<Tin> little = full;
  little[3].left_kg = 0.02;
  for (std::size_t i = 5; i < 12; ++i) little[i].left_kg = 0;
  const auto stock = match(little, aim, laying, usual);
  ASSERT_TRUE(stock);
  EXPECT_NE(stock->why_not_closer.find("stock"), std::string::npos) << stock->why_not_closer;

  const auto thin = match(full, three_lamps(flat_reflectance(0.045)), invented_laying(1e-6), usual);
  ASSERT_TRUE(thin);
  EXPECT_NE(thin->why_not_closer.find("too thin"), std::string::npos) << thin->why_not_closer;

  const std::vector<Tin> greys{full[0], full[1]};
  Reflectance red;
  for (int b = 0; b < bands; ++b) red[b] = b > 22 ? 0.7 : 0.05;
  const auto gamut = match(greys, three_lamps(red), laying, usual);
  ASSERT_TRUE(gamut);
  EXPECT_NE(gamut->why_not_closer.find("redder"), std::string::npos) << gamut->why_not_closer;
  EXPECT_EQ(gamut->recipes[0].verdict, Verdict::another_panel);
}

TEST(Match, a_yellowed_clear_changes_the_recipe) {
  const std::vector<Tin> shelf = invented_shelf(12);
  LaidFilm laying = invented_laying();
  std::vector<double> kg(12, 0.0);
  kg[0] = 0.7, kg[5] = 0.3;
  const Aim day = three_lamps(laid(mixed_tins(shelf, kg), laying, 1, false));
  ClearAbove clear;
  for (int b = 0; b < bands; ++b) clear.yellowing_per_m[b] = 4000 * std::exp(-(band_nm(b) - 400) / 45);
  clear.thickness_m = 60e-6, clear.yellowing_as_aged = 1;
  laying.clear = clear;
  const auto fresh = match(shelf, day, laying, usual);
  Aim aged = day;
  aged.when = MatchWhen::as_aged;
  const auto later = match(shelf, aged, laying, usual);
  ASSERT_TRUE(fresh && later);
  ASSERT_EQ(fresh->recipes[0].views.size(), 6u);
  EXPECT_TRUE(fresh->recipes[0].views[3].view.aged);
  EXPECT_GT(fresh->recipes[0].views[3].lab.b, fresh->recipes[0].views[0].lab.b + 2);
  EXPECT_LT(later->recipes[0].views[0].delta_e, fresh->recipes[0].views[3].delta_e);
}

// Source: kubelka1948: of a film that only scatters, R0 = S X / (1 + S X), without faces.
TEST(Hiding, contrast_ratio_of_a_white_film_is_the_closed_form) {
  ColorantDepths film;
  film.scattering.at.fill(4);
  const double r0 = 4.0 / 5, over = r0 + (1 - r0) * (1 - r0) * 0.8 / (1 - r0 * 0.8);
  EXPECT_NEAR(contrast_ratio(film, {0, 0}), r0 / over, 1e-9);
  Spectrum k, s;
  k.at.fill(0), s.at.fill(1e5);
  const auto film_m = hiding_film(k, s, {0, 0});
  ASSERT_TRUE(film_m);
  ColorantDepths at;
  at.scattering.at.fill(1e5 * *film_m);
  EXPECT_NEAR(contrast_ratio(at, {0, 0}), 0.98, 1e-4);
  s.at.fill(10);
  EXPECT_FALSE(hiding_film(k, s, {0, 0}));
}

}  // namespace
}  // namespace witnessline::match
