// What a person must be told of noise in the readings a set of colorants was worked out from.
#pragma once

#include <vector>

#include "match/characterise.h"

namespace witnessline::match {

/// Films that the fit misses, and colorants that would have to absorb less than nothing.
std::vector<Note> describe_noise(const ColorantSet&, const std::vector<FilmReading>&);

}  // namespace witnessline::match
