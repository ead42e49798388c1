#include "app/practice/wear.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>

#include "app/app.h"
#include "app/files.h"
#include "bench/wearing.h"
#include "body/spec.h"

namespace witnessline::app {

namespace {

constexpr double pace_s = 3.6e6;        // 1000 h
constexpr double first_m2 = 2e-4;       // a place that is seen from across a room
constexpr double days_a_year = 365.25;  // "daily playing"

/// Median over the places that go first, 2 cm2 of them.
double first_places(const Body& body, const std::vector<double>& depth_m) {
  std::vector<std::size_t> order(body.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return depth_m[a] > depth_m[b]; });
  double area_m2 = 0;
  std::size_t n = 0;
  while (n + 1 < order.size() && area_m2 < 0.5 * first_m2) area_m2 += static_cast<double>(body.areas_m2()[order[n++]]);
  return depth_m[order[n]];
}

Result<std::map<Touch, WearPace>> paces() {
  const Result<Body> body = plain_slab(3e-3);
  if (!body) return body.errors();
  const Resistance film = resistance_of(Binder::nitrocellulose), wood = resistance_of_wood(nullptr);
  std::map<Touch, WearPace> all;
  for (std::size_t t = 0; t < words(static_cast<const Touch*>(nullptr)).size(); ++t) {
    const auto touch = static_cast<Touch>(t);
    Life life;
    life.held = touch == Touch::thigh ? Hold::lap : Hold::strap;
    life.touches = {{touch, pace_s}};
    const ContactField field = contact_field(life, *body, Key{5});
    std::vector<double> film_m[2], wood_m[2];  // under soft things, under hard ones
    for (std::size_t v = 0; v < body->size(); ++v) {
      const double hard = static_cast<double>(field.hard_Pa_m[v]), sweat = static_cast<double>(field.sweat_Pa_m[v]),
                   dry = std::max(0.0, static_cast<double>(field.dry_Pa_m[v]) - hard);  // hard things are dry
      film_m[0].push_back(archard_depth_m(dry + film.sweat_factor * sweat, film.hardness_Pa));
      film_m[1].push_back(archard_depth_m(hard, film.hardness_Pa));
      wood_m[0].push_back(archard_depth_m(dry + sweat, wood.hardness_Pa));
      wood_m[1].push_back(archard_depth_m(hard, wood.hardness_Pa));
    }
    all[touch] = {first_places(*body, film_m[0]), first_places(*body, film_m[1]), first_places(*body, wood_m[0]),
                  first_places(*body, wood_m[1])};
  }
  return all;
}

Result<Touch> touch_of(const PracticeRow& row) {
  constexpr auto names = words(static_cast<const Touch*>(nullptr));
  const auto found = std::find(names.begin(), names.end(), row.subject);
  if (found == names.end())
    return Error{"no such touch", {row.file, row.line, 0, row.subject}, "forearm, buckle, ...", ""};
  return static_cast<Touch>(found - names.begin());
}

bool under_hard(const PracticeRow& row) { return row.word("side", "soft") == "hard"; }
double hours_a_year(const PracticeRow& row) {
  return days_a_year * row.number("hours_a_day", 1) * row.number("share", 1);
}

Result<double> years_to_wood(const PracticeRow& row) {
  const Result<Touch> touch = touch_of(row);
  if (!touch) return touch.errors();
  const Result<WearPace> pace = wear_pace(*touch);
  if (!pace) return pace.errors();
  const double film_m = 1e-6 * row.number("film_um", 120);
  return 1000 * film_m / (under_hard(row) ? pace->film_hard_m : pace->film_soft_m) / hours_a_year(row);
}

Result<double> worn_into_wood(const PracticeRow& row) {
  const Result<Touch> touch = touch_of(row);
  if (!touch) return touch.errors();
  const Result<WearPace> pace = wear_pace(*touch);
  if (!pace) return pace.errors();
  const double denser = row.number("density", 600) / 600;
  const double worn_m =
      (under_hard(row) ? WoodWear{}.hard * pace->wood_hard_m : WoodWear{}.soft * pace->wood_soft_m) / (denser * denser);
  return 1e3 * worn_m * hours_a_year(row) * row.number("years", 20) / 1000;
}

}  // namespace

Result<Body> plain_slab(double pitch_m) {
  const auto outline = read_file(data_folder() + "/outlines/slab_bass.svg");
  if (!outline) return outline.errors();
  BodySpec spec;
  spec.outline = "slab_bass.svg", spec.thickness_m = 0.04, spec.edge_radius_m = 0.004;
  auto built = build_body(spec, *outline, spec.outline, {}, pitch_m);
  if (!built) return built.errors();
  return built->body;
}

Result<WearPace> wear_pace(Touch touch) {
  static const Result<std::map<Touch, WearPace>> all = paces();
  if (!all) return all.errors();
  return all->at(touch);
}

void add_wear_predictors(Predictors& all) {
  const auto value_of = [](WearUnknown which) { return wear_unknown(which).value; };
  all.emplace("years_to_wood", [](const PracticeRow& row, const Library&) { return years_to_wood(row); });
  all.emplace("worn_into_wood", [](const PracticeRow& row, const Library&) { return worn_into_wood(row); });
  all.emplace("fret_wear", [=](const PracticeRow& row, const Library&) -> Result<double> {
    return value_of(WearUnknown::fret_wear) * hours_a_year(row) / 1000;
  });
  all.emplace("years_to_refret", [=](const PracticeRow& row, const Library&) -> Result<double> {
    return row.number("depth_mm", 0.4) / (value_of(WearUnknown::fret_wear) * hours_a_year(row) / 1000);
  });
  all.emplace("fingerboard_wear", [=](const PracticeRow& row, const Library&) -> Result<double> {
    return value_of(WearUnknown::fingerboard_wear) * hours_a_year(row) * row.number("years", 25) / 1000;
  });
  all.emplace("hardly_played", [=](const PracticeRow&, const Library&) -> Result<double> {
    return value_of(WearUnknown::hardly_played);
  });
  all.emplace("check_distance", [=](const PracticeRow&, const Library&) -> Result<double> {
    return value_of(WearUnknown::check_distance);
  });
}

}  // namespace witnessline::app
