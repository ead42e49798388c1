// What the fuzzers share. Whatever a reader is given, it returns: a value that makes sense, or errors a person can
// read.
#pragma once

#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <string>

#include "base/result.h"

namespace witnessline {

inline void must(bool holds, const char* what) {
  if (holds) return;
  std::fprintf(stderr, "must hold: %s\n", what);
  std::abort();
}

inline void must_have_reason(const std::vector<base::Error>& errors) {
  must(!errors.empty(), "a refusal names at least one error");
  for (const base::Error& error : errors) {
    must(!error.what.empty(), "an error says what is wrong");
    must(error.where.line >= 0 && error.where.column >= 0, "places count from 1");
  }
}

}  // namespace witnessline

#define FUZZ(bytes)                                                                   \
  static void take(const std::string& bytes);                                         \
  extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) { \
    take(std::string(reinterpret_cast<const char*>(data), size));                     \
    return 0;                                                                         \
  }                                                                                   \
  static void take(const std::string& bytes)
