#include "drying/readiness.h"

#include <algorithm>

#include "base/result.h"

namespace witnessline::drying {

namespace {
constexpr double day_s = 86400.0;
constexpr double network_bears_solvent = 0.15;  // ESTIMATE: swollen by less, a cured network keeps its shape
}  // namespace

std::span<const Criterion> criteria() {
  static constexpr std::array<Criterion, use_count> all{{
      {Use::touch, "a fingertip touched to it lifts nothing", 2e3, 1, 0.20, 0, 1e-6, 0.20},
      {Use::handle, "a finger laid on for two seconds leaves no mark", 10e3, 2, 0.05, 0, 2e-6, 0.35},
      {Use::recoat, "it bears a brush of the hand and the next wet coat without being dragged", 10e3, 5, 0.05, 0, 2e-6,
       0.50},
      {Use::scuff, "fine paper by hand makes dust instead of rolls", 10e3, 60, 0.05, 3, 20e-6, 0.70},
      {Use::level, "a block cuts for ten minutes, 7 K warmer, without dragging", 20e3, 600, 0.01, 7, 20e-6, 0.85},
      {Use::buff, "the film stays hard 12 K warmer under the wheel", 30e3, 60, 0.01, 12, 20e-6, 0.90},
      {Use::fit_plates, "a screwed-down edge prints less than a tenth of the film in two weeks", 50e3, 14 * day_s, 0.10,
       0, 20e-6, 0.93},
      {Use::hang_on_stand, "a month of nights on padded arms leaves no print", 15e3, 30 * day_s, 0.03, 0, 20e-6, 0.95},
      {Use::close_in_case, "a month against the lining, 5 K warmer, leaves no print", 3e3, 30 * day_s, 0.02, 5, 20e-6,
       0.97},
  }};
  return all;
}

const Criterion& criterion_of(Use use) { return criteria()[static_cast<std::size_t>(use)]; }

double needed_viscosity_Pa_s(const Criterion& c) { return c.pressure_Pa * c.time_s / (3.0 * c.strain); }

double solvent_at_transition(double needed_K, const Resin& resin, const FilmSolvent& solvent) {
  // Fox turned round for the mass fraction of solvent.
  const double mass =
      (1 / needed_K - 1 / resin.glass_transition_K) / (1 / solvent.glass_transition_K - 1 / resin.glass_transition_K);
  if (mass <= 0) return 0.0;
  const double dry = (1.0 - std::min(mass, 1.0)) / resin.dry_density_kg_m3, wet = mass / solvent.of.density_kg_m3;
  return wet / (wet + dry);
}

double solvent_allowed(Use use, const Resin& resin, const FilmSolvent& solvent, double temperature_K, double harder_K,
                       double glass_keeps) {
  if (resin.crosslinks_mol_m3 > 0) return network_bears_solvent;
  double allowed = 1.0;
  for (const Criterion& c : criteria().first(static_cast<std::size_t>(use) + 1)) {
    const double needed_K = temperature_K + c.warmer_K + harder_K - above_transition_K(needed_viscosity_Pa_s(c));
    allowed = std::min(allowed, solvent_at_transition(needed_K, resin, solvent));
  }
  return with_kept(allowed, kept_in_glass(resin, glass_keeps, temperature_K));
}

double sink_m(double hollow_m, double volume_fraction, double kept) {
  return hollow_m * std::max(0.0, volume_fraction - kept);
}

}  // namespace witnessline::drying
