#include "match/paint_density.h"

#include <fmt/format.h>

#include <cctype>

#include "materials/csv.h"

namespace witnessline::match {

namespace {

std::string colour_index_name(const std::string& colorant) {
  std::size_t end = 0;
  while (end < colorant.size() && std::isalpha(static_cast<unsigned char>(colorant[end]))) ++end;
  const std::size_t letters = end;
  while (end < colorant.size() && std::isdigit(static_cast<unsigned char>(colorant[end]))) ++end;
  return end > letters ? colorant.substr(0, end) : "";
}

}  // namespace

Result<PigmentDensities> read_pigment_densities(const std::string& path) {
  const auto csv = read_csv(path);
  if (!csv) return csv.errors();
  if (csv->header != std::vector<std::string>{"ci_name", "density_kg_m3", "pigment"})
    return Error{"the header is not that of a list of pigments",
                 {path, csv->header_line, 0, ""},
                 "ci_name,density_kg_m3,pigment",
                 ""};
  PigmentDensities densities;
  std::vector<Error> faults;
  for (const CsvRow& row : csv->rows) {
    const auto density = number_in(row.cells[1]);
    if (!density || !(*density > 0))
      faults.push_back(
          {fmt::format("density '{}'", row.cells[1]), {path, row.line, 0, row.cells[0]}, "kg/m3, above zero", ""});
    else
      densities[row.cells[0]] = *density;
  }
  if (!faults.empty()) return faults;
  return densities;
}

double paint_density(const std::string& colorant, const PigmentDensities& densities) {
  constexpr double pigment_share = 0.4, medium = 930, lake = 1800;  // ESTIMATE
  const auto known = densities.find(colour_index_name(colorant));
  return medium + pigment_share * ((known == densities.end() ? lake : known->second) - medium);
}

std::vector<double> shares_by_volume(const std::vector<double>& weighed, const std::vector<std::string>& colorants,
                                     const PigmentDensities& densities) {
  expects(weighed.size() == colorants.size(), "one share a colorant");
  std::vector<double> shares = weighed;
  double sum = 0;
  for (std::size_t i = 0; i < shares.size(); ++i) sum += shares[i] /= paint_density(colorants[i], densities);
  for (double& share : shares) share /= sum;
  return shares;
}

}  // namespace witnessline::match
