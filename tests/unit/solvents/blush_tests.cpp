// Blush of both kinds, and thinners from the shelf.
#include <gtest/gtest.h>

#include <cmath>

#include "base/parallel.h"
#include "materials/air.h"
#include "solvents/thinner.h"

namespace witnessline::solvents {
namespace {

const Library& library() {
  static const Result<Library> read = read_library(PROJECT_FOLDER "/data");
  if (!read) throw std::runtime_error(read.errors().front().text());
  return *read;
}
Volatile solvent(const std::string& id) {
  const Result<Volatile> made = volatile_of(*library().find(id));
  if (!made) throw std::runtime_error(made.errors().front().text());
  return *made;
}
FilmFormer lacquer() { return *film_former_of(*library().find("nitrocellulose_lacquer")); }
const Draught shop = draught_along(294.15, 0.3);

EvaporationRun dried(const std::vector<std::string>& ids, const std::vector<double>& share, Solution* kept = nullptr) {
  std::vector<Volatile> solvents;
  WetFilm film{{}, 9e-6};
  for (std::size_t i = 0; i < ids.size(); ++i) {
    solvents.push_back(solvent(ids[i]));
    film.solvent_m.push_back(91e-6 * share[i]);
  }
  Solution solution(solvents, lacquer(), 294.15);
  EvaporationRun run = evaporate(solution, film, shop, 0.02);
  if (kept) *kept = solution;
  return run;
}

TEST(Blush, ADiluentThatStaysLongestThrowsTheFilmFormerOut) {
  Solution solution({}, lacquer(), 294.15);
  const EvaporationRun good = dried({"mek", "toluene", "methyl_amyl_ketone"}, {0.3, 0.3, 0.4}, &solution);
  const Solubility stays = solubility_along(good, solution);
  const EvaporationRun bad = dried({"mek", "xylene"}, {0.6, 0.4}, &solution);
  const Solubility falls = solubility_along(bad, solution);
  EXPECT_LT(falls.first, surely_dissolves);
  EXPECT_EQ(falls.staying, Staying::falls_out);
  EXPECT_GT(falls.worst_at_s, 0);
  EXPECT_LT(stays.worst, falls.worst);
  EXPECT_EQ(stays.difference.size(), good.moments.size());
  EXPECT_EQ(staying_of(0.95), Staying::unsure);
}

TEST(Blush, HumidityLimitsAreWhereTheWaterBegins) {
  const EvaporationRun run = dried({"acetone", "toluene", "isopropanol", "butyl_acetate"}, {0.25, 0.35, 0.15, 0.25});
  const HumidityLimits limits = humidity_limits(run, shop);
  EXPECT_GT(limits.no_mist, 0.2);
  EXPECT_LT(limits.no_mist, limits.no_blush);
  EXPECT_LT(limits.no_blush, 1);
  EXPECT_EQ(moisture_along(run, shop, limits.no_mist - 0.01).most_water_kg_m2, 0);
  EXPECT_GT(moisture_along(run, shop, limits.no_mist + 0.02).most_water_kg_m2, 0);
  EXPECT_EQ(moisture_along(run, shop, limits.no_blush - 0.01).water_when_set_kg_m2, 0);
  EXPECT_GT(moisture_along(run, shop, limits.no_blush + 0.01).water_when_set_kg_m2, 0);
  EXPECT_NEAR(moisture_along(run, shop, limits.no_mist).least_margin_K, 0, 0.05);
  for (const double humidity : {0.1, 0.5, 0.99}) {
    const Moisture moisture = moisture_along(run, shop, humidity);
    EXPECT_LE(moisture.dew_point_K, shop.temperature_K);
    for (const double water : moisture.water_kg_m2) EXPECT_GE(water, 0);
  }
}

// What every finisher does on a damp day: a tenth of a slow solvent buys humidity.
TEST(Blush, ARetarderBuysHumidity) {
  const auto limit = [](double retarder) {
    const double rest = 1 - retarder;
    return humidity_limits(dried({"acetone", "toluene", "isopropanol", "butyl_acetate", "butyl_glycol"},
                                 {0.25 * rest, 0.35 * rest, 0.15 * rest, 0.25 * rest, retarder}),
                           shop)
        .no_blush;
  };
  EXPECT_GT(limit(0.05), limit(0));
  EXPECT_GT(limit(0.15), limit(0.05));
}

TEST(Blush, StillAirGivesLeastHeatAndMoreAirNeverLess) {
  double last = 0;
  for (const double speed_m_s : {0.0, 0.1, 0.3, 1.0, 3.0}) {
    const double h = draught_along(294.15, speed_m_s).heat_coefficient_W_m2K;
    EXPECT_GT(h, last);
    last = h;
  }
}

std::vector<ShelfSolvent> shelf() {
  std::vector<ShelfSolvent> all;
  for (const Material& material : library().all())
    if (material.role == Role::solvent && material.id != "water")
      if (const Result<Volatile> one = volatile_of(material)) all.push_back({*one, 4.0 + 0.1 * double(all.size())});
  return all;
}
SprayedFilm film() { return {lacquer(), 0.09, 100e-6, shop, 0.6}; }

TEST(Thinner, AnswersAreRankedUnlikeEachOtherAndSayWhyTheyLose) {
  const std::vector<ShelfSolvent> on_shelf = shelf();
  ASSERT_GE(on_shelf.size(), 18u);
  const std::vector<ThinnerTrial> answers = design_thinner(on_shelf, film(), {}, 4);
  ASSERT_EQ(answers.size(), 4u);
  EXPECT_TRUE(answers[0].loses.empty());
  for (std::size_t n = 0; n < answers.size(); ++n) {
    double sum = 0;
    for (const double share : answers[n].volume_fraction) {
      EXPECT_GE(share, 0);
      sum += share;
    }
    EXPECT_NEAR(sum, 1, 1e-12);
    if (n == 0) continue;
    EXPECT_GE(answers[n].blame, answers[n - 1].blame);
    EXPECT_FALSE(answers[n].loses.empty());
  }
  EXPECT_TRUE(answers[0].faults.empty());
  EXPECT_LE(answers[0].worst_difference, ThinnerWishes{}.worst_difference);
}

// No blend of the same tenths out of a small shelf, all tried in full, is better than the one the search picks.
TEST(Thinner, MissesNoBetterBlendOfASmallShelf) {
  std::vector<ShelfSolvent> small;
  for (const char* id : {"acetone", "toluene", "butyl_acetate", "methyl_amyl_ketone"})
    small.push_back({solvent(id), 5.0});
  const ThinnerWishes wishes;
  double best = 1e300;
  for (int a = 0; a <= 10; ++a)
    for (int b = 0; a + b <= 10; ++b)
      for (int c = 0; a + b + c <= 10; ++c)
        best = std::min(
            best, try_thinner(small, {a / 10.0, b / 10.0, c / 10.0, (10 - a - b - c) / 10.0}, film(), wishes).blame);
  EXPECT_LE(design_thinner(small, film(), wishes, 1)[0].blame, best + 1e-9);
}

TEST(Thinner, TheSameAtAnyNumberOfThreads) {
  use_threads(1);
  const std::vector<ThinnerTrial> one = design_thinner(shelf(), film(), {}, 3);
  use_threads(0);
  const std::vector<ThinnerTrial> all = design_thinner(shelf(), film(), {}, 3);
  for (std::size_t n = 0; n < one.size(); ++n) EXPECT_EQ(one[n].volume_fraction, all[n].volume_fraction);
}

}  // namespace
}  // namespace witnessline::solvents
