// What a job must hold beyond the form of each key: names that exist, sums, dates, things that go together.
#pragma once

#include "job/job.h"
#include "job/read.h"

namespace witnessline::job {

/// `tree` is what the job was read from, for the places of the faults; `this_year` 0: not known.
void check_job(const Job&, const Tree& tree, const Library&, int this_year, Faults&);

}  // namespace witnessline::job
