// A smooth reflectance that has a given colour.
#pragma once

#include "base/result.h"
#include "colour/colour.h"

namespace witnessline::colour {

/// The smoothest curve kind to recover: slope of log R (any positive R) or of artanh(2R - 1) (stays inside 0..1).
enum class Smoothest { log_slope, tanh_slope };

/// Smoothest reflectance with exactly the given tristimulus values under `weights`.
/// Law: minimise the sum of (z[i+1] - z[i])^2 with R = exp(z) or (tanh z + 1)/2 subject to the three sums.
/// Source: burns2020, methods LLSS and LHTSS. Valid: colours of real surfaces. Departs: one of endlessly many metamers.
Result<Reflectance> recover_reflectance(const Xyz&, const Weights&, Smoothest = Smoothest::tanh_slope);

}  // namespace witnessline::colour
