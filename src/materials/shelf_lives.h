// Shelf lives of tins, read from data/shelf_life.csv.
#pragma once

#include <string>
#include <vector>

#include "materials/material.h"
#include "materials/sources.h"

namespace witnessline::materials {

/// Errors: every fault of the file with its line: unknown words, ages out of order, a source that is not listed.
Result<std::vector<ShelfLife>> read_shelf_lives(const std::string& path, const std::vector<Source>& sources);

}  // namespace witnessline::materials
