// What is said of a thinner: its figures, its sentences, its curves.
#pragma once

#include <span>

#include "app/verbs/thin.h"
#include "solvents/cup.h"
#include "solvents/thinner.h"
#include "solvents/viscosity.h"

namespace witnessline::app {

ThinnerSaid said_of(const ThinnerTrial&, std::span<const ShelfSolvent>, const SprayedFilm&);
/// "40 butyl_acetate, 60 mek"
std::string parts_in_words(const ThinnerSaid&);
/// Does the film former stay in solution to the end.
std::string clearness_sentence(const ThinnerSaid&);
/// Does it draw water at this humidity.
std::string blush_sentence(const ThinnerSaid&, double humidity_frac, BenchUnits);

/// The drying film of one thinner, as curves.
void add_curves(std::vector<Curve>&, const ThinnerRun&, const SprayedFilm&);
/// Cup seconds against thinner, where the cup can be trusted.
Curve seconds_curve(const SolutionViscosity&, const Cup&, double temperature_K, double until_ratio, std::string name);
/// What shares of a retarder buy, as curves and a sentence.
std::string add_retarder(const std::vector<ShelfSolvent>&, const std::vector<double>& shares, const Volatile& retarder,
                         const SprayedFilm&, const ThinnerWishes&, std::vector<Curve>&);

}  // namespace witnessline::app
