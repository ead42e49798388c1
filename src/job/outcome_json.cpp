#include "job/outcome.h"
#include "job/write.h"

namespace witnessline {

std::string outcome_json(const Outcome& outcome) { return to_json(outcome, 1) + "\n"; }

}  // namespace witnessline
