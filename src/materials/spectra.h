// data/spectra/*.csv: measured and estimated spectra on the project's grid, by id and quantity.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "base/result.h"
#include "colour/spectrum.h"

namespace witnessline::materials {

inline const std::vector<std::string> spectral_quantities{
    "over_black", "over_white", "card_black", "card_white", "reflectance", "absorption_per_m", "yellowing_per_m"};

/// Spectra by id, then by quantity.
using SpectraFile = std::map<std::string, std::map<std::string, Spectrum>>;

/// Header: id,quantity,w380,w390,...,w730. Reflectances are factors 0..1; K is per metre of dry film.
/// Errors: every fault with its line.
Result<SpectraFile> read_spectra(const std::string& path);

}  // namespace witnessline::materials
