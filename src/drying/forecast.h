// Forecast: coats laid one after the other, what they hold over time and when they may be used, with the full band of
// what is not known.
#pragma once

#include <array>
#include <cstdint>
#include <limits>
#include <span>
#include <vector>

#include "drying/belief.h"
#include "drying/column.h"
#include "drying/readiness.h"

namespace witnessline::drying {

/// A coat as it is laid.
struct LaidCoat {
  Resin resin;  ///< once cured
  double glass_transition_sd_K = 12.0;
  double dry_m = 0, solvent_m = 0;
  double at_s = 0;                 ///< since the first coat; never earlier than the one before
  Cure cure = {};                  ///< rate 0: it only dries
  double hold_sd = 0;              ///< one standard deviation of ln(resin.hold)
  double hold_per_transition = 0;  ///< what ln(resin.hold) gains for a standard deviation of the glass transition
};
/// A coat of a material with this solvent: `wet_m` of it thinned by `thinning` parts to one. It needs volume solids.
LaidCoat laid_coat(const Material&, const FilmSolvent&, double wet_m, double thinning, double at_s);

/// What is dried, where.
struct DryingCase {
  std::vector<LaidCoat> coats;  ///< wood side first
  FilmSolvent solvent;
  Airflow air;                        ///< of the shop, while it dries
  double use_temperature_K = 294.15;  ///< of the room it is sanded, buffed and used in
  bool on_wood = false;               ///< bare wood below takes solvent up; else sealed or a card
};

/// How a column stands at one moment.
struct DriedMoment {
  double at_s = 0;
  std::vector<double> solvent_m;  ///< a coat; 0 before it is laid
  double outer_fraction = 0;      ///< volume fraction of solvent in the outer 20 um of dry film
  double wood_m = 0;              ///< solvent in the wood
};

/// One run of a case.
struct Dried {
  std::vector<DriedMoment> moments;       ///< at the times asked for
  std::array<double, use_count> ready_s;  ///< a Use: since the last coat was laid; infinity: not by the end
  std::vector<bool> soft_below;           ///< a coat: the one below was not yet ready for it
  double laid_m = 0, gone_m = 0, left_m = 0, wood_m = 0;  ///< solvent: laid, into the air, in the coats, in the wood
  bool finished = true;                                   ///< false: the solver stopped short
};

/// Works a case out with one draw of what is not known. `times_s` rise, since the first coat.
Dried dried(const DryingCase&, const Draw&, std::span<const double> times_s, double until_s, ColumnAccuracy = {});

/// A case with bands: 2.5 and 97.5 % over the belief's draws.
struct Forecast {
  Dried middle;                         ///< with the middle of the belief
  std::array<Band, use_count> ready_s;  ///< a Use; infinity: not by the end
  std::vector<Band> left_m;             ///< all solvent in the coats at the times asked for
};
/// Runs in parallel; the same at any thread count.
Forecast forecast(const DryingCase&, const Belief&, std::span<const double> times_s, double until_s);

}  // namespace witnessline::drying
