// Does a thinner dissolve what binds a paint: asked before it is poured in.
#pragma once

#include <vector>

#include "drying/carrier.h"
#include "solvents/blush.h"

namespace witnessline {

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

}  // namespace witnessline
