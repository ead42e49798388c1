// Claims of practice about films, papers, sheen, yellowing, checks and tins, each by the law the answers use.
#include <algorithm>
#include <cmath>

#include "app/practice/practice.h"
#include "bench/ageing_laws.h"
#include "bench/check_chance.h"
#include "bench/laws.h"
#include "bench/step.h"
#include "materials/coverage.h"
#include "materials/properties.h"
#include "optics/gloss.h"
#include "optics/reflectance.h"

namespace witnessline::app {

namespace {

constexpr double year_s = 31557600.0;

Result<const Material*> material_of(const PracticeRow& row, const Library& library) {
  const Material* found = library.find(row.subject);
  if (!found) return Error{"'" + row.subject + "' is not in the library", {row.file, row.line, 0, "subject"}, "", ""};
  return found;
}

/// A property of the row's material. Errors: it has none.
Result<double> property_of(const PracticeRow& row, const Library& library, Property property) {
  const Result<const Material*> material = material_of(row, library);
  if (!material) return material.errors();
  const Datum* datum = (*material)->find(property);
  if (!datum) return Error{"'" + row.subject + "' lacks a property", {row.file, row.line, 0, "subject"}, "", ""};
  return datum->value;
}

Result<double> dry_coat(const PracticeRow& row, const Library& library) {
  const Result<double> solids = property_of(row, library, Property::volume_solids);
  if (!solids) return solids.errors();
  return 1e6 * dry_film_m(1e-6 * row.number("wet_um", 100), *solids, row.number("thinning", 0));
}

Result<double> litres_sprayed(const PracticeRow& row, const Library& library) {
  const Result<double> solids = property_of(row, library, Property::volume_solids);
  if (!solids) return solids.errors();
  const double wet_m = wet_film_m(1e-6 * row.number("dry_um", 150), *solids, row.number("thinning", 0));
  return 1e3 * wet_m * 1e-4 * row.number("area_cm2", 3000) / row.number("transfer", 0.5);
}

Result<double> shelf_life(const PracticeRow& row, const Library& library) {
  const Result<const Material*> material = material_of(row, library);
  if (!material) return material.errors();
  const bool hardener = row.word("part", "paint") == "hardener", opened = row.word("state", "sealed") == "opened";
  for (const ShelfLife& life : library.shelf_lives())
    if (life.binder == (*material)->binder && life.hardener == hardener && life.opened == opened)
      return life.doubtful_s / (year_s / 12);
  return Error{"no shelf life of that binder", {row.file, row.line, 0, "subject"}, "", ""};
}

Result<FilmsInCold> films_of(const PracticeRow& row, const Library& library, int shocks) {
  const Result<const Material*> film = material_of(row, library);
  if (!film) return film.errors();
  FilmInCold asked;
  asked.thickness_m = 1e-6 * row.number("film_um", 100), asked.area_m2 = 1e-4 * row.number("area_cm2", 3000);
  asked.stood_s = row.number("years", 0) * year_s + row.number("days", 0) * 86400, asked.shocks = shocks;
  return FilmsInCold::of(asked, **film, *library.find("maple"), 1);
}

/// [degC] The cold that opens a check in every second film alike.
Result<double> check_cold(const PracticeRow& row, const Library& library) {
  const Result<FilmsInCold> films = films_of(row, library, 1);
  if (!films) return films.errors();
  std::vector<double> opening_K;
  for (const CheckDraw& z : films->alike()) opening_K.push_back(films->opening_K(z));
  std::nth_element(opening_K.begin(), opening_K.begin() + static_cast<std::ptrdiff_t>(opening_K.size() / 2),
                   opening_K.end());
  return opening_K[opening_K.size() / 2] - 273.15;
}

/// Cycles until every second panel alike shows a check; no more than 100 are tried.
Result<double> cycles_survived(const PracticeRow& row, const Library& library) {
  for (const int shocks : {1, 2, 5, 10, 20, 50, 100}) {
    const Result<FilmsInCold> films = films_of(row, library, shocks);
    if (!films) return films.errors();
    if (films->outcome(273.15 + row.number("to_degC", -5)).opens > 0.5) return shocks;
  }
  return 100.0;
}

/// Rise of b* over white, indoors: half of its years out of the case, 200 lx for ten hours a day.
Result<double> yellowing_b(const PracticeRow& row, const Library& library) {
  constexpr double lx_s_a_year = 0.5 * 200 * 10 * 3600 * 365.25;
  const Palette palette(library);
  const auto b_of = [&](double units) {
    const ColumnCoat coat{palette.of(row.subject), 1e-6 * row.number("film_um", 60), 0, units};
    return to_lab(reflectance({coat}, flat_reflectance(0.85), {}), Lamp::D65, Observer::deg10).b;
  };
  return b_of(yellowing(row.number("years", 50) * lx_s_a_year)) - b_of(0);
}

constexpr double index_of_lacquer = 1.5, buffed_m = 20e-9;  // as a life is read (history/past.cpp)

}  // namespace

void add_film_predictors(Predictors& all) {
  all.emplace("volume_solids", [](const PracticeRow& row, const Library& library) -> Result<double> {
    const Result<double> solids = property_of(row, library, Property::volume_solids);
    if (!solids) return solids.errors();
    return 100 * *solids;
  });
  all.emplace("dry_coat", dry_coat);
  all.emplace("litres_sprayed", litres_sprayed);
  all.emplace("shelf_life", shelf_life);
  all.emplace("check_cold", check_cold);
  all.emplace("cycles_survived", cycles_survived);
  all.emplace("yellowing_b", yellowing_b);
  all.emplace("keying", [](const PracticeRow& row, const Library&) -> Result<double> {
    return 1e6 * keying_depth_m(static_cast<int>(row.number("grit", 320)));
  });
  all.emplace("paper_roughness", [](const PracticeRow& row, const Library&) -> Result<double> {
    constexpr double of_scratch = 0.2;  // as sanding leaves it (bench/sand.cpp)
    return 1e6 * of_scratch * scratch_depth_m(static_cast<int>(row.number("grit", 320)));
  });
  all.emplace("scratch_share", [](const PracticeRow& row, const Library&) -> Result<double> {
    const int grit = static_cast<int>(row.number("grit", 320));
    return scratch_depth_m(grit) / grain_size_m(grit);
  });
  all.emplace("buff_takes", [](const PracticeRow&, const Library&) -> Result<double> { return 1e6 * Buff{}.depth_m; });
  all.emplace("gloss_new", [](const PracticeRow&, const Library&) -> Result<double> {
    return specular_gloss(index_of_lacquer, buffed_m, 60);
  });
  all.emplace("gloss_played", [](const PracticeRow& row, const Library&) -> Result<double> {
    const double rough_m =
        dulled_roughness_m(buffed_m, row.number("years", 40) * year_s, row.number("hours", 2000) * 3600);
    return specular_gloss(index_of_lacquer, rough_m, 60);
  });
}

}  // namespace witnessline::app
