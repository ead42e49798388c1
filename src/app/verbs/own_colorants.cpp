#include "app/verbs/own_colorants.h"

#include <fmt/format.h>

#include <algorithm>

#include "match/prediction_table.h"

namespace witnessline::app {

namespace {

constexpr double usual_unit_film_m = 50e-6;        // ESTIMATE: a drawdown or two good coats
constexpr double assumed_unit_film_log_sd = 0.35;  // ESTIMATE: as between drawdowns of unknown thickness

// Dry film a kilogram leaves, of every colorant of the table; those not on the shelf as the others' mean.
std::vector<double> dry_volumes(const MixGiven& given, const std::vector<std::string>& colorants,
                                std::vector<Note>& notes) {
  std::vector<double> volume(colorants.size(), 0.0);
  double sum = 0;
  int count = 0;
  for (std::size_t c = 0; c < colorants.size(); ++c)
    for (const TinGiven& t : given.shelf)
      if (t.material == colorants[c] && t.density_kg_m3 > 0 && t.solids_frac.value_or(0) > 0) {
        volume[c] = *t.solids_frac / t.density_kg_m3, sum += volume[c], ++count;
        break;
      }
  std::vector<std::string> guessed;
  for (std::size_t c = 0; c < colorants.size(); ++c)
    if (volume[c] == 0) volume[c] = count > 0 ? sum / count : 1, guessed.push_back(colorants[c]);
  if (!guessed.empty())
    notes.push_back({Severity::information,
                     fmt::format("Not on the shelf with density and volume solids: {}. In the films read they count as "
                                 "leaving as much dry film as the others.",
                                 fmt::join(guessed, ", ")),
                     "readings"});
  return volume;
}

}  // namespace

std::size_t OwnColorants::place(const std::string& colorant) const {
  return static_cast<std::size_t>(std::find_if(set.colorants.begin(), set.colorants.end(),
                                               [&](const ColorantModel& c) { return c.name == colorant; }) -
                                  set.colorants.begin());
}

Error OwnColorants::unknown(const std::string& colorant, const std::string& key) const {
  std::vector<std::string> names;
  for (const ColorantModel& c : set.colorants) names.push_back(c.name);
  return {fmt::format("'{}' is no colorant of {}", colorant, file),
          {"", 0, 0, key},
          fmt::format("{}", fmt::join(names, ", ")),
          did_you_mean(colorant, names)};
}

Tin OwnColorants::tin(std::size_t colorant) const {
  const ColorantModel& model = set.colorants[colorant];
  Tin tin;
  tin.name = model.name, tin.separated = model.separated;
  for (int b = 0; b < bands; ++b) {
    tin.absorption_per_m[b] = model.absorption[b] / unit_film_m;
    tin.scattering_per_m[b] = model.scattering[b] / unit_film_m;
  }
  return tin;
}

double OwnColorants::log_covariance(int band, std::size_t a, std::size_t of_a, std::size_t b, std::size_t of_b) const {
  const std::size_t n = set.colorants.size();
  return set.log_covariance[static_cast<std::size_t>(band)](static_cast<int>(a + of_a * n),
                                                            static_cast<int>(b + of_b * n)) +
         common_log_sd * common_log_sd;
}

bool needs_readings(const MixGiven& given) {
  return !given.readings.empty() && std::any_of(given.shelf.begin(), given.shelf.end(),
                                                [](const TinGiven& t) { return t.absorption_per_m.empty(); });
}

Result<OwnColorants> own_colorants(const MixGiven& given, AirFace face, const Asking& asking) {
  const auto text = asking.file(given.readings);
  if (!text) {
    std::vector<Error> faults = text.errors();
    for (Error& e : faults)
      if (e.where.file.empty() && e.where.key.empty()) e.where.key = "readings";
    return faults;
  }
  const auto table = prediction_table(*text, given.readings);
  if (!table) return table.errors();

  OwnColorants own;
  own.file = given.readings;
  const std::vector<double> volume = dry_volumes(given, table->colorants, own.notes);
  std::vector<FilmReading> films;
  for (const TableFilm& f : table->films) {
    FilmReading film = f.film;
    double sum = 0;
    for (std::size_t c = 0; c < volume.size(); ++c) sum += film.shares[c] *= volume[c];
    for (double& share : film.shares) share /= sum;
    if (!given.specular_included)
      for (OverGround& over : film.over)
        for (Reflectance* r : {&over.ground, &over.film})
          for (double& seen : r->at) seen += face.outside;  // characterise() takes readings with the face in them
    films.push_back(std::move(film));
  }
  FilmFit fit;
  fit.face = face;
  auto set = characterise(table->colorants, films, fit);
  if (!set) return set.errors();
  own.set = std::move(*set);

  const bool assumed = !(given.unit_film_m > 0);
  own.unit_film_m = assumed ? usual_unit_film_m : given.unit_film_m;
  own.common_log_sd = assumed ? assumed_unit_film_log_sd : 0;
  own.notes.push_back(
      {assumed ? Severity::caution : Severity::information,
       fmt::format(
           "K and S of {} hold for films {:.0f} um dry as thickness 1, {}.", given.readings, 1e6 * own.unit_film_m,
           assumed ? "which is assumed: hiding and film scale with it. Measure one and give unit_film_um" : "as given"),
       "readings"});
  for (const Note& n : own.set.notes) {
    if (n.about.empty()) own.notes.push_back({n.severity, n.text, "readings"});
    const bool on_shelf = std::any_of(given.shelf.begin(), given.shelf.end(), [&](const TinGiven& t) {
      return t.material == n.about && t.absorption_per_m.empty();
    });
    const std::size_t c = own.place(n.about);
    // Of one that cannot be used it is said when it is left out.
    if (on_shelf && c < own.set.colorants.size() && own.set.colorants[c].separated) own.notes.push_back(n);
  }
  return own;
}

}  // namespace witnessline::app
