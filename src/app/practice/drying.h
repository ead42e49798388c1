// Claims of practice about drying, worked out with one draw of what is not known: what conditioning fits.
#pragma once

#include "app/practice/practice.h"
#include "drying/forecast.h"

namespace witnessline::app {

/// Our value of a row about drying, in its unit. Quantities: `time_until` a use; `solvent_left` after some days [% of
/// dry film by mass]; `factor_10_K_colder`, `factor_twice_as_thick`: of the time until a use.
/// Inputs: use, coats, a_day, apart_h, wet_um, thinning, T_degC, air_m_s, after_days. Errors: an unknown material or
/// use.
Result<double> drying_value(const PracticeRow&, const Library&, const Draw&);

}  // namespace witnessline::app
