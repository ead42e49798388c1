// Amounts of something that bring colours nearest to targets: the one fit behind shading and tinting.
#pragma once

#include <functional>
#include <vector>

#include "colour/colour.h"

namespace witnessline::match {

/// A recipe's colours for given amounts, one a lamp (or a ground and lamp), in the order of the targets.
using ColoursOf = std::function<std::vector<Lab>(const std::vector<double>& amounts)>;

/// Mean Delta E 2000 between colours in pairs.
double mean_difference(const std::vector<Lab>&, const std::vector<Lab>& targets);

/// Amounts >= 0 whose colours lie nearest to the targets. `usual`: amounts that matter, for scale and start.
/// Law: least sum of squared Delta E 2000, by subplexes. Source: rowan1990. Valid: a few amounts.
/// Departs: a local search, from two starts.
std::vector<double> nearest_amounts(const ColoursOf&, const std::vector<Lab>& targets, const std::vector<double>& usual,
                                    const std::vector<double>& most);

}  // namespace witnessline::match
