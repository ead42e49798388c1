// The job card for ageing: place by place, how deep to cut and where to stop, which rings to expect, in what order,
// what cannot be undone, and what to do where it was rubbed through.
#pragma once

#include <string>

#include "job/outcome.h"

namespace witnessline::papers {

/// Empty for a plan that ages nothing.
std::string ageing_card(const Plan&, const PlanOutcome&, const Job&, BenchUnits);

}  // namespace witnessline::papers
