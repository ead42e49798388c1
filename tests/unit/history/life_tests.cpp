#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "base/parallel.h"
#include "base/random.h"
#include "history/read_life.h"
#include "numerics/elliptical_slice.h"

namespace witnessline::history {
namespace {

using Vector = std::vector<double>;

/// A clear that yellows about as nitrocellulose lacquer does, so that no library is needed.
const YellowCurve& curve() {
  static const YellowCurve held = [] {
    CoatOptics clear;
    for (int b = 0; b < bands; ++b) clear.yellowing_per_m[b] = 2600 * std::exp(-(band_nm(b) - 420) / 45);
    return YellowCurve(clear);
  }();
  return held;
}

struct Uniforms {
  Key key;
  std::uint64_t at = 0;
  double operator()() { return uniform(key.with(at++)); }
  double normal() { return std::sqrt(-2 * std::log((*this)())) * std::cos(2 * std::numbers::pi * (*this)()); }
};

/// Evidence of a well kept survey, of which a simulated life shows one part or another.
LifeEvidence survey() {
  LifeEvidence e;
  e.age_s = 60 * unit::year.scale;
  e.yellow = {{"top, open", "top", Exposure::open, 20, {}, Lamp::D65, Observer::deg10, 2, 60e-6},
              {"top, under the plate", "top", Exposure::covered, 20, {}, Lamp::D65, Observer::deg10, 2, 60e-6},
              {"back", "top", Exposure::back, 20, {}, Lamp::D65, Observer::deg10, 2, 60e-6},
              {"plate, open", "plate", Exposure::open, 20, {}, Lamp::D65, Observer::deg10, 2, 60e-6},
              {"plate, under a knob", "plate", Exposure::covered, 20, {}, Lamp::D65, Observer::deg10, 2, 60e-6}};
  e.sheen = {{"headstock", Handling::none, 60, 4, {}, {}}, {"neck", Handling::most, 30, 8, {}, {}}};
  e.checks = {{"headstock", CheckRun::across, 5, 0.1, 60e-6}, {"top", CheckRun::along, 3, 0.1, 60e-6}};
  e.string_wear = {{"first frets", WornPart::fret, 0.2e-3, 0.03e-3},
                   {"fingerboard", WornPart::fingerboard, 0.1e-3, 0.03e-3}};
  e.film_wear = {{"forearm", Touch::forearm, 60e-6, 30e-6, 4e-6}};
  e.metal = {{"tailpiece", Tarnish::dull}};
  e.dirt = {{"waist", Dirt::visible}};
  return e;
}

struct Set {
  std::vector<Observation> seen;
  Ask ask;
};
Set prepared(const LifeEvidence& evidence) {
  Set set;
  const auto found = sightings_of(evidence, set.ask);
  EXPECT_TRUE(found) << (found ? "" : found.errors()[0].text());
  set.seen = *found;
  set.ask.channel_ratio = 0.6;
  return set;
}

TEST(EllipticalSlice, AGaussianPosteriorInClosedForm) {
  // Prior standard normal in two, y = x0 + x1 seen as 2 with sd 0.5: mean 2 * 1/(2 + 0.25) each, by conjugacy.
  NormalGuess guess{{0.3, 0.3}, Matrix(2, 2)};
  guess.lower(0, 0) = 0.8, guess.lower(1, 0) = -0.2, guess.lower(1, 1) = 0.7;  // none too good
  Uniforms next{Key{5}};
  const auto draws = elliptical_slice([](const Vector& z) { return -0.5 * std::pow((z[0] + z[1] - 2) / 0.5, 2); },
                                      guess, {0, 0}, 500, 20000, 1, std::ref(next));
  double mean = 0, square = 0, cross = 0;
  for (const Vector& z : draws) mean += z[0], square += z[0] * z[0], cross += z[0] * z[1];
  const double n = static_cast<double>(draws.size());
  mean /= n;
  EXPECT_NEAR(mean, 2 / 2.25, 0.03);
  EXPECT_NEAR(square / n - mean * mean, 1 - 1 / 2.25, 0.03);
  EXPECT_NEAR(cross / n - mean * mean, -1 / 2.25, 0.04);
}

/// Ranks of the truth among draws, 0..1, one a life and quantity.
struct Ranks {
  std::vector<Vector> by_quantity = std::vector<Vector>(8);
  std::vector<double> inside = std::vector<double>(8, 0.0);  ///< truths in the 95 % band
};
/// Lives drawn from the prior and read again; `wrong`: every rate in the world is that many times what the model takes.
Ranks simulated(int lives, double wrong, bool strays) {
  const Set whole = prepared(survey());
  std::vector<std::array<double, 8>> ranks(static_cast<std::size_t>(lives));
  for_chunks(ranks.size(), 1, [&](std::size_t begin, std::size_t end) {
    for (std::size_t i = begin; i < end; ++i) {
      Uniforms next{Key{2026}.with(i)};
      Vector z(coordinates(whole.ask));
      for (double& v : z) v = next.normal();
      const HistorySample truth = past_of(z, whole.ask);
      std::vector<Observation> seen;
      for (const Observation& s : whole.seen) {
        if (next() < 0.3) continue;  // not every survey has everything
        Observation one = s;
        const bool stray = strays && next() < astray_chance;
        one.seen = seen_drawn(s, expected(s, z, truth, whole.ask, curve(), wrong), stray, std::ref(next));
        seen.push_back(one);
      }
      const auto of = [](const HistorySample& p) {
        return std::array{p.age_s,     p.light_lx_s,     p.play_s,      p.shocks,
                          p.coldest_K, p.humidity_swing, p.cased_share, p.grime_kg_m2};
      };
      const auto chains = posterior_draws(seen, whole.ask, curve(), i, {4, 150, 100, 8});
      std::array<double, 8> below{};
      double count = 0;
      for (const auto& chain : chains)
        for (const Vector& draw : chain) {
          const auto drawn = of(past_of(draw, whole.ask)), true_one = of(truth);
          for (std::size_t k = 0; k < 8; ++k) below[k] += drawn[k] < true_one[k] ? 1 : 0;
          ++count;
        }
      for (std::size_t k = 0; k < 8; ++k) ranks[i][k] = (below[k] + 0.5) / (count + 1);
    }
  });
  Ranks all;
  for (const auto& rank : ranks)
    for (std::size_t k = 0; k < 8; ++k) {
      all.by_quantity[k].push_back(rank[k]);
      all.inside[k] += rank[k] > 0.025 && rank[k] < 0.975 ? 1.0 / lives : 0.0;
    }
  return all;
}

double chi_square(const Vector& ranks) {
  constexpr int bins = 10;
  std::array<double, bins> count{};
  for (const double r : ranks) ++count[static_cast<std::size_t>(std::min(bins - 1.0, r * bins))];
  double sum = 0;
  const double mean = static_cast<double>(ranks.size()) / bins;
  for (const double c : count) sum += (c - mean) * (c - mean) / mean;
  return sum;
}
Vector pooled(const Ranks& ranks) {
  Vector all;
  for (const Vector& one : ranks.by_quantity) all.insert(all.end(), one.begin(), one.end());
  return all;
}

TEST(Life, RanksOfTheTruthAreEvenOverSimulatedLives) {
  const Ranks right = simulated(200, 1, true);
  double least = 1, mean = 0;
  for (std::size_t k = 0; k < 8; ++k) {
    // 27.88: chi-square with 9 degrees, one in a thousand (eight quantities are tried).
    EXPECT_LT(chi_square(right.by_quantity[k]), 27.88) << "quantity " << k;
    least = std::min(least, right.inside[k]), mean += right.inside[k] / 8;
  }
  EXPECT_LT(chi_square(pooled(right)), 21.67) << "one in a hundred";
  RecordProperty("chi_square", std::to_string(chi_square(pooled(right))));
  std::printf("right model: chi-square %.1f of 9, inside the 95 %% band %.3f (least %.3f)\n", chi_square(pooled(right)),
              mean, least);
  EXPECT_GT(least, 0.90);
}

TEST(Life, AWrongForwardModelShowsInTheRanks) {
  const Ranks wrong = simulated(200, 5, true);
  double least = 1, mean = 0;
  for (std::size_t k = 0; k < 8; ++k) least = std::min(least, wrong.inside[k]), mean += wrong.inside[k] / 8;
  std::printf("every rate five times the model's: chi-square %.1f of 9, inside %.3f (least %.3f); by quantity",
              chi_square(pooled(wrong)), mean, least);
  for (std::size_t k = 0; k < 8; ++k) std::printf(" %.3f/%.0f", wrong.inside[k], chi_square(wrong.by_quantity[k]));
  std::printf("\n");
  EXPECT_GT(chi_square(pooled(wrong)), 27.88) << "the test can tell a wrong model from a right one";
}

TEST(Life, NothingSeenIsThePriorAndSaysSo) {
  const Set none = prepared({});
  const LifeReading r = read_life(none.seen, none.ask, curve(), 1);
  EXPECT_GT(r.light_lx_s.prior_share, 0.85);
  EXPECT_GT(r.play_s.prior_share, 0.85);
  EXPECT_GT(r.light_lx_s.band.high / r.light_lx_s.band.low, 30);
  ASSERT_FALSE(r.notes.empty());
  EXPECT_NE(r.notes[0].text.find("Nothing was looked at"), std::string::npos);
}

TEST(Life, EvidenceNarrowsWhatItTellsOf) {
  LifeEvidence light;
  light.age_s = 60 * unit::year.scale;
  light.yellow = {survey().yellow[0], survey().yellow[1]};
  light.yellow[0].yellowness = 45, light.yellow[1].yellowness = 12;
  const Set few = prepared(light);
  const LifeReading r = read_life(few.seen, few.ask, curve(), 1);
  EXPECT_LT(r.light_lx_s.prior_share, 0.75);
  EXPECT_GT(r.light_lx_s.bits, 0.2);
  EXPECT_GT(r.play_s.prior_share, 0.85) << "light says nothing about playing";
  light.yellow[0].yellowness = 16;
  const Set pale = prepared(light);
  EXPECT_LT(read_life(pale.seen, pale.ask, curve(), 1).light_lx_s.middle, r.light_lx_s.middle);
  EXPECT_TRUE(r.conflicts.empty());
}

// "Never played" has its share: about one in ten before anything is looked at, more on frets without wear, none on deep
// ones.
TEST(Life, NeverPlayedHasItsShare) {
  const auto none_of = [](double fret_m, bool looked) {
    LifeEvidence e;
    e.age_s = 50 * unit::year.scale;
    if (looked)
      e.string_wear = {{"first frets", WornPart::fret, fret_m, 0.02e-3},
                       {"fingerboard", WornPart::fingerboard, fret_m, 0.03e-3}};
    const Set set = prepared(e);
    return read_life(set.seen, set.ask, curve(), 1);
  };
  const LifeReading blank = none_of(0, false), fresh = none_of(0, true), worn = none_of(0.4e-3, true);
  EXPECT_NEAR(blank.play_chance[0], 0.11, 0.05);
  EXPECT_FALSE(blank.play_known());
  EXPECT_TRUE(blank.life("x", false).touches.empty());
  EXPECT_GT(fresh.play_chance[0], 0.4);
  EXPECT_TRUE(fresh.play_known()) << "frets without wear after fifty years show that it was hardly played";
  EXPECT_TRUE(fresh.life("x", false).touches.empty());
  EXPECT_TRUE(worn.play_known());
  EXPECT_LT(worn.play_chance[0], 0.02);
  EXPECT_FALSE(worn.life("x", false).touches.empty());
}

TEST(Life, APaleSpotThatDoesNotFitIsNamed) {
  LifeEvidence e;
  e.age_s = 60 * unit::year.scale;
  e.yellow = {{"top, bass side", "top", Exposure::open, 44, {}, Lamp::D65, Observer::deg10, 1.5, 60e-6},
              {"top, treble side", "top", Exposure::open, 45, {}, Lamp::D65, Observer::deg10, 1.5, 60e-6},
              {"top, under the bridge", "top", Exposure::covered, 12, {}, Lamp::D65, Observer::deg10, 1.5, 60e-6},
              {"headstock face", "top", Exposure::open, 20, {}, Lamp::D65, Observer::deg10, 1.5, 60e-6}};
  const Set odd = prepared(e);
  const LifeReading r = read_life(odd.seen, odd.ask, curve(), 1);
  ASSERT_EQ(r.conflicts.size(), 1u);
  EXPECT_EQ(r.conflicts[0].about, "headstock face");
  EXPECT_LT(r.conflicts[0].times, 0.5);
  EXPECT_NE(r.conflicts[0].in_words.find("of the light"), std::string::npos) << r.conflicts[0].in_words;
}

TEST(Life, SameSeedSameAnswer) {
  const Set all = prepared(survey());
  const auto once = posterior_draws(all.seen, all.ask, curve(), 3, {2, 50, 50, 2}),
             again = posterior_draws(all.seen, all.ask, curve(), 3, {2, 50, 50, 2});
  EXPECT_EQ(once, again);
}

TEST(Life, BadEvidenceIsRefusedWithItsPlace) {
  LifeEvidence e = survey();
  e.yellow[0].lab = {80, 0, 20};
  e.sheen[0].gloss_60.reset(), e.sheen[0].card_below = 50, e.sheen[0].card_above = 40;
  e.film_wear[0].left_m = 100e-6;
  Ask ask;
  const auto found = sightings_of(e, ask);
  ASSERT_FALSE(found);
  ASSERT_EQ(found.errors().size(), 3u);
  EXPECT_EQ(found.errors()[0].where.key, "yellow[1]");
  EXPECT_EQ(found.errors()[1].where.key, "sheen[1].card_below");
  EXPECT_EQ(found.errors()[2].where.key, "film_wear[1].left_um");
}

}  // namespace
}  // namespace witnessline::history
