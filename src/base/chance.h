// A chance as it may be shown: never none and never certain, and no surer than what it was counted from.
#pragma once

#include <string>

#include "base/figure.h"

namespace witnessline::base {

/// What no sum here holds, the dropped gun and the mistaken label: of a hundred jobs, so many go another way.
/// ESTIMATE (docs/estimates.md, "Chances").
inline constexpr double unforeseen = 0.02;

/// A chance [1] held between `unforeseen` and one less it.
double bounded_chance(double chance);

/// Share of `draws` in which something happened, as a chance with its 95 % band; never 0 or 1.
/// Law: Wilson's score interval, its middle as the value. Source: wilson1927. Valid: any number of draws.
struct CountedChance {
  double value = 0;
  Band band;
};
CountedChance counted_chance(int happened, int draws);

/// "62 in 100"; at the bounds "more than 98 in 100", "less than 2 in 100".
std::string in_a_hundred(double chance);

/// A figure of a chance, bounded; its band too.
Figure chance_figure(std::string name, double chance, Band band, std::string law, std::string source);

}  // namespace witnessline::base
