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
/// The thinner of a request, stirred in at `parts` to one of paint; no solvents where none is named. Errors name the
/// keys `thinner` and `thinning`: parts of nothing, and those of carrier_of.
Result<CarrierBlend> thinner_given(const std::string& thinner, double parts, const Library&);
/// CarrierBlend of a thinned paint: that of the paint and `parts` of thinner to one of paint, by volume.
CarrierBlend thinned(const CarrierBlend& paint, double volume_solids_fraction, const CarrierBlend& thinner,
                     double parts);

}  // namespace witnessline
