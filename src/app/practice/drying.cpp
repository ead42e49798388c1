// What the drying model makes of a claim of practice.
#include "app/practice/drying.h"

#include <cmath>

#include "drying/carrier.h"
#include "solvents/blush.h"

namespace witnessline::app {

namespace {
constexpr double hour_s = 3600, day_s = 86400, horizon_s = 3 * 365 * day_s;

double in_unit(double s, const std::string& unit) {
  return s / (unit == "min" ? 60 : unit == "h" ? hour_s : unit == "days" ? day_s : 1);
}

Result<DryingCase> case_of(const PracticeRow& row, const Library& library, double temperature_K, double thicker) {
  const Place place{row.file, row.line, 0, row.subject};
  const Material* material = library.find(row.subject);
  if (!material || !material->find(Property::volume_solids))
    return Error{"'" + row.subject + "' is no coat of the library", place, "a material id with volume solids", ""};
  const Material* usual = last_to_leave(material->binder, library);
  if (!usual) return Error{"the library lacks this coat's usual solvent", place, "", ""};
  const Result<FilmSolvent> solvent = film_solvent_of(*usual);
  if (!solvent) return solvent.errors();
  DryingCase made;
  made.solvent = *solvent;
  made.air = airflow_along(temperature_K, row.number("air_m_s", 0.3), 0.5);
  // Coats `apart_h` from each other, so many a day, the next day at the same hour.
  const int coats = static_cast<int>(row.number("coats", 1)), a_day = static_cast<int>(row.number("a_day", 4));
  const double wet_m = 1e-6 * row.number("wet_um", 90) * thicker;
  for (int c = 0; c < coats; ++c)
    made.coats.push_back(laid_coat(*material, *solvent, wet_m, row.number("thinning", 1),
                                   (c / a_day) * day_s + (c % a_day) * hour_s * row.number("apart_h", 1.5)));
  return made;
}
}  // namespace

Result<double> drying_value(const PracticeRow& row, const Library& library, const Draw& draw) {
  const double temperature_K = 273.15 + row.number("T_degC", 21);
  const auto ready_s = [&](double at_K, double thicker) -> Result<double> {
    const Result<DryingCase> given = case_of(row, library, at_K, thicker);
    if (!given) return given.errors();
    const auto uses = words(static_cast<const Use*>(nullptr));
    for (std::size_t u = 0; u < uses.size(); ++u)
      if (row.word("use", "") == uses[u]) {
        const double ready =
            dried(*given, draw, {}, given->coats.back().at_s + horizon_s, {5e-3, 9, 3, 0.75}).ready_s[u];
        return std::isinf(ready) ? horizon_s : ready;
      }
    return Error{"no use is named", {row.file, row.line, 0, "inputs"}, "use=level", ""};
  };
  if (row.quantity == "time_until") {
    const Result<double> ready = ready_s(temperature_K, 1);
    if (!ready) return ready.errors();
    return in_unit(*ready, row.unit);
  }
  if (row.quantity == "factor_10_K_colder" || row.quantity == "factor_twice_as_thick") {
    const bool cold = row.quantity == "factor_10_K_colder";
    const Result<double> one = ready_s(temperature_K, 1),
                         other = cold ? ready_s(temperature_K - 10, 1) : ready_s(temperature_K, 2);
    if (!one) return one.errors();
    if (!other) return other.errors();
    return *other / *one;
  }
  // solvent_left: per cent of the mass of the dry film
  const Result<DryingCase> given = case_of(row, library, temperature_K, 1);
  if (!given) return given.errors();
  const double at_s = given->coats.back().at_s + day_s * row.number("after_days", 1);
  const std::vector<double> times{at_s};
  const Dried run = dried(*given, draw, times, at_s, {5e-3, 9, 3, 0.75});
  double solvent_kg_m2 = 0, dry_kg_m2 = 0;
  for (std::size_t c = 0; c < given->coats.size(); ++c) {
    solvent_kg_m2 += run.moments.at(0).solvent_m[c] * given->solvent.of.density_kg_m3;
    dry_kg_m2 += given->coats[c].dry_m * given->coats[c].resin.dry_density_kg_m3;
  }
  return 100 * solvent_kg_m2 / (dry_kg_m2 * physics_of(draw).laid);
}

void add_drying_predictors(Predictors& all) {
  for (const char* quantity : {"time_until", "factor_10_K_colder", "factor_twice_as_thick", "solvent_left"})
    all.emplace(quantity,
                [](const PracticeRow& row, const Library& library) { return drying_value(row, library, {}); });
}

}  // namespace witnessline::app
