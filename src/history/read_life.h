// read_life: the life the untouched parts tell of, as a distribution; how much of it is prior, and what does not fit.
#pragma once

#include <cstdint>

#include "base/figure.h"
#include "history/history_sample.h"

namespace witnessline::history {

/// One quantity of a life, SI.
struct LifeQuantity {
  double middle = 0;  ///< median
  Band band;          ///< 95 %
  double usual_middle = 0;
  Band usual;              ///< 95 % before anything is looked at: what any instrument of that age may have had
  double prior_share = 1;  ///< weight of the prior in the answer: variance after over variance before, on its own scale
  double bits = 0;         ///< information in the evidence: half the binary logarithm of the inverse of that
};

/// How much it was played; hours as such cannot be known. ESTIMATE: below 200, 2000 and 8000 hours in all, and more.
enum class Play { none, light, medium, heavy };
constexpr auto words(const Play*) { return std::array{"none", "light", "medium", "heavy"}; }
Play play_of(double hours_s);
inline constexpr std::array play_limits_h{200.0, 2000.0, 8000.0};
/// More of the answer than this is prior: nothing is known of it.
inline constexpr double nothing_known = 0.8;
/// How far up the four words hours of play come: 0 to 1, each word a quarter; by factors from light on.
double along_words(double hours_s);

/// An item of evidence that does not share the life of the others.
struct Conflict {
  std::string about;
  Driver driver{};
  double chance = 0;  ///< that it is a stray
  double times = 1;   ///< of what the others say, it has had
  Band band;          ///< 95 %
  std::string in_words;
};

struct LifeReading {
  LifeQuantity age_s, light_lx_s, play_s, shocks, coldest_K, humidity_swing, cased_share, grime_kg_m2;
  /// Hours narrowed, or a quarter of the chances moved from one word to others: frets without wear show that.
  bool play_known() const;
  std::array<double, 4> play_chance{};        ///< none, light, medium, heavy
  std::array<double, 4> usual_play_chance{};  ///< before anything is looked at
  std::array<LifeQuantity, touch_count> touch_s;
  std::vector<Conflict> conflicts;
  double scale_reduction = 1;  ///< of the chains, worst quantity
  std::vector<Note> notes;

  /// Middle of everything, as bench steps take it; what touched it: the usual things, a strap's with a strap; nothing
  /// where nothing tells of play.
  Life life(const std::string& id, bool strap) const;
};

/// Chains less unlike than this agree. Source: gelman1992.
inline constexpr double converged_below = 1.1;

/// How hard the sampler works.
struct Effort {
  int chains = 4, burn = 250, draws = 750, thin = 4;
};

/// Draws of z from all that is known. Law: elliptical slice sampling about a normal guess at the mode.
/// Source: murray2010, nishihara2014. Deterministic for a seed.
std::vector<std::vector<std::vector<double>>> posterior_draws(const std::vector<Observation>&, const Ask&,
                                                              const YellowCurve&, std::uint64_t seed,
                                                              const Effort& = {});

/// Law: Bayes' theorem; likelihoods with a stray in twenty; conflicts by leaving the likeliest stray out and asking how
/// much of its driver the rest of the life must have had there. Valid: up to about forty items.
LifeReading read_life(const std::vector<Observation>&, const Ask&, const YellowCurve&, std::uint64_t seed,
                      const Effort& = {});

}  // namespace witnessline::history
