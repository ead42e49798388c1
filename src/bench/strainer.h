// The strainer a paint goes through into the cup.
#pragma once

#include <optional>

#include "bench/paint.h"

namespace witnessline::bench {

/// Opening of the strainer [m]: the one answer of the tin question, the plan's materials and the job card.
/// Law: grains known: the finest usual opening, 125 um or more, at least five times the widest grain (ESTIMATE). Not
/// known: 250 um with flake, 180 um for pigmented paint and fillers, 125 um for all others (common practice, no
/// source). Source: iso565, openings R 20/3.
double strainer_m(const Paint&, std::optional<double> widest_grain_m = {});

}  // namespace witnessline::bench
