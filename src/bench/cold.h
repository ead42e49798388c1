// Cold at the bench: what a freezer does with a film that is not dry, and what cold does to people and instruments.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/result.h"
#include "bench/step.h"
#include "materials/material.h"

namespace witnessline::bench {

inline constexpr double freezer_m3 = 0.25;            ///< a household chest freezer
inline constexpr double explosive_share_most = 0.25;  ///< of the lower explosive limit; Source: cfr1910_94, (c)(6)(ii)
/// Solvent over dry volume above which a film is not cured: it is soft, prints and hardly checks (ESTIMATE, 0.02 to
/// 0.06).
inline constexpr double cured_solvent_ratio = 0.03;

/// The solvent that stands for what such a film still holds: of what it was laid in, the worst for a freezer.
const Material* solvent_left_in(Binder, const Library&);

/// Cautions of cooling a finish, by what cools it. Source: common_practice.
std::vector<Note> cold_cautions(ColdBy, const std::string& about);

/// "about 41 % of the explosive limit"; what is not known is told as not safe.
std::string freezer_words(double solvent_kg, std::optional<double> share_of_limit);

}  // namespace witnessline::bench
