// Will a fresh coat and an old one live together: how far the fresh solvents swell what is below, for how long, and
// whether the pair is too stiff or too different to stay whole.
#pragma once

#include <string>
#include <vector>

#include "base/figure.h"
#include "base/result.h"
#include "drying/carrier.h"
#include "drying/common_practice.h"
#include "solvents/evaporation.h"
#include "solvents/hansen.h"

namespace witnessline::drying {

struct FreshCoat {
  const Material* film = nullptr;
  CarrierBlend carrier;
  double solvent_m = 75e-6;  ///< solvent in the wet film of one coat
  double film_m = 8e-6;      ///< dry film of one coat
  double build_m = 40e-6;    ///< dry film when all coats are on
};
struct OldCoat {
  const Material* film = nullptr;
  double thickness_m = 60e-6;
  double age_s = 30 * 365.25 * 86400;
};

/// One fresh coat over one old one.
struct Compatibility {
  Meeting verdict = Meeting::unknown;   ///< computed and common practice taken together
  Meeting computed = Meeting::unknown;  ///< by the laws below alone
  std::optional<Practice> practice;
  double least_distance_ratio =
      0;                  ///< smallest relative energy difference while a tenth or more of the solvent is left [1]
  Band distance_band;     ///< of that, by what is not known of the sphere
  double wet_s = 0;       ///< time until a tenth is left
  double softened_s = 0;  ///< of that, with the remaining blend inside the old coat's sphere
  bool network = false;   ///< the old coat is one: it swells and never dissolves
  double bite_m = 0;      ///< depth softened; soluble films only
  Band bite_band_m;
  double swelling_ratio = 1;  ///< thickness swollen over dry; networks only
  Band swelling_band;
  double chance_bites = 0, chance_lifts = 0;  ///< over the draws
  double stiffness_gain = 1;   ///< what drives a crack in the fresh coat, over what would on an equally stiff ground
  double mismatch_strain = 0;  ///< fresh over old in a drop of 30 K [1]
  std::vector<std::string> reasons;
  std::string test, rescue;
};

/// Laws: the blend dries by evaporate(); at each moment its distance to the old film (hansen2007, Eq. 1.9 and 1.10).
/// Soluble films (nitrocellulose, acrylic, shellac, spirit varnish, vinyl) soften while it is inside their sphere, to
/// sqrt(2 D t); more than 0.8 of the coat is lifting. Networks swell with their sides held (held_swelling_ratio) and
/// crease at 2.4 (hong2009). What drives a crack: channel_crack_g. Chances: 200 keyed draws of sphere, diffusivity,
/// network and crease.
/// Valid: 10 to 35 degC, one wet coat. Departs: the resin slows the solvents but does not turn the blend; additives,
/// wax, silicone and dirt are not seen; a coat on glue or filler may lift for other reasons. ESTIMATE: D 1e-13 m2/s
/// (soluble), 3e-14 (networks), each within a factor of 3 (one sd); network densities. Errors: a film or solvent
/// without Hansen parameters.
Result<Compatibility> compatibility(const FreshCoat&, const OldCoat&, const Airflow&);

/// Thickness of a network swollen with its sides held, over dry [1]. Law: ln(1 - f) + f + chi f^2 + n V (l - 1/l) = 0,
/// f = 1/l. Source: flory1943 (free swelling), hong2009 (sides held). Valid: chi >= 0, n > 0.
double held_swelling_ratio(double chi, double network_mol_m3, double molar_volume_m3_mol);
/// Flory-Huggins parameter from Hansen distance [1]. Law: 0.6 V Ra^2 / (4 R T). Source: lindvig2002.
double chi_of_distance(double ra_Pa05, double molar_volume_m3_mol, double temperature_K);
/// g of a crack channelling through a film, by Dundurs' alpha: the film's plane-strain stiffness against its ground's
/// [1]. Law: computed values at beta = alpha/4, straight lines between. Source: beuth1992 (definition).
/// Valid: -0.99 to 0.9; held at the ends.
double channel_crack_g(double alpha);

}  // namespace witnessline::drying
