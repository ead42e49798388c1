// Past: one life a surface may have had, with the kinetics nobody has published; and what it would have left to be
// seen.
#pragma once

#include <array>
#include <functional>
#include <string>
#include <vector>

#include "history/evidence.h"
#include "optics/reflectance.h"

namespace witnessline::history {

inline constexpr std::size_t touch_count = 10;

/// E313 that yellowing adds over white, by units of yellowing times film over 60 um.
class YellowCurve {
 public:
  /// Law: reflectance() of the clear on an even white of 0.85, read at 45/0. Departs: other grounds give less; a spread
  /// of 50 % stands for it.
  explicit YellowCurve(const CoatOptics& clear);
  double added(double units) const;

 private:
  std::vector<double> at_;
};

/// What is known before anything is looked at.
struct Ask {
  double age_s = 0, log_sd = 0;  ///< middle and spread of the age
  double channel_ratio = 1;      ///< energy of a check in 60 um cooled 40 K over what the film resists [1]
  std::size_t grounds = 0;
  bool strap = false;
};

/// Every number a past is made of is a standard normal z; this is where each stands.
enum Coordinate : std::size_t {
  z_age,
  z_light,
  z_play,
  z_shocks,
  z_coldest,
  z_swing,
  z_cased,
  z_grime,  // the life itself; below, the kinetics
  z_light_rate,
  z_dark_rate,
  z_string_rate,
  z_board_rate,
  z_film_rate,
  z_aged_dull,
  z_handled_dull,
  z_fresh_face,
  z_tough,
  z_opened,
  z_starters,
  z_seasons,
  z_starters_along,
  z_tarnish,
  z_touch,  // one each; then two a ground
};
inline std::size_t coordinates(const Ask& ask) { return z_touch + touch_count + 2 * ask.grounds; }

struct HistorySample {
  double age_s = 0, light_lx_s = 0, play_s = 0, shocks = 0, coldest_K = 0, humidity_swing = 0, cased_share = 0,
         grime_kg_m2 = 0;
  std::array<double, touch_count> touch_s{};
};
/// The life of z. Law: lognormal and logistic in z about middles of our own (docs/models/life.md). Source: ESTIMATE,
/// spreads at least as wide as their sources differ.
HistorySample past_of(const std::vector<double>& z, const Ask&);

/// Hours of a touch over hours of play, before anything is looked at (ESTIMATE).
double usual_share_of(std::size_t touch);

/// What of a life an item of evidence tells of.
enum class Driver { light, handling, play, cold, seasons, age, dirt };
constexpr auto words(const Driver*) {
  return std::array{"light", "handling", "play", "cold", "seasons", "age", "dirt"};
}

/// One item of evidence as the fit sees it.
struct Observation {
  enum class Kind { yellow, sheen, checks_across, checks_along, string_wear, film_wear, tarnish, dirt };
  Kind kind{};
  Driver driver{};
  std::string name;
  double seen = 0, sd = 1;
  double astray_sd = 1;  ///< how far off it may be where it does not share the life
  double share = 1;      ///< of the light, of the handling; 1 for fret, 0 for fingerboard
  double film_m = 60e-6, over_m = 0;
  std::size_t which = 0;  ///< ground, or touch
};

/// One chance in twenty that an item does not share the life: a changed part, a slip (ESTIMATE).
inline constexpr double astray_chance = 0.05;

/// Everything written down, in the order of its lists. Errors: no reading, both kinds, cards the wrong way round, a Lab
/// or lamp that gives no E313, less whole than left.
Result<std::vector<Observation>> sightings_of(const LifeEvidence&, Ask&);

/// What this past leaves to be seen, in the unit of `seen`; `factor` times as much of its driver for this item alone.
double expected(const Observation&, const std::vector<double>& z, const HistorySample&, const Ask&, const YellowCurve&,
                double factor = 1);
/// Logarithm of how likely what was seen is, given what was expected, strays allowed for.
double log_likelihood(const Observation&, double expected);
/// Chance that this item is a stray, given what was expected.
double stray_chance(const Observation&, double expected);
/// Departure as a number of standard deviations, near enough for a first guess.
double departure(const Observation&, double expected);
/// What would be seen: a draw. `next` gives uniforms.
double seen_drawn(const Observation&, double expected, bool stray, const std::function<double()>& next);

}  // namespace witnessline::history
