#include "drying/readiness.h"

#include <algorithm>

#include "base/result.h"

namespace witnessline::drying {

std::span<const Criterion> criteria() {
  static constexpr double day_s = 86400.0;
  static constexpr std::array all{
      Criterion{Use::handle, "a finger laid on for two seconds leaves no mark", 10e3, 2, 0.03, 0, 1e-6, 0, 0},
      Criterion{Use::recoat, "the whole coat bears a thumb for half a minute, so the next one does not tear it", 10e3,
                30, 0.10, 0, 10e-6, 0, 0},
      Criterion{Use::flat, "a block cuts dust instead of rolling film, and a 10 um scratch sinks by 0.5 um at most",
                20e3, 600, 0.01, 5, 20e-6, 10e-6, 0.5e-6},
      Criterion{Use::buff,
                "the film stays hard 15 K warmer under the wheel, and a 3 um scratch sinks by 0.1 um at most", 30e3, 60,
                0.01, 15, 20e-6, 3e-6, 0.1e-6},
      Criterion{Use::hang_on_stand, "a night on padded arms leaves no print", 10e3, 0.5 * day_s, 0.02, 0, 20e-6, 0, 0},
      Criterion{Use::close_in_case, "a month against the lining, 5 K warmer, leaves no print", 3e3, 30 * day_s, 0.02, 5,
                20e-6, 0, 0},
      Criterion{Use::fit_plates, "a screwed-down edge prints less than a fiftieth of the film in a year", 50e3,
                365 * day_s, 0.02, 0, 50e-6, 0, 0},
  };
  return all;
}

const Criterion& criterion_of(Use use) {
  for (const Criterion& one : criteria())
    if (one.use == use) return one;
  broken_promise("every use has its criterion", __FILE__, __LINE__);
}

double needed_viscosity_Pa_s(const Criterion& c) { return c.pressure_Pa * c.time_s / (3.0 * c.strain); }

double solvent_allowed(const Criterion& c, const Resin& resin, const FilmSolvent& solvent, double temperature_K,
                       double harder_K) {
  const double needed_K = temperature_K + c.warmer_K + harder_K - above_transition_K(needed_viscosity_Pa_s(c));
  // Fox turned round for the mass fraction of solvent.
  const double mass =
      (1 / needed_K - 1 / resin.glass_transition_K) / (1 / solvent.glass_transition_K - 1 / resin.glass_transition_K);
  if (mass <= 0) return 0.0;
  const double dry = (1.0 - std::min(mass, 1.0)) / resin.dry_density_kg_m3, wet = mass / solvent.of.density_kg_m3;
  const double soft = wet / (wet + dry);
  return c.hollow_m > 0 ? std::min(soft, c.sink_m / c.hollow_m) : soft;
}

}  // namespace witnessline::drying
