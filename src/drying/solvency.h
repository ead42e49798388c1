// Does a thinner dissolve what binds a paint: asked before it is poured in, and while the coat dries.
#pragma once

#include <vector>

#include "drying/wet_coat.h"

namespace witnessline::drying {

/// Paints whose makers' thinner alone goes in: a dispersion, or a mix that cures by its own recipe.
bool makers_thinner_only(Binder);

/// A thinner by itself, and stirred in.
struct Solvency {
  Judged thinner, blend;
  /// The thinner is made of what carries the paint in its tin: it goes in, whatever the figures say.
  bool own_carrier = false;
  std::vector<Note> notes;  ///< for a person who would pour it in; none where it dissolves
};
/// Law: what carries the paint in its tin goes in; else BlendJudge. Source: common_practice, astm_d1720, hansen2007.
/// Departs: before anything has left it; a blend may still fall out while it dries. Where practice and the sphere of
/// solubility parameters differ, practice rules and a Note says why they differ. A paint without a sphere, or one of
/// makers_thinner_only() with a thinner that is not its own, is not judged: a Note says so.
Solvency solvency_of(const GunMix&);

/// What is left of a coat's solvents while it dries: does it go on dissolving what binds the paint. A paint in its own
/// carrier does. `notes`: where it turns for the worse; none where it stays.
struct LeftSolvency {
  Staying staying = Staying::stays;
  std::vector<Note> notes;
};
LeftSolvency solvency_while_drying(const GunMix&, const WetCoat&);

/// Why a blend is judged as it is: "its true solvents carry 40 % of what they could".
std::string reason_in_words(const Judged&);

}  // namespace witnessline::drying
