#include "bench/softness.h"

#include "drying/carrier.h"

namespace witnessline::bench {

std::optional<FilmSolvent> film_solvent_in(const Paint& paint, const Library& library) {
  for (const Binder binder : {paint.binder(), Binder::none})
    if (const Material* material = last_to_leave(binder, library))
      if (Result<FilmSolvent> found = film_solvent_of(*material)) return *found;
  return std::nullopt;
}

std::optional<Softness> softness_of(const Paint& paint, const Library& library) {
  const std::optional<FilmSolvent> solvent = film_solvent_in(paint, library);
  if (!paint.main || !solvent) return std::nullopt;
  return softness_of(*paint.main, *solvent);
}

}  // namespace witnessline::bench
