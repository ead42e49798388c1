// Weighing: a card sprayed alongside and weighed while it dries tells how fast this shop's film really dries.
#pragma once

#include <string>
#include <vector>

#include "drying/forecast.h"

namespace witnessline::drying {

struct CardWeighing {
  double at_s = 0;  ///< since the first coat
  double mass_kg = 0;
};

/// A card with the same coats as the piece, and what it weighed.
struct WeighedCard {
  double area_m2 = 0.015;               ///< of the coated face: 100 x 150 mm
  std::optional<double> bare_kg;        ///< before the first coat; absent: only losses count
  double resolution_kg = 1e-5;          ///< one division of the scale
  std::vector<CardWeighing> weighings;  ///< by time
};

struct CardFit {
  Belief belief;                    ///< after the weighings
  bool fitted = true;               ///< false: too few draws fit, the belief is the usual one
  std::vector<double> modelled_kg;  ///< at each weighing used, card included
  std::vector<CardWeighing> used;
  double worst_kg = 0;  ///< largest difference between weighed and modelled
  double bare_kg = 0;   ///< weighed, or as it comes out
  int rounds = 0;
  double draws_worth = 0;   ///< how many independent draws the weighted ones are worth
  std::vector<Note> notes;  ///< weighings left out and what was assumed
};

/// Mass of a card's film [kg]. Law: dry volume x dry density + solvent volume x its density.
double film_mass_kg(const DryingCase&, const Draw&, const DriedMoment&, double area_m2);

/// Refits what is not known to the weighings.
/// Law: the most probable draw: least of |draw|^2 + sum ((weighed - modelled)/sd)^2 by Gauss and Newton with halved
/// steps; around it draws from the normal distribution with the curvature there, weighted by how probable each really
/// is, three times over with the weighted draws' own spread, and picked in proportion. sd: half a division of the scale
/// and 0.2 % of the dry film (the model is not the film; ESTIMATE) together. Source: gelman2013, ch. 4 and 10
/// (importance resampling). A weighing heavier than the one before by more than two divisions, with no coat laid
/// between, is left out with a Note: solvent does not come back, so dust, damp or the scale is assumed. Errors: fewer
/// than two weighings left, times out of order or before the first coat, a card lighter than it was bare, a worst miss
/// past ten sd (ESTIMATE). Fewer than 20 independent draws (ESTIMATE): the usual belief, unfitted, with a Note.
Result<CardFit> fit_card(const DryingCase&, const WeighedCard&);

}  // namespace witnessline::drying
