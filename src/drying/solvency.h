// Does a thinner dissolve what binds a paint: asked before it is poured in.
#pragma once

#include <optional>
#include <vector>

#include "drying/carrier.h"
#include "solvents/blush.h"

namespace witnessline::drying {

/// Paints whose makers' thinner alone goes in: a dispersion, or a mix that cures by its own recipe.
bool makers_thinner_only(Binder);

/// A thinner by itself, and stirred in.
struct Solvency {
  double thinner_difference = 0, blend_difference = 0;  ///< relative energy differences
  Staying thinner{}, blend{};
  std::vector<Note> notes;  ///< for a person who would pour it in; none where it dissolves
};
/// Law: Ra/R0 of the volume averages. Source: hansen2007, Eq. 1.9, 1.10. Departs: before anything has left it; a blend
/// may still fall out while it dries. A paint without a sphere, or one of makers_thinner_only(), is not judged: a Note
/// says so.
Solvency solvency_of(const Material& paint, const CarrierBlend& thinner, const CarrierBlend& all);

/// What is left of a coat's solvents while it dries: does it go on dissolving what binds the paint.
struct LeftSolvency {
  std::vector<double> time_s;
  Solubility along;  ///< at those moments
  Staying staying{};
  std::vector<Note> notes;  ///< where it turns for the worse; none where it stays
};
/// Law: the coat dries by evaporate(), Ra/R0 of the volume average of what is left. Source: hansen2007, Eq. 1.9, 1.10.
/// Departs: as solubility_along(). None: a paint without a sphere, one of makers_thinner_only(), or a solvent too
/// little is known of.
std::optional<LeftSolvency> solvency_while_drying(const Material& paint, const CarrierBlend& all, double solvent_m,
                                                  double film_m, const Draught&);

}  // namespace witnessline::drying
