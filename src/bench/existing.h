// The film a plan starts from: the coats found on the instrument, laid by zone on bare wood.
#pragma once

#include "bench/run.h"
#include "body/where.h"

namespace witnessline::bench {

/// A coat found on the instrument.
struct ExistingCoat {
  std::string name;     ///< unique
  std::string mixture;  ///< mixture of the job or material of the library
  Origin origin = Origin::original;
  double thickness_m = 0;  ///< dry, where whole
  double spread_m = 0;     ///< one standard deviation over the zone
  double light_lx_s = 0;   ///< light it has had since it was laid
  Where where;             ///< zone; fade_m is a shaded edge
};

/// Hand grease, dust and old polish on a finish nobody has cleaned [kg/m2]: 0.5 g/m2, half a micrometre (ESTIMATE).
inline constexpr double old_grime_kg_m2 = 0.5e-3;

/// Law: thickness at a place = (thickness + spread x smooth standard normal over 30 mm) x weight of the zone x edge
/// pull of a 90 um wet coat; never below zero. Grime lies where any coat does. Errors: a coat named twice, an unknown
/// mixture, a zone that is not there, a thickness that is not a number of zero or more. Keys are "coats.<name>...".
Result<Film> existing_film(const std::vector<ExistingCoat>&, const Bench&, double grime_kg_m2 = old_grime_kg_m2);

}  // namespace witnessline::bench
