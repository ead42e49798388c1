// Readings in CSV (docs/formats.md, Readings).
#include <fmt/format.h>

#include <algorithm>

#include "match/raw_reading.h"
#include "materials/csv.h"

namespace witnessline::match {

namespace {

const std::vector<std::string> known_columns{"name", "mode", "specular", "geometry", "L", "a", "b", "lamp", "observer"};

// Spreadsheets of half the world write 0,25;0,31 for 0.25,0.31. Remarks and quoted cells are let be.
std::string with_points_and_commas(const std::string& text) {
  std::string turned = text;
  bool quoted = false, remark = false, at_start = true;
  for (char& c : turned) {
    if (at_start) remark = c == '#';
    at_start = c == '\n';
    if (remark) continue;
    if (c == '"') quoted = !quoted;
    if (quoted) continue;
    if (c == ',') c = '.';
    if (c == ';' || c == '\t') c = ',';
  }
  return turned;
}

std::string header_of(const std::string& text) {
  std::size_t begin = 0;
  while (begin < text.size()) {
    const std::size_t end = std::min(text.find('\n', begin), text.size());
    const std::string line = text.substr(begin, end - begin);
    if (!line.empty() && line != "\r" && line.front() != '#') return line;
    begin = end + 1;
  }
  return "";
}

}  // namespace

Result<std::vector<Reading>> read_csv_readings(const std::string& text, const std::string& file) {
  RawFile raw;
  raw.file = file;
  const std::string header = header_of(text);
  const bool other_marks = header.find_first_of(";\t") != std::string::npos && header.find(',') == std::string::npos;
  if (other_marks)
    raw.notes.push_back({Severity::information,
                         "Columns are separated by semicolons or tabs; commas were read as decimal points.", file});
  const auto table = csv_table(other_marks ? with_points_and_commas(text) : text, file);
  if (!table) return table.errors();

  std::vector<Error> faults;
  std::vector<std::optional<double>> wavelength(table->header.size());
  std::vector<std::optional<std::size_t>> place(known_columns.size());
  for (std::size_t c = 0; c < table->header.size(); ++c) {
    const std::string& name = table->header[c];
    const Place where{file, table->header_line, 0, name};
    if ((wavelength[c] = wavelength_in_nm(name))) continue;
    const auto known = std::find(known_columns.begin(), known_columns.end(), name);
    if (known == known_columns.end()) {
      const std::string near = nearest_word(name, known_columns);
      faults.push_back(
          {fmt::format("column '{}' is not known", name), where,
           fmt::format("{}, or R400 to R700", fmt::join(known_columns, ", ")),
           near.empty() ? "remove it, or put it into a remark (#)" : fmt::format("did you mean '{}'?", near)});
      continue;
    }
    auto& slot = place[static_cast<std::size_t>(known - known_columns.begin())];
    if (slot) faults.push_back({fmt::format("column '{}' is there twice", name), where, "", "remove one"});
    slot = c;
  }
  if (!place[0])
    faults.push_back(
        {"no column 'name'", {file, table->header_line, 0, ""}, "name", "name each reading; repeats share a name"});
  if (!faults.empty()) return faults;

  for (const CsvRow& row : table->rows) {
    const auto cell = [&](std::size_t column) { return place[column] ? row.cells[*place[column]] : std::string(); };
    RawReading reading;
    reading.name = cell(0);
    reading.where = {file, row.line, 0, reading.name};
    const auto fault = [&](const std::string& key, const std::string& what, const std::string& expected,
                           const std::string& fix = "") {
      faults.push_back({what, {file, row.line, 0, fmt::format("{}.{}", reading.name, key)}, expected, fix});
    };
    if (reading.name.empty()) fault("name", "a reading without a name", "a name", "name what was read");
    const auto choose = [&](std::size_t column, auto read, auto& into, const std::string& expected) {
      const std::string stated = cell(column);
      if (stated.empty() || stated == "not_said") return;
      if (const auto value = read(stated))
        into = *value;
      else
        fault(known_columns[column], fmt::format("'{}' is not known", stated), expected);
    };
    choose(1, mode_in, reading.mode, "M0, M1, M2 or M3");
    choose(2, specular_in, reading.specular, "included or excluded");
    set_geometry(reading, cell(3));
    choose(7, lamp_in, reading.lamp, "A, C, D50, D65 or LED-B3");
    choose(8, observer_in, reading.observer, "2 deg or 10 deg");
    if (!cell(4).empty() || !cell(5).empty() || !cell(6).empty()) {
      const auto l = reading_number(cell(4)), a = reading_number(cell(5)), b = reading_number(cell(6));
      if (l && a && b)
        reading.lab = Lab{*l, *a, *b};
      else
        fault("L", "L, a and b are not three numbers", "L* from 0 to 100, a* and b*");
    }
    std::size_t empty = 0;
    for (std::size_t c = 0; c < row.cells.size(); ++c) {
      if (!wavelength[c]) continue;
      empty += row.cells[c].empty();
      reading.wavelengths_nm.push_back(*wavelength[c]);
      const auto value = reading_number(row.cells[c]);
      if (!value && !row.cells[c].empty())
        fault(table->header[c], fmt::format("'{}' is not a number", row.cells[c]), "a reflectance of 0 to 1");
      reading.values.push_back(value.value_or(0));
    }
    if (empty == reading.values.size())
      reading.wavelengths_nm.clear(), reading.values.clear();
    else if (empty > 0)
      fault("R", fmt::format("{} of {} bands are empty", empty, reading.values.size()), "all of them, or none",
            "export the reading again with all its bands");
    raw.readings.push_back(std::move(reading));
  }
  if (!faults.empty()) return faults;
  return on_the_grid(raw);
}

}  // namespace witnessline::match
