// What drawn sections and printed pages share.
#pragma once

#include <string>

#include "view/readings.h"

namespace witnessline::view {

std::string escaped(const std::string&);  ///< for XML text and attributes
/// "38 um" -> "38 \u00b5m", "4 cm2" -> "4 cm\u00b2".
std::string typeset(std::string bench_text);
std::string typeset(double si, Quantity, BenchUnits);
std::string shortened(const std::string&, int most_letters);
std::string hex(const Rgb&);       ///< "#a1b2c3"
std::string origin_words(Origin);  ///< "original", "later", "this plan"
std::string origin_fill(Origin);   ///< of the edge mark: a plain colour or a pattern of origin_patterns()
const char* origin_patterns();     ///< <defs>: original solid, later hatched, this plan dotted
double round_length(double most_m, BenchUnits, Quantity);  ///< largest 1, 2 or 5 in bench units below `most_m` [m]

}  // namespace witnessline::view
