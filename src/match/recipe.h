// One candidate as a recipe: rounded to the scale, with everything that is said of it.
#pragma once

#include "match/setting.h"

namespace witnessline::match {

/// What is weighed for, and with what.
struct RecipeMaking {
  const std::vector<Tin>& shelf;
  const Aim& aim;
  const LaidFilm& laying;
  const Weighing& weighing;
  const SearchProblem& problem;
};

/// Everything but what it was chosen for.
Recipe recipe_of(const RecipeMaking&, const Candidate&);

/// The masses [kg] whose rounding to the scale costs least, of those that sum to the batch to the step, where the
/// stock allows any; every mass goes up or down to the next step.
std::vector<double> rounded_masses(const RecipeMaking&, const Candidate&, double batch_kg);

/// Closeness with each weighing off by half a step, at the worst of all signs.
double half_step_closeness(const RecipeMaking&, const Candidate&, double batch_kg);

/// Closeness of masses [kg] of a candidate's colorants.
double closeness_of(const RecipeMaking&, const Candidate&, const std::vector<double>& mass_kg);

}  // namespace witnessline::match
