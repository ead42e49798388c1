#include "match/prediction_table.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>

#include "materials/csv.h"

namespace witnessline::match {

namespace {

constexpr double unknown_thickness_log_sd = 0.35;  // as found on real drawdowns (docs/validation/colour.md)

const std::vector<std::string> surfaces{"card_black", "over_black", "card_white", "over_white"};

struct Columns {
  std::size_t sample = 0, surface = 0;
  std::optional<std::size_t> thickness;
  std::vector<std::size_t> colorants, readings;
};

std::optional<int> band_of(const std::string& name) {
  if (name.size() < 2 || name[0] != 'R' || !std::all_of(name.begin() + 1, name.end(), ::isdigit)) return std::nullopt;
  return std::atoi(name.c_str() + 1);
}

Result<Columns> columns_of(const CsvTable& table) {
  Columns columns;
  std::vector<Error> faults;
  const auto fault = [&](const std::string& what, const std::string& expected, const std::string& fix) {
    faults.push_back({what, {table.file, table.header_line, 0, ""}, expected, fix});
  };
  bool sample = false, surface = false;
  std::vector<int> wavelengths;
  for (std::size_t c = 0; c < table.header.size(); ++c) {
    const std::string& name = table.header[c];
    if (std::count(table.header.begin(), table.header.begin() + static_cast<std::ptrdiff_t>(c), name) > 0)
      fault(fmt::format("column '{}' is there twice", name), "", "remove one");
    if (name == "sample")
      sample = true, columns.sample = c;
    else if (name == "surface")
      surface = true, columns.surface = c;
    else if (name == "thickness")
      columns.thickness = c;
    else if (const auto nm = band_of(name))
      wavelengths.push_back(*nm), columns.readings.push_back(c);
    else
      columns.colorants.push_back(c);
  }
  if (!sample) fault("no column 'sample'", "sample", "name each film; its rows share the name");
  if (!surface) fault("no column 'surface'", "surface", "card_black, over_black, card_white or over_white");
  if (columns.colorants.empty()) fault("no column for any colorant", "one column per colorant, with its parts", "");
  const auto ladder = [](int from, int to) {
    std::vector<int> steps;
    for (int nm = from; nm <= to; nm += 10) steps.push_back(nm);
    return steps;
  };
  if (wavelengths != ladder(400, 700) && wavelengths != ladder(380, 730))
    fault(std::is_sorted(wavelengths.begin(), wavelengths.end()) ? "the wavelength columns are wrong"
                                                                 : "the wavelengths are out of order",
          "R400, R410 to R700, or R380, R390 to R730", "rising by 10 nm, none missing");
  if (!faults.empty()) return faults;
  return columns;
}

std::optional<Reflectance> reading_in(const CsvRow& row, const Columns& columns) {
  std::vector<double> values;
  for (const std::size_t c : columns.readings) {
    const auto value = number_in(row.cells[c]);
    if (!value) return std::nullopt;
    values.push_back(*value);
  }
  if (values.size() == 31) return widened(std::span<const double, 31>(values.data(), 31));
  Reflectance r;
  std::copy(values.begin(), values.end(), r.at.begin());
  return r;
}

Result<PredictionTable> table_of(const Result<CsvTable>& csv, const std::string& path,
                                 const PigmentDensities& densities) {
  if (!csv) return csv.errors();
  const auto columns = columns_of(*csv);
  if (!columns) return columns.errors();
  PredictionTable table;
  table.file = path;
  for (const std::size_t c : columns->colorants) table.colorants.push_back(csv->header[c]);
  std::vector<Error> faults;
  std::map<std::string, std::size_t> place;
  for (const CsvRow& row : csv->rows) {
    const std::string &sample = row.cells[columns->sample], &surface = row.cells[columns->surface];
    const auto fault = [&](const std::string& what, const std::string& expected, const std::string& fix) {
      faults.push_back({what, {path, row.line, 0, sample}, expected, fix});
    };
    if (std::find(surfaces.begin(), surfaces.end(), surface) == surfaces.end()) {
      fault(fmt::format("surface '{}' is not known", surface), fmt::format("{}", fmt::join(surfaces, ", ")),
            did_you_mean(surface, surfaces));
      continue;
    }
    FilmReading film;
    film.sample = sample, film.where = {path, row.line, 0, sample}, film.thickness_log_sd = unknown_thickness_log_sd;
    double parts = 0;
    bool sound = true;
    for (const std::size_t c : columns->colorants) {
      const auto value = row.cells[c].empty() ? std::optional(0.0) : number_in(row.cells[c]);
      if (!value || *value < 0) {
        fault(fmt::format("'{}' parts of {} is not a number", row.cells[c], csv->header[c]), "a number of 0 or more",
              "");
        sound = false;
        break;
      }
      film.shares.push_back(*value), parts += *value;
    }
    if (!sound) continue;
    if (!(parts > 0)) {
      fault("no colorant in this film", "parts above zero of one colorant or more", "");
      continue;
    }
    for (double& share : film.shares) share /= parts;
    film.shares = shares_by_volume(film.shares, table.colorants, densities);
    if (columns->thickness && !row.cells[*columns->thickness].empty()) {
      const auto value = number_in(row.cells[*columns->thickness]);
      if (!value || *value <= 0) {
        fault(fmt::format("thickness '{}'", row.cells[*columns->thickness]), "a number above zero",
              "leave it empty where it is not known");
        continue;
      }
      film.thickness_ratio = *value, film.thickness_log_sd = 0;
    }
    const auto [found, is_new] = place.try_emplace(sample, table.films.size());
    if (is_new) table.films.push_back({film, {}, {}, {}, {}});
    TableFilm& into = table.films[found->second];
    if (into.film.shares != film.shares || into.film.thickness_ratio != film.thickness_ratio) {
      fault("this row's composition or thickness differs from the sample's first row", "the same in all its rows", "");
      continue;
    }
    const auto reading = reading_in(row, *columns);
    if (!reading) {
      fault("a reflectance is not a number", "factors from 0 to 1", "");
      continue;
    }
    const double highest = *std::max_element(reading->at.begin(), reading->at.end());
    const double lowest = *std::min_element(reading->at.begin(), reading->at.end());
    if (highest > 1.5 || lowest < 0) {
      fault(fmt::format("reflectance {:g}", highest > 1.5 ? highest : lowest), "factors from 0 to 1",
            highest > 1.5 ? "per cent? divide by 100" : "read it again");
      continue;
    }
    std::optional<Reflectance>& slot = surface == "card_black"   ? into.dark_card
                                       : surface == "over_black" ? into.over_dark
                                       : surface == "card_white" ? into.light_card
                                                                 : into.over_light;
    if (slot)
      fault(fmt::format("{} of this sample is there twice", surface), "one row per surface", "average them first");
    else
      slot = *reading;
  }
  const auto mean = [](const Reflectance& r) { return std::accumulate(r.at.begin(), r.at.end(), 0.0) / bands; };
  for (TableFilm& film : table.films) {
    if (film.dark_card && film.light_card && mean(*film.dark_card) > mean(*film.light_card))
      faults.push_back({"card_black is lighter than card_white", film.film.where, "the darker card under black",
                        "were black and white swapped? swap them back"});
    if ((film.over_dark && !film.dark_card) || (film.over_light && !film.light_card))
      faults.push_back({"a film without its bare card", film.film.where,
                        "card_black with over_black, card_white with over_white", "read the card beside the film"});
    if (film.dark_card && film.over_dark) film.film.over.push_back({*film.dark_card, *film.over_dark});
    if (film.light_card && film.over_light) film.film.over.push_back({*film.light_card, *film.over_light});
  }
  if (table.films.empty() && faults.empty()) faults.push_back({"the table has no rows", {path, 0, 0, ""}, "", ""});
  if (!faults.empty()) return faults;
  return table;
}

}  // namespace

Result<PredictionTable> read_prediction_table(const std::string& path, const PigmentDensities& densities) {
  return table_of(read_csv(path), path, densities);
}

Result<PredictionTable> prediction_table(const std::string& text, const std::string& file,
                                         const PigmentDensities& densities) {
  return table_of(csv_table(text, file), file, densities);
}

}  // namespace witnessline::match
