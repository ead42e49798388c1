#include "match/reading.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "colour/recover.h"
#include "match/raw_reading.h"

namespace witnessline::match {

namespace {

constexpr double far_off_delta_e = 2.0;  // ESTIMATE: repeats on one even surface agree better than this

const char* word(Specular s) { return words(static_cast<const Specular*>(nullptr))[static_cast<std::size_t>(s)]; }
const char* word(MeasurementMode m) {
  return words(static_cast<const MeasurementMode*>(nullptr))[static_cast<std::size_t>(m)];
}

void add_once(std::vector<Note>& notes, const Note& note) {
  if (std::find(notes.begin(), notes.end(), note) == notes.end()) notes.push_back(note);
}

}  // namespace

Result<std::vector<Reading>> read_readings(const std::string& text, const std::string& file) {
  std::size_t begin = text.starts_with("\xEF\xBB\xBF") ? 3 : 0;
  begin = text.find_first_not_of(" \t\r\n", begin);
  if (begin == std::string::npos) return Error{"the file is empty", {file, 0, 0, ""}, "CSV, CGATS.17 or CxF3 text", ""};
  if (text.find('\0') != std::string::npos)
    return Error{"the file is not text",
                 {file, 0, 0, ""},
                 "CSV, CGATS.17 or CxF3 in UTF-8",
                 "export the readings as text; a photograph is named under 'photo'"};
  const std::string body = text.substr(text.starts_with("\xEF\xBB\xBF") ? 3 : 0);
  if (text[begin] == '<') return read_cxf(body, file);
  const std::string first = lower_case(text.substr(begin, text.find_first_of("\r\n", begin) - begin));
  if (first.starts_with("cgats") || first.starts_with("iso28178") || body.find("BEGIN_DATA") != std::string::npos)
    return read_cgats(body, file);
  return read_csv_readings(body, file);
}

Result<Reading> averaged(const std::vector<Reading>& readings) {
  if (readings.empty()) return Error{"no reading to average", {}, "one or more", ""};
  Reading mean = readings.front();
  if (readings.size() == 1) return mean;
  std::vector<Error> faults;
  for (const Reading& r : readings) {
    if (r.specular != mean.specular && r.specular != Specular::not_stated && mean.specular != Specular::not_stated)
      faults.push_back({fmt::format("'{}' is read with specular {} beside one with specular {}", r.name,
                                    word(r.specular), word(mean.specular)),
                        r.where, "readings of one kind",
                        "average the two kinds separately: they differ by the surface's gloss"});
    if (r.mode != mean.mode && r.mode != MeasurementMode::not_stated && mean.mode != MeasurementMode::not_stated)
      faults.push_back({fmt::format("'{}' is read in mode {} beside mode {}", r.name, word(r.mode), word(mean.mode)),
                        r.where, "readings of one mode",
                        "state the mode wanted, or give the readings different names"});
    if (r.specular != mean.specular)
      add_once(mean.notes,
               {Severity::caution, "Some of these readings do not state whether specular is included.", mean.name});
    if (r.mode != mean.mode)
      add_once(mean.notes,
               {Severity::caution, "Some of these readings do not state their measurement mode.", mean.name});
    if (r.recovered != mean.recovered)
      add_once(mean.notes,
               {Severity::caution, "Measured and recovered reflectances are averaged together.", mean.name});
    for (const Note& n : r.notes) add_once(mean.notes, n);
    mean.recovered = mean.recovered || r.recovered;
    if (r.geometry != mean.geometry) mean.geometry.clear();
    if (mean.specular == Specular::not_stated) mean.specular = r.specular;
    if (mean.mode == MeasurementMode::not_stated) mean.mode = r.mode;
  }
  if (!faults.empty()) return faults;
  const double count = static_cast<double>(readings.size());
  mean.repeats = 0;
  for (const Reading& r : readings) mean.repeats += r.repeats;
  mean.lab.reset();
  for (int b = 0; b < bands; ++b) {
    double sum = 0, squares = 0;
    for (const Reading& r : readings) sum += r.reflectance[b];
    mean.reflectance[b] = sum / count;
    for (const Reading& r : readings) squares += std::pow(r.reflectance[b] - mean.reflectance[b], 2);
    mean.scatter[b] = std::sqrt(squares / (count - 1));
  }
  const Lab middle = to_lab(mean.reflectance, Lamp::D65, Observer::deg10);
  for (const Reading& r : readings) {
    mean.scatter_delta_e += delta_e_2000(to_lab(r.reflectance, Lamp::D65, Observer::deg10), middle) / count;
    Reflectance others;
    for (int b = 0; b < bands; ++b) others[b] = (count * mean.reflectance[b] - r.reflectance[b]) / (count - 1);
    const double apart =
        delta_e_2000(to_lab(r.reflectance, Lamp::D65, Observer::deg10), to_lab(others, Lamp::D65, Observer::deg10));
    if (apart > far_off_delta_e)
      mean.notes.push_back(
          {Severity::caution,
           fmt::format("The reading at {}:{} is {:.1f} Delta E 2000 from the mean of the others: another "
                       "spot, or the instrument was tilted? It is included in the average.",
                       r.where.file, r.where.line, apart),
           mean.name});
  }
  return mean;
}

Result<std::vector<Reading>> averaged_by_name(const std::vector<Reading>& readings) {
  std::vector<std::vector<Reading>> groups;
  for (const Reading& r : readings) {
    const auto found = std::find_if(groups.begin(), groups.end(), [&](const auto& g) { return g[0].name == r.name; });
    if (found == groups.end())
      groups.push_back({r});
    else
      found->push_back(r);
  }
  std::vector<Reading> means;
  std::vector<Error> faults;
  for (const auto& group : groups) {
    auto mean = averaged(group);
    if (mean)
      means.push_back(std::move(*mean));
    else
      faults.insert(faults.end(), mean.errors().begin(), mean.errors().end());
  }
  if (!faults.empty()) return faults;
  return means;
}

Result<Reading> recovered_from_lab(const std::string& name, const LabReading& read, const Place& where) {
  const Xyz white = white_point(read.lamp, read.observer);
  const auto found = recover_reflectance(to_xyz(read.lab, white), weights(read.lamp, read.observer));
  if (!found) {
    std::vector<Error> faults = found.errors();
    for (Error& e : faults) e.where = where;
    return faults;
  }
  Reading reading;
  reading.name = name, reading.where = where, reading.reflectance = *found, reading.recovered = true;
  reading.lab = read;
  reading.notes.push_back(
      {Severity::caution,
       "Only its Lab is known; its reflectance is the smoothest curve with that Lab. Under another lamp "
       "the real surface may look different.",
       name});
  return reading;
}

}  // namespace witnessline::match
