#include "jobs.h"

FUZZ(bytes) {
  std::vector<witnessline::base::Error> faults;
  const auto tree = witnessline::job::read_json(bytes, "request", faults);
  if (!faults.empty()) return witnessline::must_be_told(faults);
  witnessline::must_read_back(tree, witnessline::job::print_json(tree), witnessline::job::read_json);
}
