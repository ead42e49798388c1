// The strainer a paint goes through into the cup.
#pragma once

#include <optional>

#include "materials/material.h"

namespace witnessline::bench {

/// Opening of the strainer [m]: the one answer of the tin question, the plan's materials and the job card.
/// Law: grains known: the finest usual opening at least five times the widest grain (ESTIMATE), 125 um at least where
/// the paint is thicker than 50 mPa s. Not known: 250 um with flake, 125 um for clears, toners and sealers, 180 um for
/// pigmented paint (common practice, no source).
/// Source: iso565, openings R 20/3.
double strainer_m(const Material&, std::optional<double> widest_grain_m = {}, double viscosity_Pa_s = 0);

}  // namespace witnessline::bench
