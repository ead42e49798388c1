// Bands of an Outcome: the plan run again and again on a coarse body, with the library, the survey and the hand drawn
// anew.
#pragma once

#include "job/job.h"
#include "job/outcome.h"

namespace witnessline::analysis {

/// How many reruns make a band: the fewest of which the ends hold 95 % between them, 38 of 40 (order statistics). Each
/// end is good to about a fifth of its distance from the middle.
inline constexpr int band_draws = 39;

/// The plan as another hand would carry it out: draw `i` of what its steps say varies (bench/traits.h).
/// ESTIMATE: see docs/estimates.md, "The hand".
Plan drawn(const Plan&, std::uint64_t seed, int i);

/// Existing coats as another survey might have found them: draw `i` of each coat's mean thickness.
std::vector<ExistingCoat> drawn(const std::vector<ExistingCoat>&, std::uint64_t seed, int i);

/// 95 % band of a figure from how far each draw moved it, held to what the quantity can be. What may fall below zero,
/// as what is left in a tin, does: a shortage is shown. Law: draws number 0.025 (n + 1) and 0.975 (n + 1) in order.
/// Departs: of fewer than `band_draws` it is the least and the most, (n - 1) / (n + 1) of all: 90 % of 20.
Band band_around(double value, std::vector<double> shifts, double lowest, double highest);

/// The chance that a plan can be carried out as planned, from the draws in which a step was refused, and a caution with
/// the commonest reason.
void add_refusals(PlanOutcome&, const std::vector<Error>& refusals, int draws);

/// Gives every figure of `outcome` the band by which it moved in the reruns on `coarse`, the same body at a wide pitch,
/// and the plan its chance of being carried out.
void add_bands(PlanOutcome& outcome, const Plan&, const Job&, const Library&, const Body& coarse);

}  // namespace witnessline::analysis
