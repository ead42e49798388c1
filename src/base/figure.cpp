#include "base/figure.h"

#include <fmt/format.h>

#include <cmath>

namespace witnessline::base {

const char* name_of(Kind kind) { return words(&kind)[static_cast<std::size_t>(kind)]; }

Shown shown(double si, const Band& band, Quantity quantity, BenchUnits units) {
  const Unit unit = shown_unit(quantity, units, si);
  Shown s{unit.from_si(si), std::string(unit.symbol), show(si, quantity, units), ""};
  if (std::isfinite(band.low) && std::isfinite(band.high)) {
    const auto end = [&](double end_si) {  // hours stay hours beside a value in hours
      const bool same =
          quantity != Quantity::duration || end_si == 0 || shown_unit(quantity, units, end_si).symbol == unit.symbol;
      const double value = unit.from_si(end_si);
      return same ? show(end_si, quantity, units)
                  : fmt::format("{:.{}f} {}", value, std::abs(value) < 10 ? 1 : 0, unit.symbol);
    };
    const std::string low = end(band.low), high = end(band.high);
    if (low != high) s.band = low + " to " + high;  // a band too narrow to be seen is no news
  }
  return s;
}

}  // namespace witnessline::base
