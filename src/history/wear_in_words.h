// Words for places on the body and for wear beside contact.
#pragma once

#include <string>
#include <vector>

#include "history/wear_plausibility.h"

namespace witnessline::history {

/// Regions a vertex lies in, for a person to find it. On the centre line it is of neither side.
std::vector<std::string> regions_of(const Body&, std::uint32_t vertex);

/// "front, bass, lower bout; 90 mm up from the tail end, 110 mm to the bass side", to 5 mm: a mesh is no finer.
std::string place_in_words(const WornPlace&);
std::string place_in_words(Vec3 at, const Body&);

/// What is to be said of wear beside contact, the worst first; empty: nothing.
std::vector<Note> notes_on_wear(const WearPlausibility&);

}  // namespace witnessline::history
