// What a step or an answer about an instrument handles: its paint, and the coats found on the body.
#pragma once

#include <string>
#include <vector>

#include "bench/existing.h"
#include "bench/step.h"
#include "safety/handled.h"

namespace witnessline::safety {

/// Adds the materials of a mixture of the job or of a material of the library; an unknown id adds nothing.
void add_paint(std::vector<Handled>&, const std::string& mixture, const Bench&);

/// Adds what the steps of a plan lay.
void add_plan(std::vector<Handled>&, const Plan&, const Bench&);

/// Adds a coat found on the instrument: its materials, and that it is opaque and of no known age, where it is.
void add_coat(std::vector<Handled>&, const ExistingCoat&, const Bench&);

}  // namespace witnessline::safety
