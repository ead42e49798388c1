#include "materials/spectra.h"

#include <fmt/format.h>

#include <algorithm>

#include "materials/csv.h"

namespace witnessline::materials {

namespace {
std::vector<std::string> header() {
  std::vector<std::string> columns{"id", "quantity"};
  for (int band = 0; band < bands; ++band) columns.push_back(fmt::format("w{:.0f}", band_nm(band)));
  return columns;
}
}  // namespace

Result<SpectraFile> read_spectra(const std::string& path) {
  const Result<CsvTable> table = read_csv(path);
  if (!table) return table.errors();
  if (table->header != header())
    return Error{"the header is wrong for a spectra file",
                 {path, table->header_line, 0, ""},
                 "id,quantity,w380,w390,...,w730",
                 "give one column per wavelength, 380 to 730 nm by 10"};
  SpectraFile file;
  std::vector<Error> faults;
  for (const CsvRow& row : table->rows) {
    const std::string &id = row.cells[0], &quantity = row.cells[1];
    const auto fault = [&](const std::string& what, const std::string& expected, const std::string& fix = "") {
      faults.push_back({what, {path, row.line, 0, id}, expected, fix});
    };
    if (std::find(spectral_quantities.begin(), spectral_quantities.end(), quantity) == spectral_quantities.end()) {
      fault(fmt::format("quantity '{}' is not known", quantity),
            fmt::format("{}", fmt::join(spectral_quantities, ", ")), did_you_mean(quantity, spectral_quantities));
      continue;
    }
    const bool per_m = quantity.size() > 6 && quantity.substr(quantity.size() - 6) == "_per_m";
    Spectrum spectrum;
    for (int band = 0; band < bands; ++band) {
      const std::string& cell = row.cells[static_cast<std::size_t>(band) + 2];
      const std::optional<double> value = number_in(cell);
      if (!value || *value < 0 || (!per_m && *value > 1))
        fault(fmt::format("the value at {:.0f} nm is '{}'", band_nm(band), cell),
              per_m ? "a number from 0 up, per metre" : "a factor from 0 to 1");
      spectrum[band] = value.value_or(0);
    }
    if (!file[id].emplace(quantity, spectrum).second) fault(fmt::format("{} of '{}' is given twice", quantity, id), "");
  }
  if (!faults.empty()) return faults;
  return file;
}

}  // namespace witnessline::materials
