// Film stress: what cold, shrinking and the wood's movement pull in a film along and across the grain, and how it
// eases with time.
#pragma once

#include <vector>

#include "base/result.h"
#include "cracking/channelling.h"
#include "materials/material.h"

namespace witnessline::cracking {

/// A pair of values along and across the grain.
struct ByGrain {
  double along = 0, across = 0;
  ByGrain turned() const { return {across, along}; }  ///< the grain turned by 90 degrees
};

struct CrackingFilm {
  Elastic elastic;
  double expansion_per_K = 0;
  double cure_shrinkage_frac = 0;  ///< linear, after the film has set
  double glass_transition_K = 0;
  double fracture_energy_J_m2 = 0;
};
/// Film of a coat of the library. Poisson's ratio 0.38 (ESTIMATE, plastics 0.35 to 0.42).
/// Errors: a property it needs and its file does not give.
Result<CrackingFilm> cracking_film(const Material&);

struct CrackingWood {
  ByGrain ground_Pa;      ///< plane-strain modulus of what stands for it under a check that opens in that direction
  double poisson = 0.35;  ///< ESTIMATE; fpl282 Table 5-2 gives 0.3 to 0.5 along the grain
  ByGrain expansion_per_K;
  ByGrain movement;  ///< strain per unit of moisture
  CrackingWood turned() const;
  /// The isotropic ground of a check that opens along the grain, or across it.
  Elastic ground(bool opens_along) const {
    return {(opens_along ? ground_Pa.along : ground_Pa.across) * (1 - poisson * poisson), poisson};
  }
};
/// Plane-strain modulus of the isotropic ground that stands for an orthotropic one [Pa]: stiffness in the direction the
/// check opens, in depth, and in shear between the two. Law: sqrt(E_open E_depth) / n, n = sqrt((1 + rho)/2),
/// rho = sqrt(E_open E_depth) / (2 G) - nu sqrt(E_depth / E_open): the mean of what a half space gives to pulls along
/// and out of its face. Source: suo1990 (n, rho). Valid: g within 8 % of finite elements for spruce and maple, film of
/// 1.5 to 2.4 GPa (docs/models/cracking.md). Departs: nothing of what the wood does out of the plane counts.
double equivalent_modulus_Pa(double open_Pa, double depth_Pa, double shear_Pa, double poisson);

/// Wood of the library. `tangential` is the share of the tangential direction in the face: 1 flat sawn, 0 quarter sawn.
/// Law: materials/wood.h; along the grain with the handbook's 0.15 % shrinkage. Source: fpl282, ch. 4 and 13. The
/// handbook's expansion across the grain is that of ovendry wood; at 12 % moisture redwood, red oak, Douglas-fir and
/// yellow birch expand tangentially by 1.73, 1.76, 1.10 and 0.95 of its formula (kubler1973), 1.38 on average, taken
/// straight from nought to there (ESTIMATE). Shear moduli over the modulus along the grain: 0.075 along (0.06 to 0.11);
/// rolling 0.005 in spruces (0.003 to 0.010), 0.02 in other woods (0.01 to 0.03): fpl282 Table 5-1, memory. Valid: 6 to
/// 12 % moisture; reckoned at 9 %. Errors: a property it needs and its file does not give.
Result<CrackingWood> cracking_wood(const Material&, double tangential);

/// What the wood would do to a film that gives nothing back: strain forced on it [1], pull above 0.
/// Law: (a_film - a_wood)(T0 - T) + C (M - M0). Source: geometry. Valid: film thin beside the wood.
/// Departs: the film neither swells nor shrinks with moisture; the wood under it is at the film's temperature.
ByGrain forced_strain(const CrackingFilm&, const CrackingWood&, double cooled_K, double moisture_gain_frac);

/// Stress of a film held to these strains [Pa]. Law: E/(1 - nu^2) (e_1 + nu e_2). Source: timoshenko1970, plane stress.
ByGrain elastic_stress_Pa(const Elastic&, const ByGrain& strain);

/// Time in which a held film loses all but 37 % of its stress [s].
/// Law: 100 s at the glass transition (memory: its usual definition); above it Williams, Landel and Ferry; below it
/// a decade every 10 K. Source: williams1955; below ESTIMATE (5 to 30 K a decade). Valid: within 80 K of the
/// transition. Departs: one time for the whole film; no ageing of the glass, no plasticiser lost.
double relaxation_time_s(double temperature_K, double glass_transition_K);

/// Time in which wood takes up or gives off 63 % of what it is short of [s].
/// Law: L^2 / (pi^2 D), both faces open; D 1e-10 m2/s at 20 degC (ESTIMATE, factor 3), 38 kJ/mol. Source: crank1975.
/// Departs: first term only; a finish holds moisture back, so real wood is slower; ends are quicker.
double moisture_time_s(double thickness_m, double temperature_K);

/// A while at one temperature and humidity. The change of temperature at its start is sudden.
struct Spell {
  double duration_s = 0, temperature_K = 293.15, relative_humidity = 0.5;
};

/// A film as it has set: stress from its own shrinkage, wood and film at rest with each other otherwise.
struct StressState {
  ByGrain stress_Pa;
  double temperature_K = 293.15, moisture_frac = 0.09;
};
StressState as_set(const CrackingFilm&, double temperature_K, double moisture_frac);

/// What a spell did: state at its end, and the greatest pull in each direction while it lasted.
struct SpellStress {
  StressState after;
  ByGrain peak_Pa;
};

/// Law: Maxwell, d(sigma)/dt = C de/dt - sigma / tau, with the moisture of the wood on its way to equilibrium as
/// exp(-t / t_w); solved in closed form. Source: ferry1980 (Maxwell); fpl282 Eq. 4-5 (moisture the wood comes to).
/// Valid: duration at least 0; linear, so below about a third of the film's strength.
/// Departs: cure shrinkage is all there at the start. Below -1 degC the sorption equation is past its range; hardly
/// any moisture moves there, so it is used as it stands.
SpellStress through(const Spell&, const StressState&, const CrackingFilm&, const CrackingWood&, double wood_m);
/// One spell after another.
std::vector<SpellStress> through(const std::vector<Spell>&, StressState, const CrackingFilm&, const CrackingWood&,
                                 double wood_m);

/// Energy of checks that open along and across the grain [J/m2]: `along` is the energy of the stress along the grain,
/// which opens checks that run across it.
ByGrain channel_energies_J_m2(const ByGrain& stress_Pa, double thickness_m, const CrackingFilm&, const CrackingWood&);

}  // namespace witnessline::cracking
