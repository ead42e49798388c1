// Claims of practice about wear, computed by contact on a plain slab body.
#pragma once

#include "app/practice/practice.h"
#include "bench/contact.h"

namespace witnessline::app {

/// A slab body of the outlines that come with the program, 40 mm thick, edges rounded 4 mm. Errors: no outline.
Result<Body> plain_slab(double pitch_m);

/// How fast one kind of touch wears a plain slab of 600 kg/m3 where it wears most: the median of the 2 cm2 that go
/// first [m in 1000 h against it]. Departs: another body is worn faster or slower, by a factor of two.
struct WearPace {
  double film_soft_m = 0, film_hard_m = 0;  ///< lacquer, under skin, cloth and leather; under picks and buckles
  double wood_soft_m = 0, wood_hard_m = 0;  ///< bare wood, were its K that of a film
};
Result<WearPace> wear_pace(Touch);

/// Quantities: `years_to_wood` under a touch, with inputs film_um, hours_a_day, share (of playing with the touch on),
/// side = hard for picks and buckles; `worn_into_wood` [mm] after `years` more, with `density`; `fret_wear` [mm/year];
/// `years_to_refret`; `fingerboard_wear` [mm] after `years`; `hardly_played` [1]; `check_distance` [mm].
void add_wear_predictors(Predictors&);

}  // namespace witnessline::app
