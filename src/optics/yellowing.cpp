#include "optics/yellowing.h"

#include <algorithm>
#include <cmath>

namespace witnessline::optics {

double yellowing(double light_lx_s) {
  return 2 * (1 - std::exp2(-std::max(light_lx_s, 0.0) / yellowing_unit_dose_lx_s));
}

}  // namespace witnessline::optics
