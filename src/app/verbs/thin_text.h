// What is said of a thinner: its figures, its sentences, its curves.
#pragma once

#include <span>

#include "app/verbs/thin.h"
#include "drying/wet_coat.h"
#include "solvents/cup.h"
#include "solvents/thinner.h"
#include "solvents/viscosity.h"

namespace witnessline::app {

/// A thinner in the tin's coat, as wet_coat() has it.
/// A trial by the figures of its coat as sprayed, which is what `lay` answers too; against the first so corrected.
ThinnerTrial as_sprayed(ThinnerTrial, const WetCoat&, const Airflow&, const ThinnerWishes&, const ThinnerTrial* first);
ThinnerResult result_of(const ThinnerTrial&, std::span<const ShelfSolvent>, const WetCoat&);
/// "40 butyl_acetate, 60 mek"
std::string parts_in_words(const ThinnerResult&);
/// Does the film former stay in solution to the end. `own_carrier`: the paint is sold in this thinner.
std::string clearness_sentence(const WetCoat&, bool own_carrier);

/// The drying film, as curves.
void add_curves(std::vector<Curve>&, const WetCoat&);
/// Cup seconds against thinner, where the cup can be trusted.
Curve seconds_curve(const SolutionViscosity&, const Cup&, double temperature_K, double until_ratio, std::string name);
/// What shares of a retarder buy, as curves and a sentence.
std::string add_retarder(const std::vector<ShelfSolvent>&, const std::vector<double>& shares, const Volatile& retarder,
                         const SprayedFilm&, const ThinnerWishes&, std::vector<Curve>&);

}  // namespace witnessline::app
