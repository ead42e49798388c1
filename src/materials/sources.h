// data/sources.bib: where figures come from. A strict, small part of BibTeX.
#pragma once

#include <string>
#include <vector>

#include "base/figure.h"
#include "base/result.h"

namespace witnessline::materials {

/// Entries read `@misc{key,` then one `field = {text},` a line, then `}`. Text may hold balanced braces but no line
/// break; lines starting with '%' are remarks. Every entry has title, author (or organization), year and a note on how
/// the work is known; entries of type dataset have a licence.
/// Errors: all faults of the file with their lines.
Result<std::vector<Source>> read_sources(const std::string& path);

}  // namespace witnessline::materials
