#include "app/colour_verbs.h"

#include <fmt/format.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "app/app.h"
#include "match/prediction_table.h"
#include "materials/csv.h"

namespace witnessline::app {

namespace {

Result<ColorantSet> characterise_table(const PredictionTable& table) {
  std::vector<FilmReading> films;
  for (const TableFilm& f : table.films) {
    if (f.film.over.empty())
      return Error{fmt::format("sample '{}' has no film with its bare card", f.film.sample), f.film.where,
                   "card_black with over_black, card_white with over_white",
                   "add the film's rows or remove the sample"};
    films.push_back(f.film);
  }
  return characterise(table.colorants, films, fit_suited_to(table.colorants, films));
}

Result<PredictionTable> table_of(const std::string& path) {
  const auto densities = read_pigment_densities(data_folder() + "/pigments.csv");
  if (!densities) return densities.errors();
  return read_prediction_table(path, *densities);
}

std::string bands_header() {
  std::string header;
  for (int b = 0; b < bands; ++b) header += fmt::format(",R{:.0f}", band_nm(b));
  return header;
}

nlohmann::json json_of(const std::vector<Note>& notes) {
  nlohmann::json all = nlohmann::json::array();
  for (const Note& n : notes)
    all.push_back({{"severity", words(static_cast<const Severity*>(nullptr))[static_cast<std::size_t>(n.severity)]},
                   {"text", n.text},
                   {"about", n.about}});
  return all;
}

}  // namespace

Result<ColorantSet> characterise_file(const std::string& readings_csv) {
  const auto table = table_of(readings_csv);
  if (!table) return table.errors();
  return characterise_table(*table);
}

Result<PredictedTable> predict_files(const std::string& readings_csv, const std::string& compositions_csv,
                                     ThicknessFrom from) {
  const auto readings = table_of(readings_csv);
  if (!readings) return readings.errors();
  const auto asked = table_of(compositions_csv);
  if (!asked) return asked.errors();
  std::vector<Error> faults;
  std::vector<std::size_t> place;
  for (const std::string& name : asked->colorants) {
    const auto found = std::find(readings->colorants.begin(), readings->colorants.end(), name);
    place.push_back(static_cast<std::size_t>(found - readings->colorants.begin()));
    if (found != readings->colorants.end()) continue;
    faults.push_back({fmt::format("'{}' is not a colorant of {}", name, readings_csv),
                      {compositions_csv, 0, 0, name},
                      "colorants that were read",
                      did_you_mean(name, readings->colorants)});
  }
  if (!faults.empty()) return faults;
  const auto set = characterise_table(*readings);
  if (!set) return set.errors();

  PredictedTable answer;
  answer.notes = set->notes;
  for (const TableFilm& film : asked->films) {
    FilmReading reading = film.film;
    reading.shares.assign(readings->colorants.size(), 0.0);
    for (std::size_t i = 0; i < place.size(); ++i) reading.shares[place[i]] += film.film.shares[i];
    FilmThickness thickness{reading.thickness_ratio, reading.thickness_log_sd};
    const bool from_black = from == ThicknessFrom::reading_over_black;
    if (from_black) {
      if (!film.dark_card || !film.over_dark) {
        faults.push_back({"no reading over black to take the thickness from", film.film.where,
                          "card_black and over_black", "read it, or predict from composition alone"});
        continue;
      }
      reading.over = {{*film.dark_card, *film.over_dark}};
      thickness = thickness_from_reading(*set, reading);
    }
    const auto over = [&](const char* surface, const std::optional<Reflectance>& card) {
      if (!card) return;
      const auto predicted = predict(*set, reading.shares, *card, thickness);
      if (predicted)
        answer.films.push_back({reading.sample, surface, thickness.ratio, *predicted});
      else
        for (Error e : predicted.errors()) e.where = film.film.where, faults.push_back(e);
    };
    if (!from_black) over("over_black", film.dark_card);
    over("over_white", film.light_card);
  }
  if (!faults.empty()) return faults;
  if (answer.films.empty())
    return Error{
        "no bare card to predict a film over", {compositions_csv, 0, 0, ""}, "rows card_black or card_white", ""};
  return answer;
}

std::string predicted_csv(const PredictedTable& table) {
  std::string text = "# L, a, b: CIE 1976 under D65, 10 degree. R: reflectance factor. likely_delta_e: ESTIMATE.\n";
  text += "sample,surface,thickness,L,a,b,likely_delta_e" + bands_header() + "\n";
  for (const PredictedFilm& f : table.films) {
    const Prediction& p = f.prediction;
    text += fmt::format("{},{},{:.4f},{:.3f},{:.3f},{:.3f},{:.2f}", csv_cell(f.sample), f.surface, f.thickness_ratio,
                        p.lab.l, p.lab.a, p.lab.b, p.likely_delta_e);
    for (const double r : p.reflectance.at) text += fmt::format(",{:.5f}", r);
    text += "\n";
  }
  return text;
}

std::string predicted_json(const PredictedTable& table) {
  nlohmann::json films = nlohmann::json::array();
  for (const PredictedFilm& f : table.films) {
    const Prediction& p = f.prediction;
    films.push_back({{"sample", f.sample},
                     {"surface", f.surface},
                     {"thickness", f.thickness_ratio},
                     {"lab", {p.lab.l, p.lab.a, p.lab.b}},
                     {"likely_delta_e", p.likely_delta_e},
                     {"reflectance", p.reflectance.at},
                     {"reflectance_sd", p.reflectance_sd.at}});
  }
  return nlohmann::json{{"lamp", "D65"}, {"observer", "10 deg"}, {"films", films}, {"notes", json_of(table.notes)}}
      .dump(2);
}

std::string colorant_set_csv(const ColorantSet& set) {
  std::string text =
      "# Absorption and scattering per typical film of the set; log_sd: standard uncertainty of the logarithm.\n";
  text += "colorant,quantity" + bands_header() + "\n";
  for (const ColorantModel& c : set.colorants)
    for (const auto& [quantity, spectrum] : {std::pair{"absorption", &c.absorption},
                                             {"scattering", &c.scattering},
                                             {"absorption_log_sd", &c.absorption_log_sd},
                                             {"scattering_log_sd", &c.scattering_log_sd}}) {
      text += csv_cell(c.name) + "," + quantity;
      for (const double value : spectrum->at) text += fmt::format(",{:.6g}", value);
      text += "\n";
    }
  return text;
}

std::string colorant_set_json(const ColorantSet& set) {
  nlohmann::json colorants = nlohmann::json::array();
  for (const ColorantModel& c : set.colorants)
    colorants.push_back({{"name", c.name},
                         {"separated", c.separated},
                         {"absorption", c.absorption.at},
                         {"scattering", c.scattering.at},
                         {"absorption_log_sd", c.absorption_log_sd.at},
                         {"scattering_log_sd", c.scattering_log_sd.at}});
  return nlohmann::json{{"colorants", colorants}, {"misfit", set.misfit}, {"notes", json_of(set.notes)}}.dump(2);
}

}  // namespace witnessline::app
