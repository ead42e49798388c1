// What carries a paint: its own solvents and the thinner stirred in, and how a blend of solvents is read.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/result.h"
#include "materials/material.h"
#include "solvents/solution.h"

namespace witnessline::drying {

/// What carries a paint: solvents and their shares by volume.
struct CarrierBlend {
  std::vector<const Material*> solvents;
  std::vector<double> volume_fraction;
};

/// The usual solvents of a finish as supplied (data/usual_carriers.csv). ESTIMATE: what label and safety sheet list
/// matters more. Errors: a solvent that is not in the library.
Result<CarrierBlend> usual_carrier(Binder, const Library&);
/// The solvent that stands for all of that carrier in the last weeks (the same file); nothing where the library lacks
/// it.
const Material* last_to_leave(Binder, const Library&);
/// One part of a blend as asked for, and the key that names it.
struct BlendPart {
  std::string material;
  double parts = 1;  ///< by volume, of any sum
  std::string key;
};
/// The one way a blend is read: lacquer thinner is taken apart with a Note, what stands twice is added up. Errors name
/// each part's key: no such solvent, or one too little is known of.
Result<CarrierBlend> blend_of(const std::vector<BlendPart>&, const Library&, std::vector<Note>&);
/// Its solvents as they leave a film, in its order; a Note at `key` says what stands in for data that are missing.
/// Errors at `key`: a solvent too little is known of.
Result<std::vector<Volatile>> volatiles_of(const CarrierBlend&, const std::string& key, std::vector<Note>&);
/// A thinner by its id; one that is sold as a blend is taken apart into its solvents.
Result<CarrierBlend> carrier_of(const std::string& thinner, const Library&);
/// The thinner of a request, stirred in at `parts` to one of paint; no solvents where none is named. Errors name the
/// keys `thinner` and `thinning`: parts of nothing, and those of carrier_of.
Result<CarrierBlend> thinner_given(const std::string& thinner, double parts, const Library&);
/// CarrierBlend of a thinned paint: that of the paint and `parts` of thinner to one of paint, by volume.
CarrierBlend thinned(const CarrierBlend& paint, double volume_solids_fraction, const CarrierBlend& thinner,
                     double parts);

inline constexpr double usual_thinner_kg_m3 = 870;  ///< ESTIMATE (830 to 880, lacquer thinners)
/// Density of a blend [kg/m3]. Law: averaged by volume; usual_thinner_kg_m3 for no solvent or one without a density.
double density_kg_m3(const CarrierBlend&);
/// Viscosity of a blend at 25 degC [Pa s]. Law: logarithms averaged by volume. Source: arrhenius1887.
/// Departs: a tenth, more where alcohols meet hydrocarbons. None: a part's is missing.
std::optional<double> viscosity_Pa_s(const CarrierBlend&);

}  // namespace witnessline::drying
