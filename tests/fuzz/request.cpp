#include "jobs.h"

// The request of a verb comes as JSON and is read into described structs, of which a job holds every kind.
FUZZ(bytes) {
  using namespace witnessline;
  std::vector<base::Error> errors;
  const base::Tree tree = base::read_json(bytes, "request", errors);
  if (!errors.empty()) return must_have_reason(errors);
  job::Faults faults{"request", {}};
  job::Job read;
  job::read_into(tree, read, base::Member{}, base::unit::none, "", faults);
  if (faults.count() > 0) return must_have_reason(faults.all());
  (void)job::write_job(read);
}
