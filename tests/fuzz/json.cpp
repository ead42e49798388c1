#include "jobs.h"

FUZZ(bytes) {
  std::vector<witnessline::base::Error> faults;
  const auto tree = witnessline::base::read_json(bytes, "request", faults);
  if (!faults.empty()) return witnessline::must_be_told(faults);
  witnessline::must_read_back(tree, witnessline::base::print_json(tree), witnessline::base::read_json);
}
