#include "jobs.h"

// JSON knows no difference between 24 and 24.0, so what is compared is the print.
FUZZ(bytes) {
  std::vector<witnessline::base::Error> faults;
  const auto tree = witnessline::base::read_json(bytes, "request", faults);
  if (!faults.empty()) return witnessline::must_have_reason(faults);
  const std::string printed = witnessline::base::print_json(tree);
  const auto again = witnessline::base::read_json(printed, "again", faults);
  witnessline::must(faults.empty(), "what was printed is read");
  witnessline::must(witnessline::base::print_json(again) == printed, "what was printed reads back as the same");
}
