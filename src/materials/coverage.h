// Wet film, dry film and what a litre covers.
#pragma once

#include "base/modules.h"

namespace witnessline::materials {

/// Dry film left by a wet film of thinned paint [m].
/// Law: the solids keep their volume: dry = wet x volume solids / (1 + thinner per part of paint, by volume).
/// Source: astm_d2697 for volume solids; geometry. Valid: thinner_per_part >= 0.
/// Departs: no voids; solids and solvents mix without change of volume.
double dry_film_m(double wet_film_m, double volume_solids_fraction, double thinner_per_part_ratio = 0);

/// Wet film of thinned paint that leaves a dry film [m]. Law: dry_film_m inverted.
double wet_film_m(double dry_film_m, double volume_solids_fraction, double thinner_per_part_ratio = 0);

/// Area a volume of paint covers with a dry film [m2/m3]; per litre: a thousandth.
/// Law: volume solids x share that lands / dry film. Source: geometry.
double coverage_m2_m3(double dry_film_m, double volume_solids_fraction, double landing_fraction = 1);

/// Volume solids from mass solids [1]. Law: (w/rho_s)/(w/rho_s + (1 - w)/rho_v). Departs: ideal mixing.
double volume_solids_fraction(double mass_solids_fraction, double solids_density_kg_m3, double volatile_density_kg_m3);

}  // namespace witnessline::materials
