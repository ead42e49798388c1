// What a person reads of how coats dry: spans of time, what each use is called, when it may begin.
#pragma once

#include <string>

#include "app/verbs/dry.h"

namespace witnessline::app {

/// A time in the unit a person would take, two figures at most: "3 hours", "12 days".
std::string duration_in_words(double s);

/// What one does to the film, in a sentence: "level sanding".
const char* gerund(Use);

/// When one use may begin. A band over a factor of ten is no date: practice is quoted, and what would settle it.
std::string sentence_of(const DryUse&, bool cures);

}  // namespace witnessline::app
