// Settled: how much solvent a whole coat may hold for a use, when only its mean is known.
#pragma once

#include <memory>
#include <vector>

#include "drying/cure.h"
#include "drying/readiness.h"
#include "drying/transport.h"

namespace witnessline::drying {

/// Most solvent over dry film [1] that a coat may hold, by its dry thickness, for its outer film to be hard enough.
/// Law: a coat that has been drying for a while has a dry face and a flux that rises evenly from its bottom, so that
/// F(p) = F(bottom) (1 - (z/L)^2) in a coat of thickness L; the outer film's mean is what a use asks about, the whole
/// coat's mean is what a film keeps. Source: crank1975, ch. 4 and 9 (the late, steady shape). Departs: a coat that
/// still takes solvent up from below is wetter at its face than this.
class SettledAllowance {
 public:
  /// `outer_fraction`: most volume fraction of solvent over the outer `depth_m` of dry film.
  SettledAllowance(const Transport&, double outer_fraction, double depth_m);
  double share(double dry_m) const;

 private:
  std::vector<double> dry_m_, share_;
};

/// What solvent left in a coat means for a hand that cuts it, at 21 degC.
struct Softness {
  SettledAllowance cuts;  ///< above: paper loads and tears it
  SettledAllowance
      settled_allowance;  ///< above: it can be scuffed, and shrinks back into pores and scratches afterwards
  Cure cure = {};         ///< of a coat that cures: it also has to have cured as far as scuffing and levelling ask

  /// `share`: solvent over dry film; `cured_s`: since it was laid, as seconds at 25 degC.
  bool too_soft(double dry_m, double share, double cured_s) const;
  bool still_sinks(double dry_m, double share, double cured_s) const;
};
/// As far as practice's most likely physics tells.
Softness softness_of(const Material&, const FilmSolvent&);

}  // namespace witnessline::drying
