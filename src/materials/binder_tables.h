// What is known of paints by what binds them: shelf lives (data/shelf_life.csv), usual carriers
// (data/usual_carriers.csv).
#pragma once

#include <string>
#include <vector>

#include "materials/material.h"
#include "materials/sources.h"

namespace witnessline::materials {

/// Errors: every fault of the file with its line: unknown words, ages out of order, a source that is not listed.
Result<std::vector<ShelfLife>> read_shelf_lives(const std::string& path, const std::vector<Source>& sources);

/// Errors: every fault of the file with its line: unknown words, a solvent that is not among the materials, a binder
/// whose carrier does not add up to 1 or that has not one solvent that leaves last.
Result<std::vector<UsualCarrier>> read_usual_carriers(const std::string& path, const std::vector<Material>&);

}  // namespace witnessline::materials
