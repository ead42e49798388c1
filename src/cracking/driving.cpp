#include "cracking/driving.h"

#include <algorithm>
#include <cmath>

#include "base/result.h"
#include "materials/wood.h"

namespace witnessline::cracking {

namespace {
void keep_greater(ByGrain& most, const ByGrain& now) {
  most = {std::max(most.along, now.along), std::max(most.across, now.across)};
}
}  // namespace

CoatPull pull_of(const CrackingFilm& new_film, const FilmAge& age, double usual_frac, const CrackingWood& wood,
                 const ColdHistory& past) {
  const CrackingFilm film = aged(new_film, age, usual_frac);
  const double rest_frac = equilibrium_moisture_fraction(past.room_K, past.laid_humidity);
  const auto live = [&](StressState& state, double duration_s, double temperature_K, double humidity, ByGrain& peak) {
    const SpellStress lived =
        through({duration_s, temperature_K, std::clamp(humidity, 0.0, 0.99)}, state, film, wood, past.wood_m);
    state = lived.after;
    keep_greater(peak, lived.peak_Pa);
  };
  ByGrain peak;
  StressState state = as_set(film, past.room_K, rest_frac);
  const double kept_Pa =
      eased_Pa(state.stress_Pa.along, age.stood_s, relaxation_time_s(past.room_K, film.glass_transition_K)) +
      ageing_stress_Pa(film, age, past.room_K);
  state.stress_Pa = {kept_Pa, kept_Pa};
  keep_greater(peak, state.stress_Pa);
  if (past.room_humidity != past.laid_humidity) live(state, age.stood_s, past.room_K, past.room_humidity, peak);
  constexpr double quarter_s = 365.25 * 86400 / 4;
  if (past.humidity_swing > 0)
    for (int season = 0; season < 4; ++season)
      live(state, 2 * quarter_s, past.room_K,
           past.room_humidity + (season % 2 == 0 ? past.humidity_swing : -past.humidity_swing), peak);
  if (past.shocks > 0) {
    CrackingWood under = wood;
    if (past.core_stays_warm) under.expansion_per_K = {0, 0};
    const SpellStress shock = through({past.shock_s, past.coldest_K, past.room_humidity - past.humidity_swing}, state,
                                      film, under, past.wood_m);
    keep_greater(peak, shock.peak_Pa);
  }
  CoatPull pull{film, peak};
  pull.film.fracture_energy_J_m2 *= toughness_after_shocks(past.shocks);
  return pull;
}

CheckDrive::CheckDrive(std::span<const CoatPull> coats, std::span<const double> thickness_m, const CrackingWood& wood) {
  expects(coats.size() == thickness_m.size(), "a thickness for every coat");
  double most = -1, deep_m = 0, modulus = 0, poisson = 0, toughness = 0;
  ByGrain force;
  for (std::size_t i = coats.size(); i-- > 0;) {
    const double h = std::max(0.0, thickness_m[i]);
    if (h <= 0) continue;
    const CoatPull& coat = coats[i];
    deep_m += h, modulus += h * coat.film.elastic.modulus_Pa, poisson += h * coat.film.elastic.poisson;
    toughness += h * coat.film.fracture_energy_J_m2;
    force.along += h * coat.stress_Pa.along, force.across += h * coat.stress_Pa.across;
    const Elastic mean{modulus / deep_m, poisson / deep_m};
    const ByGrain stress{force.along / deep_m, force.across / deep_m};
    const Mismatch along = mismatch(mean, wood.ground(true));
    const Mismatch across = mismatch(mean, wood.ground(false));
    const ByGrain energy{channel_energy_J_m2(stress.along, deep_m, mean, along),
                         channel_energy_J_m2(stress.across, deep_m, mean, across)};
    const double drive = std::max(energy.along, energy.across) / (toughness / deep_m);
    if (drive <= most) continue;
    most = drive, depth_m = deep_m, toughness_J_m2 = toughness / deep_m;
    stress_Pa = stress, energy_J_m2 = energy, film = mean, along_mismatch_ = along, across_mismatch_ = across;
  }
}

double CheckDrive::from_flaw(double depth_share, bool opens_along) const {
  if (depth_m <= 0) return 0;
  return opens_along ? run().along * FlawEnergy(along_mismatch_).share_of_channel(depth_share)
                     : run().across * FlawEnergy(across_mismatch_).share_of_channel(depth_share);
}

double CheckDrive::pull_at(double angle_rad) const {
  const double c = std::cos(angle_rad), s = std::sin(angle_rad), most = std::max(stress_Pa.along, stress_Pa.across);
  return most > 0 ? (stress_Pa.along * c * c + stress_Pa.across * s * s) / most : 0;
}

double opening_m(double stress_Pa, double depth_m, const Elastic& film) {
  return 4 * 1.454 * std::max(0.0, stress_Pa) * depth_m / film.plane_strain_Pa();
}

}  // namespace witnessline::cracking
