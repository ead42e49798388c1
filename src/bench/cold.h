// Cold at the bench: what a freezer does with a film that is not dry, and what cold does to people and instruments.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/result.h"
#include "bench/step.h"
#include "cracking/driving.h"
#include "materials/material.h"

namespace witnessline::bench {

inline constexpr double freezer_m3 = 0.25;            ///< a household chest freezer
inline constexpr double explosive_share_most = 0.25;  ///< of the lower explosive limit; Source: cfr1910_94, (c)(6)(ii)
/// Solvent over dry volume above which a film is not cured: it is soft, prints and hardly checks (ESTIMATE, 0.04 to
/// 0.08): films called cured at eight weeks hold 2 to 4 % by mass (common practice), by volume nearly twice that.
inline constexpr double cured_solvent_ratio = 0.06;

/// A film younger than this is soft and still shrinks: cold prints and wrinkles it rather than checks it. Common
/// practice: four to eight weeks before anything hard is asked of a finish.
inline constexpr double youngest_cooled_s = 28 * 86400.0;
/// Any film has seen its room this much colder: nights, a window open (ESTIMATE, 3 to 8).
inline constexpr double room_swing_K = 5;

struct FilmToCool {
  ColdBy by{};
  double age_s = 0;                     ///< of its youngest coat
  std::optional<double> solvent_ratio;  ///< over its dry volume; absent: not known
  double solvent_kg = 0;
  std::optional<double> share_of_limit;  ///< of the explosive limit, all of it vapour in a freezer
};
/// Why such a film is not to be cooled, with what to do; empty: it may be. The plan's step and the question both ask
/// this.
struct ColdRefused {
  std::string why, instead;
};
std::optional<ColdRefused> why_not_cooled(const FilmToCool&);

/// What a film goes through from the room into this cold and back.
ColdHistory history_of_cold(double to_K, int shocks, ColdBy, double room_K, double wood_m);

/// The solvent that stands for what such a film still holds: of what it was laid in, the worst for a freezer.
const Material* solvent_left_in(Binder, const Library&);

/// Cautions of cooling a finish, by what cools it. Source: common_practice.
std::vector<Note> cold_cautions(ColdBy, const std::string& about);

/// "about 41 % of the explosive limit"; what is not known is told as not safe.
std::string freezer_words(double solvent_kg, std::optional<double> share_of_limit);

}  // namespace witnessline::bench
