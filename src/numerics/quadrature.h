// Integrals of smooth functions over an interval.
#pragma once

#include <functional>

#include "base/modules.h"

namespace witnessline::numerics {

/// Integral of f from low to high by 64 Gauss-Legendre points.
/// Source: press2007 4.6. Valid: f smooth inside the interval; exact for polynomials up to degree 127.
double integral(const std::function<double(double)>& f, double low, double high);

}  // namespace witnessline::numerics
