#include "base/figure.h"

#include <cmath>

namespace witnessline {

const char* name_of(Kind kind) { return words(&kind)[static_cast<std::size_t>(kind)]; }

Shown shown(double si, const Band& band, Quantity quantity, BenchUnits units) {
  const Unit unit = shown_unit(quantity, units);
  Shown s{unit.from_si(si), std::string(unit.symbol), show(si, quantity, units), ""};
  if (std::isfinite(band.low) && std::isfinite(band.high))
    s.band = show(band.low, quantity, units) + " to " + show(band.high, quantity, units);
  return s;
}

}  // namespace witnessline
