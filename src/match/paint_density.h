// Paints weighed, mixed by volume: densities of paints from their pigments' densities.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "base/result.h"

namespace witnessline::match {

/// Densities of dry pigments [kg/m3] by Colour Index generic name ("PW4").
using PigmentDensities = std::map<std::string, double>;

/// data/pigments.csv: ci_name, density_kg_m3, pigment. Errors: every fault with its line.
Result<PigmentDensities> read_pigment_densities(const std::string& path);

/// Density of the dry paint of a colorant whose name begins with a Colour Index name, e.g. "PW4_zinc_white" [kg/m3].
/// Law: 0.4 parts by volume of pigment in an oil or resin of 930 kg/m3. Source: ESTIMATE (docs/models/match.md).
/// Departs: paints hold 20 to 60 per cent of pigment; a name that is not in the list counts as a lake of 1800 kg/m3.
double paint_density(const std::string& colorant, const PigmentDensities&);

/// Shares by volume of shares as weighed [1]; where no colorant's density is known, as they are.
std::vector<double> shares_by_volume(const std::vector<double>& weighed, const std::vector<std::string>& colorants,
                                     const PigmentDensities&);

}  // namespace witnessline::match
