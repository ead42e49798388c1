// Words for what the evidence says against itself.
#pragma once

#include <string>

#include "base/figure.h"
#include "history/history_sample.h"

namespace witnessline::history {

/// "a third of", "twice".
std::string times_in_words(double times);

/// "the plate, open, has seen a third of the light the rest has (a fifth to a half): replaced, or moved."
std::string conflict_in_words(const Observation&, double times, const Band&);

}  // namespace witnessline::history
