// Bands of an Outcome: the plan run again and again on a coarse body, with the library, the survey and the hand drawn
// anew.
#pragma once

#include "app/work.h"

namespace witnessline::app {

/// How many reruns make a band; 95% ends of 32 draws are good to about a sixth of the band (order statistics).
inline constexpr int band_draws = 32;

/// The plan as another hand would carry it out: draw `i` of the spread of wet film, transfer and cutting depth.
/// ESTIMATE: see docs/estimates.md, "The hand".
Plan drawn(const Plan&, std::uint64_t seed, int i);

/// Existing coats as another survey might have found them: draw `i` of each coat's mean thickness.
std::vector<ExistingCoat> drawn(const std::vector<ExistingCoat>&, std::uint64_t seed, int i);

/// Widens every figure of `outcome` by what moved in the reruns on `coarse`, the same body at a wide pitch.
void add_bands(PlanOutcome& outcome, const Plan&, const Job&, const Library&, const Body& coarse);

}  // namespace witnessline::app
