#include "jobs.h"

// The request of a verb comes as JSON and is read into described structs, of which a job holds every kind.
FUZZ(bytes) {
  using namespace witnessline::job;
  std::vector<witnessline::base::Error> errors;
  const Tree tree = read_json(bytes, "request", errors);
  if (!errors.empty()) return witnessline::must_be_told(errors);
  Faults faults{"request", {}, true};
  Job job;
  read_into(tree, job, witnessline::base::Member{}, witnessline::base::unit::none, "", faults);
  if (!faults.list.empty()) return witnessline::must_be_told(faults.list);
  (void)write_job(job);
}
