// Softness: what the solvent still in a coat means for a hand that cuts it.
#pragma once

#include <optional>

#include "bench/paint.h"
#include "drying/settled.h"

namespace witnessline::bench {

/// The solvent that leaves last from a paint: its binder's usual one, else that of a paint whose binder is not known;
/// nothing where the library lacks both.
std::optional<FilmSolvent> film_solvent_in(const Paint&, const Library&);

/// What its solvent means for a coat of this paint; nothing where its binder is not known.
std::optional<Softness> softness_of(const Paint&, const Library&);

}  // namespace witnessline::bench
