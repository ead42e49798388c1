// How a coat is called where a person reads of it.
#pragma once

#include <string>

#include "film/film.h"

namespace witnessline::bench {

/// "'old lacquer'" as the survey names it; "'shellac' (step isolate)" of one the plan laid: what it is, and where from.
std::string coat_in_words(const FilmLayer&);

}  // namespace witnessline::bench
