// The order of ageing: what must not be done over what, place by place, and why.
#pragma once

#include <vector>

#include "base/result.h"
#include "bench/run.h"
#include "bench/step.h"
#include "body/body.h"

namespace witnessline::bench {

/// Faults of a plan that ages a finish out of order: flat, buff, check, wear and knock back, grime, tone. A new coat
/// over a place begins again there; wear laid by hand, without a life, may come whenever it is wanted. Keys are
/// "steps.<id>.do". Source: common_practice. Departs: the overhang of tape is not counted.
std::vector<Error> faults_of_order(const Plan&, const Body&);

/// What is wrong with one step whatever was done before it: places that are not on the body, paints that are not there,
/// thinners that do not go with them. `before`: the film without tape or plugs. Keys begin with "steps.<id>".
std::vector<Error> faults_of_settings(const PlannedStep&, const Film& before, const Bench&);

}  // namespace witnessline::bench
