// Tape ridges: where wet film met the edge of a tape.
#pragma once

#include "film/film.h"

namespace witnessline::bench {

/// One polyline for each run of tape edge that `laid_m` (dry film a vertex) met; its height is the mean film beside it.
std::vector<Mark> tape_ridges(const Film&, const Body&, const std::vector<float>& laid_m, const std::string& made_by);

}  // namespace witnessline::bench
