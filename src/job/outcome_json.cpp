#include "job/outcome.h"
#include "job/write.h"

namespace witnessline::job {

std::string outcome_json(const Outcome& outcome) { return to_json(outcome, 1) + "\n"; }

}  // namespace witnessline::job
