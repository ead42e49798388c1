// Efflux cups: seconds that a liquid takes to run out, and the viscosity they stand for.
#pragma once

#include <span>
#include <string>
#include <string_view>

#include "base/figure.h"
#include "base/result.h"

namespace witnessline::solvents {

/// A cup with the equation of its standard: linear v = a (t - b), reciprocal v = a t - b/t, v in mm2/s and t in s.
struct Cup {
  enum class Form { linear, reciprocal };
  std::string_view id;    ///< word used in files: "ford_4"
  std::string_view name;  ///< as said at the bench
  Form form{};
  double a = 0, b = 0;
  double shortest_s = 0, longest_s = 0;  ///< the equation holds between these
  Kind kind{};                           ///< how its constants are known
  std::string_view source;
};

std::span<const Cup> cups();
/// nullptr: no such cup.
const Cup* find_cup(std::string_view id);
/// "ford_1, ford_2, ..."
std::string cup_words();

/// Kinematic viscosity of a liquid that runs out in so many seconds [m2/s].
/// Law: equation of the cup. Source: astm_d1200, astm_d4212, iso2431, din53211. Valid: shortest_s to longest_s; outside
/// it is an Error that names cups to try. Departs: Newtonian liquids; Zahn cups differ by maker and batch: 10 %.
Result<double> viscosity_of_seconds_m2_s(const Cup&, double seconds);

/// Seconds a liquid takes [s]. Law: the same, solved. Errors: outside the cup's range, with the cups that can read it.
Result<double> seconds_of_viscosity_s(const Cup&, double viscosity_m2_s);

/// The same without a look at the range, for curves that mark it themselves [s].
double unchecked_seconds_s(const Cup&, double viscosity_m2_s);

}  // namespace witnessline::solvents
