#pragma once

#include <cmath>

#include "fuzz.h"
#include "match/reading.h"

namespace witnessline {

inline void take_readings(const base::Result<std::vector<match::Reading>>& readings) {
  if (!readings) return must_have_reason(readings.errors());
  must(!readings->empty(), "a file that is read holds a reading");
  for (const match::Reading& reading : *readings) must(!reading.name.empty(), "a reading has a name");
}

}  // namespace witnessline
