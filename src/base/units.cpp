#include "base/units.h"

#include <fmt/format.h>

#include <cmath>

namespace witnessline::base {

Unit shown_unit(Quantity quantity, BenchUnits units, double si) {
  const bool us = units == BenchUnits::us;
  switch (quantity) {
    case Quantity::ratio:
      return unit::none;
    case Quantity::fraction:
      return Unit{"%", 0.01};
    case Quantity::film_thickness:
      return us ? unit::mil : unit::um;
    case Quantity::length:
      if (std::abs(si) >= 100) return us ? Unit{"ft", 0.3048} : unit::m;
      return us ? unit::in : unit::mm;
    case Quantity::area:
      return us ? unit::ft2 : unit::cm2;
    case Quantity::film_volume:
      return us ? unit::fl_oz : unit::mL;
    case Quantity::mass:
      return us ? unit::oz : unit::g;
    case Quantity::mass_per_area:
      return unit::g_m2;
    case Quantity::temperature:
      return us ? unit::degF : unit::degC;
    case Quantity::duration:
      if (std::abs(si) >= 48 * unit::h.scale) return unit::day;
      return si != 0 && std::abs(si) < unit::h.scale ? unit::min : unit::h;
    case Quantity::air_flow:
      return us ? unit::cfm : unit::m3_h;
    case Quantity::light_dose:
      return unit::Mlx_h;
    case Quantity::colour_difference:
      return unit::none;
    case Quantity::money:
      return unit::none;
  }
  return unit::none;
}

namespace {

/// Figures to which a person measures, buys or believes a quantity; 0: as many as are shown.
int figures_of(Quantity quantity) {
  switch (quantity) {
    case Quantity::air_flow:
      return 2;
    case Quantity::area:
    case Quantity::film_volume:
    case Quantity::mass:
    case Quantity::money:
      return 3;
    default:
      return 0;
  }
}

double to_figures(double value, int figures) {
  if (figures == 0 || value == 0) return value;
  const double step = std::pow(10.0, std::floor(std::log10(std::abs(value))) - figures + 1);
  return std::round(value / step) * step;
}

}  // namespace

std::string show(double si, Quantity quantity, BenchUnits units) {
  if (!std::isfinite(si)) return "not known";
  const Unit shown = shown_unit(quantity, units, si);
  const double value = to_figures(shown.from_si(si), figures_of(quantity));
  const double size = std::abs(value);
  const double whole_from = quantity == Quantity::duration && shown.symbol == unit::min.symbol    ? 1.0
                            : quantity == Quantity::duration || quantity == Quantity::air_flow    ? 10.0
                            : quantity == Quantity::film_thickness && units == BenchUnits::metric ? 10.0
                                                                                                  : 30.0;
  const int decimals = size == 0.0 ? 0 : size < 0.1 ? 3 : size < 1.0 ? 2 : size < whole_from ? 1 : 0;
  std::string text = fmt::format("{:.{}f}", value, decimals);
  if (shown.symbol == "%") return text + "%";
  return shown.symbol.empty() ? text : fmt::format("{} {}", text, shown.symbol);
}

}  // namespace witnessline::base
