// A body made as the program makes it, but coarse: read, repaired, checked for crossings, laid.
#pragma once

#include <cmath>

#include "base/parallel.h"
#include "body/spec.h"
#include "fuzz.h"

namespace witnessline {

inline void build(body::BodySpec spec, const std::string& bytes) {
  static const bool alone = (base::use_threads(1), true);
  (void)alone;
  spec.pitch_m = 0.02;
  const auto made = body::build_body(spec, bytes, "body.file", {});
  if (made)
    must(std::isfinite(made->body.area_m2()) && made->body.area_m2() > 0, "a body has an area");
  else
    must_have_reason(made.errors());
}
inline void build_mesh(const std::string& bytes, const char* unit) {
  body::BodySpec spec;
  spec.mesh = "body.file", spec.mesh_unit = unit;
  build(spec, bytes);
}

}  // namespace witnessline
