#include "materials/csv.h"

#include <fmt/format.h>

#include <charconv>
#include <cmath>
#include <fstream>
#include <iterator>
#include <sstream>

namespace witnessline::materials {

namespace {
// RFC 4180 quoting, one line a record.
std::vector<std::string> split(const std::string& line) {
  std::vector<std::string> cells(1);
  bool quoted = false;
  for (std::size_t i = 0; i < line.size(); ++i) {
    const char c = line[i];
    if (quoted && c == '"' && i + 1 < line.size() && line[i + 1] == '"')
      cells.back() += line[++i];
    else if (c == '"')
      quoted = !quoted;
    else if (c == ',' && !quoted)
      cells.emplace_back();
    else
      cells.back() += c;
  }
  return cells;
}
}  // namespace

Result<CsvTable> read_csv(const std::string& path) {
  std::ifstream stream(path);
  if (!stream)
    return Error{"the file cannot be read", {path, 0, 0, ""}, "", "check that it is there and may be opened"};
  return csv_table({std::istreambuf_iterator<char>(stream), {}}, path);
}

Result<CsvTable> csv_table(const std::string& all, const std::string& file) {
  std::istringstream stream(all);
  CsvTable table;
  table.file = file;
  std::vector<Error> faults;
  std::string text;
  for (int line = 1; std::getline(stream, text); ++line) {
    if (!text.empty() && text.back() == '\r') text.pop_back();
    if (text.empty() || text.front() == '#') continue;
    std::vector<std::string> cells = split(text);
    if (table.header.empty()) {
      table.header = std::move(cells);
      table.header_line = line;
    } else if (cells.size() != table.header.size()) {
      faults.push_back({fmt::format("this row has {} cells", cells.size()),
                        {file, line, 0, ""},
                        fmt::format("{}, as the header has", table.header.size()),
                        "put a cell that holds a comma in double quotes"});
    } else {
      table.rows.push_back({line, std::move(cells)});
    }
  }
  if (table.header.empty()) faults.push_back({"the file holds no header", {file, 0, 0, ""}, "", ""});
  if (!faults.empty()) return faults;
  return table;
}

std::string csv_cell(const std::string& text) {
  if (text.find_first_of(",\"\n") == std::string::npos) return text;
  std::string out = "\"";
  for (const char c : text) out += c == '"' ? std::string("\"\"") : std::string(1, c);
  return out + '"';
}

std::optional<double> number_in(const std::string& text) {
  double value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc{} || end != text.data() + text.size() || !std::isfinite(value)) return std::nullopt;
  return value;
}

}  // namespace witnessline::materials
