// The order of ageing: what must not be done over what, place by place, and why.
#pragma once

#include <vector>

#include "base/result.h"
#include "bench/step.h"
#include "body/body.h"

namespace witnessline::bench {

/// Faults of a plan that ages a finish out of order: flat, buff, check, wear and knock back, grime, tone. A new coat
/// over a place begins again there; wear laid by hand, without a life, may come whenever it is wanted. Keys are
/// "steps.<id>.do". Source: common_practice. Departs: the overhang of tape is not counted.
std::vector<Error> faults_of_order(const Plan&, const Body&);

}  // namespace witnessline::bench
