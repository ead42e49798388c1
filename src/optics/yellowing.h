// How far a clear has yellowed after a light dose.
#pragma once

#include "base/modules.h"

namespace witnessline::optics {

/// Light dose of one unit of yellowing [lx s]: 36 Mlx h, about fifty years of indoor display (200 lx, 10 h a day).
inline constexpr double yellowing_unit_dose_lx_s = 36e6 * 3600.0;

/// Units of yellowing of a clear after a light dose since it was laid [1].
/// Law: u = 2 (1 - 2^(-dose / unit dose)): first order in what can still yellow; u = 1 at the unit dose, 2 at the most.
/// Source: ESTIMATE (docs/estimates.md, Yellowing).
/// Valid: dose >= 0; indoor light behind window glass.
/// Departs: no dark yellowing, no induction period, no bleaching of early yellow by light, no temperature.
double yellowing(double light_lx_s);

}  // namespace witnessline::optics
