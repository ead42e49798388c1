// Laying a coat: what one pass of the gun leaves, how even the passes make it, and how wet it may be before it runs.
#pragma once

#include <functional>
#include <optional>
#include <vector>

#include "solvents/evaporation.h"
#include "solvents/settling.h"

namespace witnessline::drying {

/// A gun held square to the work. A pass is one stroke; a coat is every pass it takes to wet the zone once, overlap
/// counted.
struct Gun {
  double flow_m3_s = 0;    ///< liquid through the nozzle
  double transfer = 0.5;   ///< share of it that lands
  double speed_m_s = 0.4;  ///< of the hand
  double fan_m = 0.2;      ///< width of the fan on the work
  double overlap = 0.5;    ///< of one pass by the next, share of the fan
  double fan_power = 2;    ///< beta of the fan's profile (1 - (2x/w)^2)^(beta - 1): 2 a parabola
};

/// Wet film a coat lays, on average [m]. Law: flow x transfer / (speed x fan x (1 - overlap)). Source: geometry.
/// Counted as liquid in the cup: what leaves in flight is taken off by Setting. Valid: overlap below 1; passes
/// parallel.
double wet_film_of_coat_m(const Gun&);

/// Unevenness of parallel passes: (thickest - thinnest) over the mean [1]. Law: sum of the fan's profiles, one a
/// spacing. Source: balkan1999 (form of the profile). Valid: fan_power above 1.
double ripple(const Gun&);

/// Lowest, highest and mean over a spacing, of a profile with peak 1.
struct Overlapped {
  double low = 0, high = 0, mean = 0;
};
Overlapped overlapped(double fan_power, double spacing_ratio);

/// How far an upright face may run before its thicker stripes close up into ridges [m].
/// Law: a place of depth h travels at rho g h^2/mu, twice the speed of its surface, so a wave of height a and length s
/// steepens into a step once the surface has run s/(8 pi a); s: from pass to pass, a: half the ripple and the hand's
/// own unevenness together. Source: whitham1974 (kinematic waves). ESTIMATE: the hand's 0.15 (0.1 to 0.25). Departs:
/// surface tension rounds the step; at an edge or a hole, where the film begins, the run itself shows.
double run_until_ridges_m(const Gun&);

/// How far a vertical film runs before it sets.
/// Law: surface of a Newtonian film, du = rho g h^2 / (2 mu) dt, mu and h followed while solvent leaves.
/// Source: bird2002, Eq. 2.2-18 (falling film). Valid: Reynolds number below 5, even film. Departs: thickening at the
/// skin, surface tension and thixotropy are left out: real lacquer holds somewhat more.
struct Setting {
  double density_kg_m3 = 900;
  double solids_fraction = 0.1;  ///< by volume, in the gun
  /// Viscosity by volume fraction of solids and film temperature [Pa s].
  std::function<double(double solids_fraction, double temperature_K)> viscosity_Pa_s;
  /// Solvent left over that laid, and film temperature, by time over wet solvent depth: a run of evaporate() for
  /// `solvent_m` of solvent. Time goes with depth.
  EvaporationRun run;
  double solvent_m = 0;
  /// Share of the solvent that leaves between gun and work, the fast ones first: the run begins in the air.
  /// ESTIMATE 0.25 (0.1 to 0.4).
  double lost_in_flight = 0;
};
/// Distance its surface has gone when viscosity has risen beyond flowing, or all the run has passed [m].
double run_down_m(double wet_m, const Setting&);
/// Thickest wet film that runs no further than `visible_m` [m].
double thickest_wet_m(const Setting&, double visible_m);

/// Film left of a wet film a time after it landed: what a comb gauge touches [m].
double film_after_m(double wet_m, double time_s, const Setting&);

}  // namespace witnessline::drying
