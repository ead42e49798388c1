// SI inside, bench units outside: literals, the unit a key or a screen uses, and what a person is shown.
#pragma once

#include <array>
#include <string>
#include <string_view>

#include "base/modules.h"

namespace witnessline::base {

inline namespace literals {
constexpr double operator""_um(long double v) { return static_cast<double>(v) * 1e-6; }
constexpr double operator""_um(unsigned long long v) { return static_cast<double>(v) * 1e-6; }
constexpr double operator""_mm(long double v) { return static_cast<double>(v) * 1e-3; }
constexpr double operator""_mm(unsigned long long v) { return static_cast<double>(v) * 1e-3; }
constexpr double operator""_degC(long double v) { return static_cast<double>(v) + 273.15; }
constexpr double operator""_degC(unsigned long long v) { return static_cast<double>(v) + 273.15; }
constexpr double operator""_mL(long double v) { return static_cast<double>(v) * 1e-6; }
constexpr double operator""_mL(unsigned long long v) { return static_cast<double>(v) * 1e-6; }
constexpr double operator""_g(long double v) { return static_cast<double>(v) * 1e-3; }
constexpr double operator""_g(unsigned long long v) { return static_cast<double>(v) * 1e-3; }
constexpr double operator""_h(long double v) { return static_cast<double>(v) * 3600.0; }
constexpr double operator""_h(unsigned long long v) { return static_cast<double>(v) * 3600.0; }
}  // namespace literals

/// A unit as a key or a screen writes it: SI value = bench value * scale + offset.
struct Unit {
  std::string_view symbol;  ///< as written in keys and on screens, e.g. "um"
  double scale = 1.0;       ///< SI units in one of these
  double offset = 0.0;      ///< SI value at zero of this unit

  constexpr double to_si(double bench) const { return bench * scale + offset; }
  constexpr double from_si(double si) const { return (si - offset) / scale; }
};

namespace unit {
inline constexpr Unit none{""}, um{"um", 1e-6}, mm{"mm", 1e-3}, m{"m"}, m2{"m2"}, cm2{"cm2", 1e-4}, mL{"mL", 1e-6},
    g{"g", 1e-3}, g_m2{"g/m2", 1e-3}, degC{"degC", 1.0, 273.15}, K{"K"}, min{"min", 60.0}, h{"h", 3600.0},
    day{"d", 86400.0}, year{"a", 31557600.0}, pct{"pct", 0.01}, m_s{"m/s"}, m3{"m3"}, m3_h{"m3/h", 1.0 / 3600.0},
    mPa_s{"mPa.s", 1e-3}, kg_m3{"kg/m3"}, Mlx_h{"Mlx h", 3.6e9}, deg{"deg", 0.017453292519943295}, nm{"nm", 1e-9},
    mil{"mil", 25.4e-6}, in{"in", 25.4e-3}, fl_oz{"fl oz", 29.5735295625e-6}, qt{"qt", 946.352946e-6},
    degF{"degF", 5.0 / 9.0, 459.67 * 5.0 / 9.0}, oz{"oz", 28.349523125e-3}, ft2{"ft2", 0.09290304},
    cfm{"ft3/min", 4.719474432e-4};
}  // namespace unit

/// What kind of thing a number measures; decides the unit a person is shown it in.
enum class Quantity {
  ratio,              ///< dimensionless, shown as it is
  fraction,           ///< dimensionless, shown in per cent
  film_thickness,     ///< um or mil
  length,             ///< mm or in
  area,               ///< cm2 or in2-like (ft2)
  film_volume,        ///< mL or fl oz: liquid or film volume
  mass,               ///< g or oz
  mass_per_area,      ///< g/m2
  temperature,        ///< degC or degF
  duration,           ///< h
  air_flow,           ///< m3/h or ft3/min
  light_dose,         ///< Mlx h
  colour_difference,  ///< Delta E 2000, dimensionless
  money,              ///< in the shop's own currency
};

constexpr auto words(const Quantity*) {
  return std::array{"ratio",       "fraction",   "film_thickness",    "length",      "area",
                    "film_volume", "mass",       "mass_per_area",     "temperature", "duration",
                    "air_flow",    "light_dose", "colour_difference", "money"};
}

/// The two sets of bench units a person may choose between.
enum class BenchUnits { metric, us };
constexpr auto words(const BenchUnits*) { return std::array{"metric", "us"}; }

/// The unit in which a quantity is shown; a duration counts in minutes below an hour, in days from two days on.
Unit shown_unit(Quantity, BenchUnits, double si = 0);

/// A value [SI] as a person reads it, with its unit: "38 um", "1.5 mil", "21.0 degC". Never prints NaN: "not known".
std::string show(double si, Quantity, BenchUnits = BenchUnits::metric);

}  // namespace witnessline::base
