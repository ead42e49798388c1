// The library of materials, read once; a job is read with it as the program reads one.
#pragma once

#include "base/tree.h"
#include "fuzz.h"
#include "job/files.h"
#include "job/read.h"
#include "materials/material.h"

namespace witnessline {

inline const materials::Library& library() {
  static const auto read = materials::read_library(PROJECT_FOLDER "/data");
  must(static_cast<bool>(read), "the program's own materials are read");
  return *read;
}

/// What prints must read back as the same, or the next one to open the file sees another job.
inline void must_read_back(const base::Tree& tree, const std::string& printed, decltype(base::read_json) read) {
  std::vector<base::Error> faults;
  const base::Tree again = read(printed, "again", faults);
  must(faults.empty(), "what was printed is read");
  must(again == tree, "what was printed reads back as the same");
}

}  // namespace witnessline
