// What carries a paint: its own solvents and the thinner stirred in.
#pragma once

#include <string>
#include <vector>

#include "base/result.h"
#include "materials/material.h"

namespace witnessline {

/// What carries a paint: solvents and their shares by volume.
struct CarrierBlend {
  std::vector<const Material*> solvents;
  std::vector<double> volume_fraction;
};

/// The usual solvents of a finish as supplied. ESTIMATE: what label and safety sheet list matters more.
/// Errors: a solvent that is not in the library.
Result<CarrierBlend> usual_carrier(Binder, const Library&);
/// A thinner by its id; the library's lacquer thinner is taken apart into its four solvents.
Result<CarrierBlend> carrier_of(const std::string& thinner, const Library&);
/// CarrierBlend of a thinned paint: that of the paint and `parts` of thinner to one of paint, by volume.
CarrierBlend thinned(const CarrierBlend& paint, double volume_solids_fraction, const CarrierBlend& thinner,
                     double parts);

}  // namespace witnessline
