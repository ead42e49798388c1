// Distances measured over the surface.
#pragma once

#include <vector>

#include "body/body.h"

namespace witnessline::body {

/// Distance over the surface [m] from each vertex to the line where `inside` changes, negative inside; places further
/// off than `reach_m` read as plus or minus `reach_m`.
std::vector<float> distance_over_surface(const Body& body, const std::vector<std::uint8_t>& inside, double reach_m);

}  // namespace witnessline::body
