// How far two colours that agree under one lamp part under another.
#pragma once

#include "colour/colour.h"

namespace witnessline::colour {

/// Special metamerism index for a change of lamp [CIE 1976 units].
/// Law: the difference under `to`, less the one under `from`, part by part in L*a*b* (additive correction).
/// Source: iso18314_4. Valid: differences under `from` of a few units. Departs: the standard also allows corrections by
/// ratio, which differ by some per cent.
double special_metamerism_index(const Reflectance& standard, const Reflectance& sample, Lamp from, Lamp to, Observer);

}  // namespace witnessline::colour
