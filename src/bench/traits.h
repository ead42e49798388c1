// Traits: what a step does, as the safety gate, the order of work, the air, the cards and the uncertainty bands ask it.
#pragma once

#include <concepts>
#include <limits>
#include <optional>
#include <string_view>
#include <variant>

#include "body/where.h"

namespace witnessline::bench {

enum class Cuts : bool { no, yes };    ///< takes finish or wood off, by any tool or solvent
enum class Wets : bool { no, yes };    ///< brings solvent, paint or cleaner to the work, and books it
enum class Heats : bool { no, yes };   ///< warms the film above heated_K: friction, lamp, hot air
enum class Chills : bool { no, yes };  ///< cools the film below freezing
enum class Ages { no, yes, as_play };  ///< shows age; as_play: by taking off what hands and clothes would

/// What comes off the work into the air, or runs down from it.
enum class Sheds { nothing, slurry, dust, mist };

/// What the hand holds.
enum class Tool { none, hand, blade, wheel, gun };

/// What a step does to a place as far as the order of work goes. From `flats` on, each comes before the next.
enum class SurfaceEffect { none, masks, unmasks, wipes, renews, flats, buffs, checks, wears, soils };

/// What a step lays. Views into the step.
struct CoatLaid {
  std::string_view mixture;
  int coats = 1;
  double wet_m = 0;  ///< wet film of one coat
};
inline constexpr std::optional<CoatLaid> no_coat = std::nullopt;

/// Time in which solvent leaves and nobody works.
struct Rest {
  double duration_s = 0;
  std::optional<double> temperature_K;  ///< absent: the shop's
};
inline constexpr std::optional<Rest> no_rest = std::nullopt;

inline constexpr double heated_K = 313.15;  ///< 40 degC: warmer than a drying room (common practice, no source)
inline constexpr double freezing_K = 273.15;

/// Everything that is asked of a step whatever its kind. Views into the step: not kept longer than it. All must be
/// given, each of a type of its own, so that a step which leaves one out does not compile.
struct Traits {
  constexpr Traits(Cuts c, std::optional<CoatLaid> coat, Wets w, Heats h, Chills cold, Sheds s, Tool t, Ages a,
                   SurfaceEffect e, const Where* place, std::optional<Rest> rest)
      : cuts(c == Cuts::yes),
        wets(w == Wets::yes),
        heats(h == Heats::yes),
        chills(cold == Chills::yes),
        ages(a != Ages::no),
        wears(a == Ages::as_play),
        sheds(s),
        tool(t),
        surface(e),
        lays(coat),
        rests(rest),
        where(place) {}
  bool cuts, wets, heats, chills, ages, wears;
  Sheds sheds;
  Tool tool;
  SurfaceEffect surface;
  std::optional<CoatLaid> lays;
  std::optional<Rest> rests;
  const Where* where;  ///< nullptr: the whole room
};

/// Relative standard deviations of one operation of a practised hand.
/// ESTIMATE, no published spread was found (docs/estimates.md, "What is known at one place, and of a hand's work").
namespace hand {
inline constexpr double sprayed_sd = 0.10, transfer_sd = 0.12, cut_sd = 0.25, unwanted_sd = 0.50;
inline constexpr double keying_sd = 0.35;  ///< P220 takes 10 to 25 um where nobody says how deep (common practice)
}  // namespace hand

/// Visits the inputs of a step that vary from hand to hand: name, value [SI], relative sd, lowest, highest.
class VariedInput {
 public:
  virtual void operator()(std::string_view name, double& value, double relative_sd, double lowest = 0,
                          double highest = std::numeric_limits<double>::infinity()) = 0;

 protected:
  ~VariedInput() = default;
};

}  // namespace witnessline::bench
