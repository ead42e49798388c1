// Comma-separated tables as our data files use them: lines starting with '#' are remarks, then one header, then rows.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/result.h"

namespace witnessline::materials {

struct CsvRow {
  int line = 0;
  std::vector<std::string> cells;  ///< as many as the header has
};

struct CsvTable {
  std::string file;
  int header_line = 0;
  std::vector<std::string> header;
  std::vector<CsvRow> rows;
};

/// Errors: a file that cannot be read, every row with more or fewer cells than the header.
Result<CsvTable> read_csv(const std::string& path);
/// The same of a text that came from somewhere; `file` is what faults call it.
Result<CsvTable> csv_table(const std::string& text, const std::string& file);

/// A text as a cell: in double quotes where it must be (RFC 4180).
std::string csv_cell(const std::string& text);

/// The number a cell holds, whole and finite; nothing else.
std::optional<double> number_in(const std::string& text);

}  // namespace witnessline::materials
