// The safety sheet: what can hurt in one plan, what was answered, the air it asks for, and what goes where afterwards.
#pragma once

#include <string>

#include "job/outcome.h"
#include "papers/page.h"

namespace witnessline::papers {

/// A page of its own.
std::string safety_sheet(const PlanOutcome&, const Job&, Workings&);

/// "spray it with a respirator", for a verdict on the air.
std::string verdict_words(AirVerdict);

}  // namespace witnessline::papers
