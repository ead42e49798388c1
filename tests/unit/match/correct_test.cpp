#include "match/correct.h"

#include <gtest/gtest.h>

#include <cmath>

#include "bench_shelf.h"
#include "folds.h"
#include "match/prediction_table.h"

namespace witnessline::match {
namespace {

const Weighing usual{0.25, 0.0001, 0.2};

// The shop's tins: what the program believes of them is off by some per cent.
std::vector<Tin> as_it_really_is(std::vector<Tin> shelf) {
  for (std::size_t i = 0; i < shelf.size(); ++i) {
    const double k = std::exp(0.15 * normal(Key{9}.with(i))), s = std::exp(0.1 * normal(Key{10}.with(i)));
    for (int b = 0; b < bands; ++b) shelf[i].absorption_per_m[b] *= k, shelf[i].scattering_per_m[b] *= s;
  }
  return shelf;
}

struct Bench {
  std::vector<Tin> believed = invented_shelf(10), real = as_it_really_is(believed);
  LaidFilm laying = invented_laying();
  Aim aim;
  BatchPanel panel;

  explicit Bench(std::uint64_t target) {
    std::vector<double> kg(believed.size(), 0.02);
    kg[0] = 0.5, kg[3] = 0.2 + 0.05 * static_cast<double>(target), kg[1] = 0.01;
    aim = three_lamps(laid(mixed_tins(real, kg), laying, 1, false));
    const auto found = match(believed, aim, laying, usual);
    panel.mass_kg.assign(believed.size(), 0.0);
    for (const Pour& p : found->recipes[0].pours) panel.mass_kg[p.tin] = p.mass_kg;
    panel.read = read(panel.mass_kg);
  }
  Reflectance read(const std::vector<double>& kg) const { return laid(mixed_tins(real, kg), laying, 1, false); }
  double worst(const std::vector<double>& kg) const {
    double most = 0;
    for (const LampWeight& l : aim.lamps)
      most = std::max(
          most, delta_e_2000(to_lab(aim.reflectance, l.lamp, aim.observer), to_lab(read(kg), l.lamp, aim.observer)));
    return most;
  }
};

// The panel and the corrected batch are "read" from tins that differ from what the shelf believes.
TEST(Correct, additions_bring_the_real_batch_nearer_and_take_nothing_out) {
  int better = 0, within = 0;
  for (std::uint64_t t = 0; t < 4; ++t) {
    const Bench bench(t);
    const double before = bench.worst(bench.panel.mass_kg);
    const auto found =
        correct(bench.believed, plain_knowledge(10), bench.aim, bench.laying, usual, bench.panel, {0.5, 3, 3});
    ASSERT_TRUE(found);
    EXPECT_NEAR(found->closeness_before, before, 1e-6);
    std::vector<double> kg(10, 0.0);
    for (const Pour& p : found->batch) kg[p.tin] = p.mass_kg;
    for (std::size_t i = 0; i < kg.size(); ++i) EXPECT_GE(kg[i], bench.panel.mass_kg[i] - 1e-12);
    EXPECT_LE(found->additions.size(), 3u);
    for (const Pour& p : found->additions) EXPECT_NEAR(std::remainder(p.mass_kg, usual.step_kg), 0, 1e-9);
    better += bench.worst(kg) < before, within += bench.worst(kg) < 1;
    EXPECT_GT(before, 1) << "the bench is no test";
  }
  EXPECT_EQ(better, 4);
  EXPECT_GE(within, 3);
}

TEST(Correct, the_addition_is_the_least_that_comes_within) {
  const Bench bench(1);
  const auto loose =
      correct(bench.believed, plain_knowledge(10), bench.aim, bench.laying, usual, bench.panel, {1.5, 3, 3});
  const auto tight =
      correct(bench.believed, plain_knowledge(10), bench.aim, bench.laying, usual, bench.panel, {0.4, 3, 3});
  ASSERT_TRUE(loose && tight);
  EXPECT_TRUE(loose->within && tight->within);
  EXPECT_LE(loose->batch_kg, tight->batch_kg);
  EXPECT_LE(loose->closeness_after, 1.5);
  const auto enough =
      correct(bench.believed, plain_knowledge(10), bench.aim, bench.laying, usual, bench.panel, {90, 3, 3});
  ASSERT_TRUE(enough);
  EXPECT_TRUE(enough->additions.empty());
  double next = 0;
  for (const Pour& p : tight->next_batch) next += p.mass_kg;
  EXPECT_NEAR(next, 0.25, 0.002);
}

TEST(Correct, aims_inside_the_tolerance_and_says_how_sure_it_is) {
  for (std::uint64_t t = 0; t < 4; ++t) {
    const Bench bench(t);
    const auto found =
        correct(bench.believed, plain_knowledge(10), bench.aim, bench.laying, usual, bench.panel, {1, 3, 3});
    ASSERT_TRUE(found && found->within);
    if (found->additions.empty()) continue;
    EXPECT_LE(found->closeness_after, 0.5 + 0.02) << t;
    EXPECT_GT(found->likely_band.high, found->closeness_after);
  }
}

TEST(Correct, tins_that_cannot_be_replaced_stay_shut_where_others_do) {
  int spared = 0;
  for (std::uint64_t t = 0; t < 4; ++t) {
    Bench bench(t);
    const auto found =
        correct(bench.believed, plain_knowledge(10), bench.aim, bench.laying, usual, bench.panel, {1.5, 3, 3});
    ASSERT_TRUE(found);
    if (found->additions.empty()) continue;
    std::vector<Tin> scarce = bench.believed;
    const std::size_t tin = found->additions.back().tin;
    scarce[tin].irreplaceable = true;
    const auto sparing = correct(scarce, plain_knowledge(10), bench.aim, bench.laying, usual, bench.panel, {1.5, 3, 3});
    ASSERT_TRUE(sparing);
    const bool used =
        std::any_of(sparing->additions.begin(), sparing->additions.end(), [&](const Pour& p) { return p.tin == tin; });
    EXPECT_EQ(sparing->spared, !used) << t;
    if (!used) { EXPECT_LE(sparing->closeness_after, 1.5); }
    spared += !used;
  }
  EXPECT_GE(spared, 1);
}

TEST(Correct, what_cannot_be_taken_out_is_said) {
  Bench bench(0);
  bench.panel.mass_kg.assign(10, 0.0);
  bench.panel.mass_kg[1] = 0.25;  // a cup of black
  bench.panel.read = bench.read(bench.panel.mass_kg);
  const auto found = correct(bench.believed, plain_knowledge(10), bench.aim, bench.laying, usual, bench.panel);
  ASSERT_TRUE(found);
  EXPECT_FALSE(found->within);
  ASSERT_FALSE(found->notes.empty());
  EXPECT_NE(found->notes.back().text.find("new batch"), std::string::npos);
}

TEST(Correct, bad_input_is_named) {
  const Bench bench(0);
  const auto refused = [&](const BatchPanel& panel, const char* key) {
    const auto found = correct(bench.believed, plain_knowledge(10), bench.aim, bench.laying, usual, panel);
    return !found && found.errors()[0].where.key == key;
  };
  BatchPanel empty = bench.panel, negative = bench.panel, nan = bench.panel, short_of = bench.panel;
  empty.mass_kg.assign(10, 0.0);
  negative.mass_kg[2] = -1;
  nan.read[3] = std::nan("");
  short_of.mass_kg.resize(3);
  EXPECT_TRUE(refused(empty, "shelf"));
  EXPECT_TRUE(refused(negative, "shelf"));
  EXPECT_TRUE(refused(nan, "panel"));
  EXPECT_TRUE(refused(short_of, "shelf"));
  std::vector<Tin> unseparated = bench.believed;
  unseparated[0].separated = false;
  const auto found = correct(unseparated, plain_knowledge(10), bench.aim, bench.laying, usual, bench.panel);
  EXPECT_TRUE(found || found.errors()[0].where.key == "shelf");
  EXPECT_EQ(static_cast<bool>(found), bench.panel.mass_kg[0] == 0);
}

/// Oil paints (geldof2018): known at first from the masstones and one mixture of bone black, which has no masstone.
struct OilPanels {
  std::vector<std::string> colorants;
  std::vector<FilmReading> known, panels;
};
OilPanels oil_panels() {
  OilPanels oil;
  const auto densities = read_pigment_densities(std::string(PROJECT_FOLDER) + "/data/pigments.csv");
  if (!densities) return oil;
  const auto table =
      read_prediction_table(std::string(PROJECT_FOLDER) + "/tests/data/oil_paint_mixtures.csv", *densities);
  if (!table) return oil;
  oil.colorants = table->colorants;
  std::vector<bool> met(oil.colorants.size(), false);
  for (const TableFilm& f : table->films)
    if (*std::max_element(f.film.shares.begin(), f.film.shares.end()) > 0.999) {
      oil.known.push_back(f.film);
      for (std::size_t i = 0; i < met.size(); ++i) met[i] = met[i] || f.film.shares[i] > 0.999;
    }
  for (const TableFilm& f : table->films) {
    if (*std::max_element(f.film.shares.begin(), f.film.shares.end()) > 0.999) continue;
    bool needed = false;
    for (std::size_t i = 0; i < met.size(); ++i)
      if (f.film.shares[i] > 0 && !met[i]) needed = met[i] = true;
    (needed ? oil.known : oil.panels).push_back(f.film);
  }
  return oil;
}

// Source of the readings: geldof2018. Panels are fed one by one; only films not fed yet are scored.
TEST(Learned, every_panel_makes_panels_not_seen_come_closer) {
  const OilPanels oil = oil_panels();
  ASSERT_EQ(oil.panels.size(), 40u);
  const auto start = characterise(oil.colorants, oil.known);
  ASSERT_TRUE(start);
  std::vector<Scores> untaught(5), taught(5);
  for (std::uint64_t seed = 0; seed < 3; ++seed) {
    std::vector<std::size_t> order(oil.panels.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::sort(order.begin(), order.end(),
              [&](std::size_t a, std::size_t b) { return mixed(seed ^ mixed(a)) < mixed(seed ^ mixed(b)); });
    ColorantSet now = *start;
    for (std::size_t k = 0; k <= 32; ++k) {
      if (k % 8 == 0) {
        std::vector<FilmReading> unseen;
        for (std::size_t i = k; i < order.size(); ++i) unseen.push_back(oil.panels[order[i]]);
        untaught[k / 8].add(from_composition(*start, unseen));
        taught[k / 8].add(from_composition(now, unseen));
      }
      const auto after = learned(now, oil.panels[order[k]]);
      ASSERT_TRUE(after);
      now = after->set;
    }
  }
  for (std::size_t s = 0; s < 5; ++s)
    std::printf("after %2zu panels: untaught %.2f / %.2f, taught %.2f / %.2f (mean / 95th, %zu readings not seen)\n",
                8 * s, untaught[s].mean(), untaught[s].quantile(0.95), taught[s].mean(), taught[s].quantile(0.95),
                taught[s].delta_e.size());
  for (std::size_t s = 1; s < 5; ++s) {
    EXPECT_LT(taught[s].mean(), taught[s - 1].mean());
    EXPECT_LT(taught[s].quantile(0.95), untaught[s].quantile(0.95));
  }
  EXPECT_LT(taught[4].mean(), 0.5 * untaught[4].mean());
}

TEST(Learned, a_panel_moves_only_the_colorants_it_holds_and_what_goes_with_them) {
  const OilPanels oil = oil_panels();
  const auto start = characterise(oil.colorants, oil.known);
  ASSERT_TRUE(start);
  const auto after = learned(*start, oil.panels[0]);
  ASSERT_TRUE(after);
  for (std::size_t i = 0; i < oil.colorants.size(); ++i)
    for (int b = 0; b < bands; ++b) {
      const ColorantModel &was = start->colorants[i], &is = after->set.colorants[i];
      EXPECT_TRUE(std::isfinite(is.absorption[b]) && is.absorption[b] > 0);
      if (oil.panels[0].shares[i] == 0) { EXPECT_NEAR(std::log(is.absorption[b] / was.absorption[b]), 0, 0.2); }
      EXPECT_LE(is.absorption_log_sd[b], std::hypot(was.absorption_log_sd[b], 0.05) + 1e-9);
    }
  FilmReading bad = oil.panels[0];
  bad.over[0].film[3] = std::nan("");
  EXPECT_FALSE(learned(*start, bad));
  ColorantSet vague = *start;
  vague.log_covariance.clear();
  EXPECT_FALSE(learned(vague, oil.panels[0]));
}

}  // namespace
}  // namespace witnessline::match
