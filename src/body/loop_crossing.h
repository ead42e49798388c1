// Where a traced loop crosses itself.
#pragma once

#include <optional>

#include "body/svg.h"

namespace witnessline::body {

/// A place where two stretches of a closed loop cross, if any do [m]. Curves are taken as 12 chords each, straight ones
/// as one.
std::optional<Vec2d> crossing_of(const Loop& loop);

}  // namespace witnessline::body
