#include "match/raw_reading.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "materials/csv.h"

namespace witnessline::match {

std::string lower_case(std::string text) {
  std::transform(text.begin(), text.end(), text.begin(),
                 [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  return text;
}

namespace {

constexpr double most_reflectance =
    1.2;  // ESTIMATE: brighteners and a soiled white tile reach 1.1; more is a wrong scale
constexpr double least_reflectance = -0.01;  // ESTIMATE: what zeroing and noise leave on a black
constexpr double same_colour_delta_e = 1.0;  // ESTIMATE: Lab and reflectance of one file agree to rounding and weights

// Letters and digits only, in lower case: "Illuminant_D50" is "illuminantd50".
std::string letters(const std::string& text) {
  std::string kept;
  for (const unsigned char c : text)
    if (std::isalnum(c)) kept += static_cast<char>(std::tolower(c));
  return kept;
}
bool holds(const std::string& text, std::string_view part) { return text.find(part) != std::string::npos; }

// Law: at a band of our grid, a triangle of 10 nm half width over finer readings, a cubic through the four nearest of
// coarser ones; ends held. Source: astm_e308 (bandpass, ends), cie15_2018 (third-order interpolation).
double at_wavelength(double nm, const std::vector<double>& at_nm, const std::vector<double>& values, double step_nm) {
  const double place = (nm - at_nm.front()) / step_nm;
  const int count = static_cast<int>(values.size());
  const auto value = [&](int i) { return values[static_cast<std::size_t>(i)]; };
  if (place <= 0) return values.front();
  if (place >= count - 1) return values.back();
  if (step_nm < band_step_nm) {
    double sum = 0, weights = 0;
    for (int i = 0; i < count; ++i) {
      const double weight = 1 - std::abs(at_nm[static_cast<std::size_t>(i)] - nm) / band_step_nm;
      if (weight <= 0) continue;
      sum += weight * value(i);
      weights += weight;
    }
    return sum / weights;
  }
  const int first = std::clamp(static_cast<int>(std::floor(place)) - 1, 0, count - 4);
  double sum = 0;
  for (int i = first; i < first + 4; ++i) {
    double weight = 1;
    for (int j = first; j < first + 4; ++j)
      if (j != i) weight *= (place - j) / (i - j);
    sum += weight * value(i);
  }
  return sum;
}

struct Grid {
  double step_nm = 0;
  bool sorted_by_us = false;
};

// Puts the bands in order and finds their step.
Result<Grid> grid_of(RawReading& raw) {
  Grid grid;
  const auto fault = [&](std::string what, std::string expected, std::string fix) {
    return Error{std::move(what), raw.where, std::move(expected), std::move(fix)};
  };
  if (raw.wavelengths_nm.size() < 4)
    return fault(fmt::format("{} bands are too few for a spectrum", raw.wavelengths_nm.size()),
                 "400 to 700 nm by 10 or finer", "");
  std::vector<std::pair<double, double>> pairs;
  for (std::size_t i = 0; i < raw.values.size(); ++i) pairs.emplace_back(raw.wavelengths_nm[i], raw.values[i]);
  if (!std::is_sorted(raw.wavelengths_nm.begin(), raw.wavelengths_nm.end())) {
    grid.sorted_by_us = true;
    std::stable_sort(pairs.begin(), pairs.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
    for (std::size_t i = 0; i < pairs.size(); ++i)
      raw.wavelengths_nm[i] = pairs[i].first, raw.values[i] = pairs[i].second;
  }
  const std::vector<double>& nm = raw.wavelengths_nm;
  double smallest = nm[1] - nm[0];
  for (std::size_t i = 1; i < nm.size(); ++i) {
    if (nm[i] == nm[i - 1])
      return fault(fmt::format("band {:g} nm is there twice", nm[i]), "each band once", "remove one");
    smallest = std::min(smallest, nm[i] - nm[i - 1]);
  }
  for (std::size_t i = 1; i < nm.size(); ++i)
    if (std::abs(nm[i] - nm[i - 1] - smallest) > 0.01)
      return fault(fmt::format("no band between {:g} and {:g} nm", nm[i - 1], nm[i]),
                   fmt::format("even steps of {:g} nm", smallest), "export the reading again with all its bands");
  if (smallest < 0.99 || smallest > 20.01)
    return fault(fmt::format("bands {:g} nm apart", smallest), "1 to 20 nm", "export the reading every 10 nm");
  if (nm.front() > 400.5 || nm.back() < 699.5)
    return fault(fmt::format("bands from {:g} to {:g} nm", nm.front(), nm.back()), "at least 400 to 700 nm",
                 "a shorter spectrum does not fix the colour; give its Lab with lamp and observer instead");
  grid.step_nm = smallest;
  return grid;
}

// Fraction or per cent, of the whole file: an instrument writes one of them throughout.
Result<double> scale_of(const RawFile& raw, std::vector<Note>& notes) {
  double highest = -1;
  Place where{raw.file, 0, 0, ""};
  for (const RawReading& r : raw.readings)
    for (const double v : r.values)
      if (v > highest) highest = v, where = r.where;
  if (highest < 0) return 1.0;
  if (raw.scale == ReflectanceScale::per_cent) {
    if (highest > 1.0) return 0.01;
    return Error{fmt::format("the file states per cent, but its highest reflectance is {:g}", highest), where,
                 "per cent of 0 to 100", "if these are fractions of 1, correct the file's keyword"};
  }
  if (highest <= most_reflectance) return 1.0;
  if (highest <= 2.0)
    return Error{fmt::format("reflectance {:g}: too high for a fraction, too low for per cent", highest), where,
                 "fractions from 0 to 1", "calibrate on the white tile and read again, or divide by 100"};
  notes.push_back(
      {Severity::caution,
       fmt::format("{} reflectances up to {:g} are per cent; they were divided by 100.",
                   raw.scale == ReflectanceScale::fraction ? "The file should hold fractions, but" : "Its", highest),
       raw.file});
  return 0.01;
}

Result<Reading> reading_of(RawReading raw, double scale) {
  Reading reading;
  reading.name = raw.name, reading.where = raw.where;
  reading.mode = raw.mode, reading.specular = raw.specular, reading.geometry = raw.geometry;
  const auto note = [&](Severity severity, std::string text) {
    reading.notes.push_back({severity, std::move(text), raw.name});
  };
  if (raw.lab && !std::isfinite(raw.lab->l + raw.lab->a + raw.lab->b))
    return Error{"a Lab value is not a number", raw.where, "L* from 0 to 100, a* and b*", "read it again"};
  if (raw.lab && (!raw.lamp || !raw.observer) && raw.values.empty())
    return Error{"Lab is given without its lamp and observer", raw.where,
                 "lamp A, C, D50, D65 or LED-B3; observer 2 or 10 degree",
                 "the same surface has another Lab under another lamp: state the one the instrument used"};
  if (raw.lab && raw.lamp && raw.observer) reading.lab = LabReading{*raw.lab, *raw.lamp, *raw.observer};
  if (raw.values.empty()) {
    if (!reading.lab) return Error{"neither reflectance nor Lab", raw.where, "one of them", ""};
    auto recovered = recovered_from_lab(raw.name, *reading.lab, raw.where);
    if (!recovered) return recovered.errors();
    reading.reflectance = recovered->reflectance, reading.recovered = true;
    reading.notes = recovered->notes;
    return reading;
  }
  const auto grid = grid_of(raw);
  if (!grid) return grid.errors();
  if (grid->sorted_by_us) note(Severity::caution, "The bands were out of order and have been sorted by wavelength.");
  bool noise = false, bright = false;
  for (std::size_t i = 0; i < raw.values.size(); ++i) {
    double& value = raw.values[i];
    value *= scale;
    Place where = raw.where;
    where.key = fmt::format("{}.{:g} nm", raw.name, raw.wavelengths_nm[i]);
    if (!std::isfinite(value)) return Error{"a reflectance is not a number", where, "a fraction of 0 to 1", ""};
    if (value < least_reflectance || value > most_reflectance)
      return Error{fmt::format("reflectance {:g}", value), where, "a fraction of 0 to 1",
                   value < 0 ? "zero the instrument on its black trap and read again"
                             : "calibrate on the white tile and read again"};
    if (value < 0) value = 0, noise = true;
    bright = bright || value > 1;
  }
  if (noise) note(Severity::caution, "Reflectances slightly below zero (noise) were set to zero.");
  if (bright)
    note(Severity::caution, "Some band reflects more than 100 %: fluorescence, or a white tile that needs cleaning.");
  if (grid->step_nm > band_step_nm + 0.01)
    note(Severity::caution, fmt::format("Bands {:g} nm apart were interpolated to 10 nm; sharp steps of the curve are "
                                        "smoothed.",
                                        grid->step_nm));
  else if (grid->step_nm < band_step_nm - 0.01)
    note(Severity::information, fmt::format("Bands {:g} nm apart were averaged to 10 nm.", grid->step_nm));
  if (raw.wavelengths_nm.front() > first_band_nm + 0.5 || raw.wavelengths_nm.back() < band_nm(bands - 1) - 0.5)
    note(Severity::information,
         fmt::format("Read from {:g} to {:g} nm; the end values are extended to 380 and 730 nm (ASTM E308).",
                     raw.wavelengths_nm.front(), raw.wavelengths_nm.back()));
  for (int b = 0; b < bands; ++b)
    reading.reflectance[b] =
        std::clamp(at_wavelength(band_nm(b), raw.wavelengths_nm, raw.values, grid->step_nm), 0.0, most_reflectance);
  if (reading.lab) {
    const double apart =
        delta_e_2000(to_lab(reading.reflectance, reading.lab->lamp, reading.lab->observer), reading.lab->lab);
    if (apart > same_colour_delta_e)
      note(Severity::caution, fmt::format("The file's own Lab is {:.1f} Delta E 2000 from its reflectance: its lamp, "
                                          "observer or one of the two is wrong. The reflectance is used.",
                                          apart));
  }
  return reading;
}

}  // namespace

Result<std::vector<Reading>> on_the_grid(const RawFile& raw) {
  if (raw.readings.empty())
    return Error{"the file holds no reading", {raw.file, 0, 0, ""}, "reflectance or Lab of one surface or more", ""};
  std::vector<Note> notes = raw.notes;
  const auto scale = scale_of(raw, notes);
  if (!scale) return scale.errors();
  std::vector<Reading> readings;
  std::vector<Error> faults;
  for (const RawReading& r : raw.readings) {
    auto reading = reading_of(r, *scale);
    if (!reading) {
      faults.insert(faults.end(), reading.errors().begin(), reading.errors().end());
      continue;
    }
    reading->notes.insert(reading->notes.begin(), notes.begin(), notes.end());
    readings.push_back(std::move(*reading));
  }
  if (!faults.empty()) return faults;
  return readings;
}

std::optional<double> wavelength_in_nm(const std::string& column) {
  std::string name = lower_case(column);
  for (const char* prefix : {"spectral_nm", "spectral_pct", "spectral_dec", "spectral", "spec", "nm", "r"})
    if (name.starts_with(prefix)) {
      name.erase(0, std::string(prefix).size());
      break;
    }
  if (name.starts_with("_")) name.erase(0, 1);
  if (name.ends_with("nm")) name.erase(name.size() - 2);
  const auto value = number_in(name);
  return value && *value >= 200 && *value <= 2500 ? value : std::nullopt;
}

std::optional<Lamp> lamp_in(const std::string& text) {
  const std::string stated = letters(text);
  if (holds(stated, "d50")) return Lamp::D50;
  if (holds(stated, "d65")) return Lamp::D65;
  if (holds(stated, "ledb3")) return Lamp::LED_B3;
  if (stated == "a" || stated == "illa" || stated == "illuminanta") return Lamp::A;
  if (stated == "c" || stated == "illc" || stated == "illuminantc") return Lamp::C;
  return std::nullopt;
}

std::optional<Observer> observer_in(const std::string& text) {
  const std::string stated = letters(text);
  if (holds(stated, "1931")) return Observer::deg2;
  if (holds(stated, "1964")) return Observer::deg10;
  const std::size_t digit = stated.find_first_of("0123456789");
  if (digit == std::string::npos) return std::nullopt;
  const std::string number = stated.substr(digit, stated.find_first_not_of("0123456789", digit) - digit);
  if (number == "2") return Observer::deg2;
  if (number == "10") return Observer::deg10;
  return std::nullopt;
}

std::optional<MeasurementMode> mode_in(const std::string& text) {
  std::string word;
  for (const char c : lower_case(text) + " ") {
    if (std::isalnum(static_cast<unsigned char>(c))) {
      word += c;
      continue;
    }
    if (word.size() == 2 && word[0] == 'm' && word[1] >= '0' && word[1] <= '3')
      return static_cast<MeasurementMode>(word[1] - '0' + 1);
    word.clear();
  }
  return std::nullopt;
}

std::optional<Specular> specular_in(const std::string& text) {
  const std::string stated = letters(text);
  if (stated == "sci" || stated == "spin" || holds(stated, "includ")) return Specular::included;
  if (stated == "sce" || stated == "spex" || holds(stated, "exclud")) return Specular::excluded;
  return std::nullopt;
}

void set_geometry(RawReading& reading, const std::string& text) {
  const std::string stated = letters(text);
  if (stated.empty()) return;
  reading.geometry = text;
  std::optional<Specular> specular = specular_in(text);
  if (holds(stated, "45")) {
    reading.geometry = "45:0", specular = Specular::excluded;
  } else if (stated.starts_with("d8") || stated.starts_with("di8") || stated.starts_with("de8") ||
             holds(stated, "sphere") || stated == "8d" || stated == "8di" || stated == "8de") {
    reading.geometry = "d:8";
    if (holds(stated, "di")) specular = specular ? specular : Specular::included;
    if (holds(stated, "de8") || stated == "8de") specular = Specular::excluded;
  }
  if (specular && reading.specular == Specular::not_stated) reading.specular = *specular;
}

std::optional<double> reading_number(const std::string& text) {
  const std::size_t first = text.find_first_not_of(" \t+"), last = text.find_last_not_of(" \t");
  if (first == std::string::npos) return std::nullopt;
  return number_in(text.substr(first, last - first + 1));
}

}  // namespace witnessline::match
