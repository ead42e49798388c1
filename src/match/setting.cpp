#include "match/setting.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "optics/kubelka_munk.h"
#include "optics/reflectance.h"

namespace witnessline::match {

namespace {

// A white tile reads up to one, and an instrument is seldom off by more. ESTIMATE
constexpr double most_on_average = 1.02;

bool constants(const Spectrum& spectrum) {
  return std::all_of(spectrum.at.begin(), spectrum.at.end(), [](double v) { return std::isfinite(v) && v >= 0; });
}

}  // namespace

std::string why_no_reflectance(const Reflectance& r) {
  double sum = 0;
  for (int b = 0; b < bands; ++b) {
    if (!std::isfinite(r[b]) || r[b] < 0 || r[b] > 1.5)
      return fmt::format("{:g} at {:g} nm is not a reflectance", r[b], band_nm(b));
    sum += r[b] / bands;
  }
  if (sum > most_on_average)
    return fmt::format("it reflects {:.0f} % of all light on average, more than any surface can", 100 * sum);
  return "";
}

void note_above_white(std::vector<Note>& notes, const Reflectance& r, const std::string& what) {
  const auto highest = std::max_element(r.at.begin(), r.at.end());
  if (*highest <= 1) return;
  notes.push_back({Severity::caution,
                   fmt::format("The {} reflects {:.0f} % of the light at {:.0f} nm: it fluoresces, or the instrument "
                               "was set on a dirty white tile. No paint that does not fluoresce reaches that.",
                               what, 100 * *highest, band_nm(static_cast<int>(highest - r.at.begin()))),
                   what});
}

std::vector<Error> faults_of(const std::vector<Tin>& shelf, const Aim& aim, const LaidFilm& laying,
                             const Weighing& weighing) {
  std::vector<Error> faults;
  const auto fault = [&](std::string what, const std::string& key, std::string expected, std::string fix = "") {
    faults.push_back({std::move(what), {"", 0, 0, key}, std::move(expected), std::move(fix)});
  };
  for (const auto& [what, read] : {std::pair{"target", &aim.reflectance}, {"ground", &laying.ground}})
    if (const std::string why = why_no_reflectance(*read); !why.empty())
      fault(fmt::format("the {}: {}", what, why), what, "a reflectance from 0 to 1",
            "per cent? divide by 100; else set the instrument on its clean white tile and read again");
  if (aim.lamps.empty())
    fault("no lamp is named", "lamps", "one lamp to five", "add D65 and the lamp it is seen under");
  if (aim.lamps.size() > most_lamps)
    fault(fmt::format("{} lamps", aim.lamps.size()), "lamps", "one lamp to five", "leave out the least important");
  std::set<Lamp> seen;
  double weights = 0;
  for (const LampWeight& l : aim.lamps) {
    if (!seen.insert(l.lamp).second) fault("a lamp is named twice", "lamps", "each lamp once");
    if (!(l.weight >= 0) || !std::isfinite(l.weight)) fault("a lamp's weight is below zero", "lamps", "0 or more");
    weights += l.weight;
  }
  if (!aim.lamps.empty() && !(weights > 0)) fault("every lamp has weight zero", "lamps", "one weight above zero");
  if (!(aim.specular_share >= 0 && aim.specular_share <= 1))
    fault("the share of the face's reflection is not 0 to 1", "target", "0: excluded, 1: included");

  if (shelf.empty()) fault("nothing is on the shelf", "shelf", "1 to 40 colorants");
  if (shelf.size() > most_on_shelf)
    fault(fmt::format("{} colorants", shelf.size()), "shelf", "up to 40", "leave out those that can't be right");
  double most_kg = 0;
  for (std::size_t i = 0; i < shelf.size(); ++i) {
    const Tin& t = shelf[i];
    const std::string key = fmt::format("shelf[{}]", i + 1);
    if (!(t.left_kg >= 0)) fault(fmt::format("{}: stock below zero", t.name), key + ".volume_mL", "0 mL or more");
    if (!(t.price_per_kg >= 0)) fault(fmt::format("{}: price below zero", t.name), key, "0 or more");
    if (!(t.dry_volume_m3_per_kg > 0) || !std::isfinite(t.dry_volume_m3_per_kg))
      fault(fmt::format("{}: leaves no dry film", t.name), key, "density and volume solids above zero");
    if (!constants(t.absorption_per_m) || !constants(t.scattering_per_m))
      fault(fmt::format("{}: absorption or scattering below zero or not a number", t.name), key, "0 or more",
            "characterise it again");
    if (t.separated) most_kg += t.left_kg;
  }

  if (!(laying.film_m > 0) || !std::isfinite(laying.film_m))
    fault("a film without thickness has no colour of its own", "film_um", "above 0", "give the dry film planned");
  if (!(laying.coat_m > 0) || !std::isfinite(laying.coat_m))
    fault("a coat without thickness", "coat_um", "above 0", "give the dry film one coat leaves");
  if (laying.clear) {
    const ClearAbove& c = *laying.clear;
    if (!(c.thickness_m >= 0) || !std::isfinite(c.thickness_m))
      fault("the clear's thickness is below zero", "clear", "0 um or more");
    if (!constants(c.absorption_per_m) || !constants(c.yellowing_per_m) || !(c.yellowing_on_the_day >= 0) ||
        !(c.yellowing_as_aged >= 0))
      fault("the clear's absorption or yellowing is below zero", "clear", "0 or more");
  } else if (aim.when != MatchWhen::on_the_day) {
    fault("a match as aged needs the clear that ages", "when", "on_the_day, or a clear", "name the clear above");
  }
  if (!(weighing.step_kg > 0) || !std::isfinite(weighing.step_kg))
    fault("the scale's resolution is not above zero", "scale_g", "above 0, e.g. 0.01");
  if (!(weighing.batch_kg > 0) || !std::isfinite(weighing.batch_kg))
    fault("the batch is not above zero", "batch_g", "above 0");
  else if (weighing.batch_kg < 10 * weighing.step_kg)
    fault("the batch is less than ten steps of the scale", "batch_g",
          fmt::format("{:g} or more", 1e4 * weighing.step_kg));
  if (!(weighing.allowed_delta_e > 0)) fault("what rounding may cost is not above zero", "rounding_delta_e", "above 0");
  if (faults.empty() && most_kg < weighing.batch_kg)
    fault(fmt::format("{:.4g} g are left of all colorants together, for a batch of {:.4g} g", 1e3 * most_kg,
                      1e3 * weighing.batch_kg),
          "batch_g", "what the shelf can fill", "mix less");
  return faults;
}

void note_left_out(std::vector<Note>& notes, const std::vector<Tin>& shelf) {
  for (const Tin& t : shelf)
    if (!t.separated)
      notes.push_back({Severity::caution,
                       fmt::format("{} is left out: its absorption and scattering could not be separated; draw it down "
                                   "over black and white.",
                                   t.name),
                       t.name});
}

Spectrum ground_inside(const LaidFilm& laying, double specular_share) {
  Spectrum inside;
  const AirFace wood = air_face(wood_index, Geometry{}.illumination_deg);
  for (int b = 0; b < bands; ++b) {
    const double body = laying.ground_is_wood ? body_of_bare_wood(laying.ground[b], wood)
                                              : inside_of(laying.ground[b], laying.face, specular_share);
    inside[b] = std::clamp(body, 0.0, 0.999);
  }
  return inside;
}

Spectrum through_clear(const LaidFilm& laying, bool aged) {
  Spectrum through;
  for (int b = 0; b < bands; ++b) {
    double depth = 0;
    if (const auto& clear = laying.clear)
      depth = clear->thickness_m *
              (clear->absorption_per_m[b] +
               clear->yellowing_per_m[b] * (aged ? clear->yellowing_as_aged : clear->yellowing_on_the_day));
    through[b] = std::exp(-2 * depth);  // twice through (kubelka1948: T = exp(-K X) where S = 0)
  }
  return through;
}

std::vector<View> views_that_count(const Aim& aim, const LaidFilm&) {
  std::vector<View> views;
  if (aim.when != MatchWhen::as_aged)
    for (const LampWeight& l : aim.lamps) views.push_back({l.lamp, false});
  if (aim.when != MatchWhen::on_the_day)
    for (const LampWeight& l : aim.lamps) views.push_back({l.lamp, true});
  return views;
}

std::vector<View> all_views(const Aim& aim, const LaidFilm& laying) {
  std::vector<View> views = views_that_count(aim, laying);
  if (laying.clear && aim.when != MatchWhen::both)
    for (const LampWeight& l : aim.lamps) views.push_back({l.lamp, aim.when == MatchWhen::on_the_day});
  return views;
}

SearchProblem problem_of(const std::vector<Tin>& shelf, const Aim& aim, const LaidFilm& laying, double batch_kg) {
  MixtureSetting setting;
  for (const Tin& t : shelf) {
    ColorantDepths depths;
    for (int b = 0; b < bands; ++b) {
      depths.absorption[b] = t.absorption_per_m[b] * laying.film_m;
      depths.scattering[b] = t.scattering_per_m[b] * laying.film_m;
    }
    setting.colorants.push_back(depths);
  }
  setting.ground_inside = ground_inside(laying, aim.specular_share);
  setting.face = laying.face;
  setting.specular_share = aim.specular_share;
  setting.through = {through_clear(laying, false), through_clear(laying, true)};
  setting.views = views_that_count(aim, laying);
  setting.observer = aim.observer;
  SearchProblem problem{MixtureKernel(setting), {}, {}, aim.closeness, {}, {}, {}};
  double sum = 0, largest_volume = 0;
  for (std::size_t v = 0; v < setting.views.size(); ++v) sum += aim.lamps[v % aim.lamps.size()].weight;
  for (std::size_t v = 0; v < setting.views.size(); ++v) {
    problem.aim.push_back(to_lab(aim.reflectance, setting.views[v].lamp, aim.observer));
    problem.weight.push_back(static_cast<float>(aim.lamps[v % aim.lamps.size()].weight / sum));
  }
  for (const Tin& t : shelf) largest_volume = std::max(largest_volume, t.dry_volume_m3_per_kg);
  for (const Tin& t : shelf) {
    problem.bulk.push_back(static_cast<float>(t.dry_volume_m3_per_kg / largest_volume));
    problem.lowest.push_back(0);
    problem.highest.push_back(t.separated ? static_cast<float>(std::min(1.0, t.left_kg / batch_kg)) : 0.0f);
  }
  return problem;
}

MixedTins mixed_tins(const std::vector<Tin>& shelf, const std::vector<double>& mass_kg) {
  MixedTins mixed;
  double volume_m3 = 0;
  for (std::size_t i = 0; i < shelf.size(); ++i) volume_m3 += mass_kg[i] * shelf[i].dry_volume_m3_per_kg;
  expects(volume_m3 > 0, "a mixture of something");
  for (std::size_t i = 0; i < shelf.size(); ++i) {
    const double share = mass_kg[i] * shelf[i].dry_volume_m3_per_kg / volume_m3;
    for (int b = 0; b < bands && share > 0; ++b) {
      mixed.absorption_per_m[b] += share * shelf[i].absorption_per_m[b];
      mixed.scattering_per_m[b] += share * shelf[i].scattering_per_m[b];
    }
  }
  return mixed;
}

Reflectance laid(const MixedTins& film, const LaidFilm& laying, double specular_share, bool aged) {
  const Spectrum ground = ground_inside(laying, specular_share), through = through_clear(laying, aged);
  Reflectance seen;
  for (int b = 0; b < bands; ++b) {
    const auto optics =
        film_optics({film.absorption_per_m[b] * laying.film_m, film.scattering_per_m[b] * laying.film_m});
    seen[b] = seen_outside(through[b] * over_ground(optics, ground[b]), laying.face, specular_share);
  }
  return seen;
}

std::vector<ViewDifference> differences(const std::vector<View>& views, const Aim& aim, const Reflectance& on_the_day,
                                        const Reflectance& as_aged) {
  std::vector<ViewDifference> list;
  for (const View& view : views) {
    ViewDifference d{view, to_lab(aim.reflectance, view.lamp, aim.observer),
                     to_lab(view.aged ? as_aged : on_the_day, view.lamp, aim.observer), 0};
    d.delta_e = delta_e_2000(d.aim, d.lab);
    list.push_back(d);
  }
  return list;
}

double closeness_of(const std::vector<ViewDifference>& views, std::size_t count, const Aim& aim) {
  double worst = 0, squares = 0, weights = 0;
  for (std::size_t v = 0; v < count; ++v) {
    const double weight = aim.lamps[v % aim.lamps.size()].weight;
    worst = std::max(worst, views[v].delta_e);
    squares += weight * views[v].delta_e * views[v].delta_e, weights += weight;
  }
  return aim.closeness == Closeness::worst ? worst : std::sqrt(squares / weights);
}

}  // namespace witnessline::match
