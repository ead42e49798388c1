// Numbers of the air rounded to what can be set or believed: two figures.
#pragma once

#include <string>

#include "base/units.h"

namespace witnessline::safety {

/// Nearest number of two figures, without an exponent: "2700", "0.38".
std::string two_figures(double);
/// The same in the unit a person is shown, with its symbol: "2700 m3/h". `up`: never below, as for a demand or a wait.
std::string show_rounded(double si, Quantity, BenchUnits, bool up = false);

}  // namespace witnessline::safety
