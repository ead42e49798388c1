// The plans of a job: each step's settings, and the coats and lives it names.
#pragma once

#include "job/rules.h"

namespace witnessline::job {

/// `plans`: the list in the file.
void check_plans(const JobRules&, const At& plans);

}  // namespace witnessline::job
