// SVG path data: the letters M L H V C S Q T A Z.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "body/svg.h"

namespace witnessline::body {

/// One run of connected curves, in user units as written.
struct Subpath {
  Loop curves;
  bool closed = false;  ///< ended by Z
};

struct PathFault {
  std::string what;
  std::size_t offset = 0;  ///< character of the path data
};

/// Reads path data (SVG 1.1, section 8.3); `fault` is set where it cannot be read.
std::vector<Subpath> read_path_data(const std::string& data, std::optional<PathFault>& fault);

}  // namespace witnessline::body
