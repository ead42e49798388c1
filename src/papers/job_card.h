// The job card: one plan's steps in order with the numbers a person needs at the bench.
#pragma once

#include <string>

#include "job/outcome.h"

namespace witnessline::papers {

std::string job_card(const Plan&, const PlanOutcome&, const Job&, BenchUnits);

/// Where a step acts, in words: "front treble, edge; not binding".
std::string where_words(const Where&);

}  // namespace witnessline::papers
