// What is not known of wear and checks on old instruments, before practice and after it.
#pragma once

#include <array>
#include <string>

#include "materials/life.h"

namespace witnessline::bench {

/// In the order of data/practice/wear_unknowns.csv.
enum class WearUnknown {
  film_wear,         ///< times Archard's K of skin, cloth and leather against a film in postures.cpp [1]
  buckle_wear,       ///< the same of a buckle [1]
  pick_wear,         ///< the same of picks and nails [1]
  wood_wear_soft,    ///< K of bare wood over that of a film, under skin, cloth and leather [1]
  wood_wear_hard,    ///< the same under picks and buckles [1]
  fret_wear,         ///< into nickel silver under plain strings [mm per 1000 h]
  fingerboard_wear,  ///< into rosewood [mm per 1000 h]
  hardly_played,     ///< share of instruments that were hardly ever played [1]
  check_distance,    ///< of parallel checks, decades old [mm]
};
constexpr auto words(const WearUnknown*) {
  return std::array{"film_wear", "buckle_wear",      "pick_wear",     "wood_wear_soft", "wood_wear_hard",
                    "fret_wear", "fingerboard_wear", "hardly_played", "check_distance"};
}

/// A positive quantity, normal in its logarithm; `value` in the unit of the enum's comment.
struct ConditionedWear {
  double prior = 0, prior_sd_ln = 0, value = 0, sd_ln = 0;
  std::string unit, moves;  ///< `moves`: the answers that move with it
};
/// ESTIMATE, conditioned on practice by tools/condition_wear (data/practice/wear_unknowns.csv).
const ConditionedWear& wear_unknown(WearUnknown);

/// Which of them multiplies K of a touch: `hard`, of a pick or a buckle.
WearUnknown wear_of(Touch, bool hard);

/// How fast a touch wears nitrocellulose lacquer on a plain slab where it wears most [m in an hour against it].
/// ESTIMATE: contact with K as practice has it, worked out by tools/condition_wear (data/practice/wear_paces.csv).
double film_pace_m_h(Touch);

}  // namespace witnessline::bench
