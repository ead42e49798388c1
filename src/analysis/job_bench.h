// The bench a job sets up: its woods, tins and histories of use, what the parts on it shelter, and the finish on it.
#pragma once

#include <optional>
#include <vector>

#include "bench/existing.h"
#include "job/job.h"
#include "view/fittings.h"

namespace witnessline::analysis {

/// The bench a job's plans run on; without shelter, which takes looking over the whole body: shelter_of().
Bench bench_of(const Job&, const Body&, const Library&);

/// The finish as it would be found today had nobody refinished it: the original coats alone, with the light and grime
/// they have had, also where a coat's `except` says that it is missing now (cavities and binding stay bare). ESTIMATE.
/// Nothing where no coat is original. Errors: as existing_film().
Result<std::optional<Film>> as_if_untouched(const Job&, const Bench&);

/// Stand-ins for the parts a job lists, for pictures.
FittingMesh fittings_of(const Job&, const Body&);
/// What those parts, and what each says it covers, keep from every vertex in use.
std::vector<Shelter> shelter_of(const Job&, const Body&);
/// Of the parts that have no place: they are neither drawn nor shelter anything.
std::vector<Note> notes_on_parts(const Job&);

}  // namespace witnessline::analysis
