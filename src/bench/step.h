// Step: one bench operation. A closed set; each kind has a header and a source of its own in bench/steps and is
// registered here by one line: see docs/add_a_step.md.
#pragma once

#include <string>
#include <vector>

#include "bench/steps/check.h"
#include "bench/steps/clean.h"
#include "bench/steps/grime.h"
#include "bench/steps/knock_back.h"
#include "bench/steps/lift.h"
#include "bench/steps/mask.h"
#include "bench/steps/sand.h"
#include "bench/steps/spray.h"
#include "bench/steps/wait.h"
#include "bench/steps/wear.h"
#include "bench/steps/yellow.h"

namespace witnessline::bench {

using Step = OneOf<Clean, Mask, Unmask, Plug, Lift, Spray, MeltIn, Sand, Flat, Buff, Wear, Yellow, Grime, KnockBack,
                   Wait, ColdCheck>;

/// A step of a plan: what is done, under which id, and why.
struct PlannedStep {
  std::string id;   ///< unique in its plan; names the coat it lays
  std::string why;  ///< one line for the job card; may be empty
  Step step;
};

struct Plan {
  std::string id;
  std::string title;
  std::string summary;
  std::vector<PlannedStep> steps;
};

/// "spray", "lift", ...
std::string_view word_of(const Step&);
Traits traits_of(const Step&);
void check(const Step&, StepCheck&);
Headline headline_of(const Step&, const ShowQuantity&);
/// Visits the inputs of a step that vary from hand to hand.
void vary(Step&, VariedInput&);

}  // namespace witnessline::bench
