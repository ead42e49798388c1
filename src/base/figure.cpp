#include "base/figure.h"

#include <cmath>

namespace witnessline::base {

const char* name_of(Kind kind) { return words(&kind)[static_cast<std::size_t>(kind)]; }

Shown shown(double si, const Band& band, Quantity quantity, BenchUnits units) {
  const Unit unit = shown_unit(quantity, units, si);
  Shown s{unit.from_si(si), std::string(unit.symbol), show(si, quantity, units), ""};
  if (std::isfinite(band.low) && std::isfinite(band.high)) {
    const std::string low = show(band.low, quantity, units), high = show(band.high, quantity, units);
    if (low != high) s.band = low + " to " + high;  // a band too narrow to be seen is no news
  }
  return s;
}

}  // namespace witnessline::base
