#include "match/yellowed_clear.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

#include "base/random.h"
#include "match/least_difference.h"
#include "numerics/statistics.h"
#include "optics/face.h"

namespace witnessline::match {

namespace {

// Share of the face's own reflection that a reading holds [1].
double face_seen(const Geometry& geometry) { return geometry.specular_included ? 1 : 0; }

// What lies behind the face of a reading, and how much an error of the reading counts there.
struct Behind {
  double body = 0, slope = 0;
};

Behind behind(double seen, bool coated, double index, const Geometry& geometry) {
  const AirFace face = air_face(coated ? index : wood_index, geometry.illumination_deg);
  const auto body = [&](double r) {
    return coated ? inside_of(r, face, face_seen(geometry)) : body_of_bare_wood(r, face);
  };
  constexpr double step = 1e-5;
  return {body(seen), (body(seen + step) - body(seen)) / step};
}

bool sound(const Reflectance& r, const char* name, std::vector<Error>& faults) {
  for (int b = 0; b < bands; ++b)
    if (!(r[b] >= 0 && r[b] <= 1.5)) {
      faults.push_back({fmt::format("{} reads {:g} at {:.0f} nm", name, r[b], band_nm(b)),
                        {},
                        "a factor from 0 to 1",
                        "per cent? divide by 100"});
      return false;
    }
  return true;
}

double mean(const Reflectance& r) { return std::accumulate(r.at.begin(), r.at.end(), 0.0) / bands; }

Reflectance over(const Ground& ground, const ColumnCoat& coat, const Geometry& geometry) {
  std::vector<ColumnCoat> coats = ground.coats;
  coats.push_back(coat);
  return reflectance(coats, ground.bare, {}, geometry);
}

}  // namespace

ColumnCoat AgedClear::coat() const {
  ColumnCoat film;
  film.optics.refractive_index = refractive_index;
  film.thickness_m = thickness_m;
  for (int b = 0; b < bands; ++b) film.optics.absorption_per_m[b] = depth[b] / thickness_m;
  return film;
}

Ground white_ground() { return ground_of_reading(flat_reflectance(0.88), true, 1.5, {}); }

Result<AgedClear> clear_from_readings(const ClearOverGround& read) {
  std::vector<Error> faults;
  const bool readable = sound(read.ground, "the ground", faults) && sound(read.with_clear, "the clear", faults);
  if (!(read.thickness_m > 0) || !std::isfinite(read.thickness_m))
    faults.push_back(
        {"the clear has no thickness", {}, "a film thickness above zero", "measure it beside the reading"});
  // Wood under a glossy clear loses its own face, so only a coated ground shows the two changed over.
  if (readable && read.ground_coated && mean(read.with_clear) > mean(read.ground) + 0.02)
    faults.push_back({"with its clear the ground reads lighter than without",
                      {},
                      "the darker reading with the clear",
                      "were ground and clear swapped? swap them back"});
  if (!faults.empty()) return faults;

  AgedClear aged;
  aged.thickness_m = read.thickness_m, aged.refractive_index = read.refractive_index;
  std::vector<int> lighter, black;
  for (int b = 0; b < bands; ++b) {
    const Behind ground = behind(read.ground[b], read.ground_coated, read.ground_index, read.geometry);
    const Behind with = behind(read.with_clear[b], true, read.refractive_index, read.geometry);
    // Behind a dark enough film or ground only noise is left.
    const double floor = std::max(2 * read.reading_sd * with.slope, 1e-4);
    if (ground.body <= floor || with.body <= floor) black.push_back(b);
    const double below = std::max(ground.body, floor), above = std::max(with.body, floor);
    const double depth = std::log(below / above) / 2;
    aged.depth_sd[b] = std::hypot(read.reading_sd * ground.slope / below, read.reading_sd * with.slope / above) / 2;
    if (depth < -2 * aged.depth_sd[b]) lighter.push_back(b);
    aged.depth[b] = std::max(depth, 0.0);
  }
  const auto say = [&](const std::vector<int>& which, const char* what) {
    if (!which.empty())
      aged.notes.push_back({Severity::caution,
                            fmt::format("At {} of {} wavelengths, from {:.0f} to {:.0f} nm, {}", which.size(), bands,
                                        band_nm(which.front()), band_nm(which.back()), what),
                            "clear"});
  };
  say(lighter,
      "the clear reads lighter than its ground: it is hazy, or the ground was read dirty. It is treated as clear "
      "there.");
  say(black, "too little light comes back to measure how much the clear absorbs: the value there is a lower bound.");
  return aged;
}

Result<AgedClear> clear_from_yellowness(const ClearByYellowness& part) {
  std::vector<Error> faults;
  sound(part.ground.bare, "the ground", faults);
  if (part.lamp != Lamp::C && part.lamp != Lamp::D65)
    faults.push_back({"the yellowness index has no coefficients for this lamp",
                      {},
                      "C or D65",
                      "give the lamp the instrument used"});
  if (!(part.thickness_m > 0) || !std::isfinite(part.thickness_m))
    faults.push_back({"the clear has no thickness", {}, "a film thickness above zero", "measure the part's film"});
  if (!std::isfinite(part.yellowness) || !(part.yellowness_sd > 0))
    faults.push_back(
        {"the yellowness or its uncertainty is not a number", {}, "a YI and an uncertainty above zero", ""});
  if (!faults.empty()) return faults;

  // The index is for what is white or without colour of its own; a strong ground makes its number say something else.
  const Lab under = to_lab(over(part.ground, {}, part.geometry), part.lamp, part.observer);
  constexpr double most_chroma = 20, least_lightness = 50;
  if (std::hypot(under.a, under.b) > most_chroma || under.l < least_lightness)
    return Error{fmt::format("the yellowness index means nothing over this ground (L* {:.0f}, chroma {:.0f})", under.l,
                             std::hypot(under.a, under.b)),
                 {"", 0, 0, "ground"},
                 "a ground that is nearly white or pale grey (astm_e313)",
                 "read the clear over its ground with an instrument instead, and give that as with_clear"};
  const auto yellowness = [&](double units) {
    const ColumnCoat coat{part.clear, part.thickness_m, 0, units};
    return yellowness_e313(to_xyz(over(part.ground, coat, part.geometry), part.lamp, part.observer), part.observer,
                           part.lamp);
  };
  const double as_new = yellowness(0);
  constexpr double far = 64;
  if (part.yellowness < as_new - 2 * part.yellowness_sd || part.yellowness > yellowness(far))
    return Error{fmt::format("a yellowness of {:.1f} is not possible for this clear over this ground", part.yellowness),
                 {},
                 fmt::format("{:.1f} (as new) to {:.1f}", as_new, yellowness(far)),
                 "another ground, another kind of clear, or a part that has been in the sun"};
  double low = 0, high = far;
  for (int i = 0; i < 60; ++i) (yellowness((low + high) / 2) < part.yellowness ? low : high) = (low + high) / 2;
  AgedClear aged;
  aged.thickness_m = part.thickness_m, aged.refractive_index = part.clear.refractive_index;
  aged.yellowing = low;
  const double slope = (yellowness(low + 1e-3) - yellowness(low)) / 1e-3;
  aged.yellowing_sd = slope > 0 ? part.yellowness_sd / slope : 0;
  for (int b = 0; b < bands; ++b) {
    const double one_unit = std::max(part.clear.yellowing_per_m[b], 0.0) * part.thickness_m;
    aged.depth[b] = part.clear.absorption_per_m[b] * part.thickness_m + low * one_unit;
    aged.depth_sd[b] = std::hypot(aged.yellowing_sd * one_unit, part.shape_sd * low * one_unit);
  }
  aged.notes.push_back(
      {Severity::information,
       "One yellowness index does not show at which wavelengths the clear absorbs; the usual curve of its kind is used "
       "(ESTIMATE). A reading over a known ground would show it.",
       "clear"});
  if (part.yellowness < as_new)
    aged.notes.push_back(
        {Severity::information, "The part is no yellower than new clear, within its uncertainty.", "clear"});
  if (low > 2)
    aged.notes.push_back(
        {Severity::caution,
         fmt::format("{:.1f} units of yellowing: more than this kind of clear is expected to reach (2). "
                     "The film is thicker than stated, or something else has yellowed.",
                     low),
         "clear"});
  return aged;
}

namespace {

struct Tinter {
  const TintAsk& ask;
  Ground white = white_ground();

  ColumnCoat film(const std::vector<TintPart>& parts) const {
    std::vector<Tinting> with;
    for (const TintPart& p : parts) with.push_back({&ask.toners[p.toner], p.strength_kg_m3});
    return {tinted(ask.fresh, with).dry, ask.fresh_film_m};
  }
  std::vector<Lab> colours(const ColumnCoat& coat) const {
    std::vector<Lab> seen;
    for (const Ground* ground : {&ask.ground, &white}) {
      const Reflectance r = over(*ground, coat, ask.geometry);
      for (const Lamp lamp : ask.lamps) seen.push_back(to_lab(r, lamp, ask.observer));
    }
    return seen;
  }
  double fit(std::vector<TintPart>& parts, const std::vector<Lab>& target) const {
    constexpr double most_kg_m3 = 1000;  // more is a toner thinned with clear
    std::vector<double> usual, most(parts.size(), most_kg_m3);
    const ColumnCoat clear = film({});
    for (const TintPart& p : parts) {
      const ColumnCoat one = film({{p.toner, 1, 0}});
      double depth = 0;
      for (int b = 4; b < 30; ++b)
        depth += (one.optics.absorption_per_m[b] - clear.optics.absorption_per_m[b]) * ask.fresh_film_m / 26;
      usual.push_back(std::clamp(0.05 / std::max(depth, 1e-9), 1e-3 * most_kg_m3, most_kg_m3));
    }
    std::vector<TintPart> trial = parts;
    const auto at = [&](const std::vector<double>& strengths) {
      for (std::size_t i = 0; i < trial.size(); ++i) trial[i].strength_kg_m3 = strengths[i];
      return colours(film(trial));
    };
    const std::vector<double> strengths = nearest_amounts(at, target, usual, most);
    for (std::size_t i = 0; i < parts.size(); ++i) parts[i].strength_kg_m3 = strengths[i];
    return mean_difference(at(strengths), target);
  }
  void weigh(TintRecipe& recipe, const std::vector<Lab>& target) const {
    recipe.exact_delta_e = mean_difference(colours(film(recipe.parts)), target);
    for (TintPart& p : recipe.parts) {
      p.mass_kg = std::round(p.strength_kg_m3 * ask.batch_m3 / ask.scale_step_kg) * ask.scale_step_kg;
      p.strength_kg_m3 = p.mass_kg / ask.batch_m3;
    }
    std::erase_if(recipe.parts, [](const TintPart& p) { return p.mass_kg == 0; });
    recipe.clear_kg = ask.batch_m3 * ask.fresh.density_kg_m3;
    const ColumnCoat coat = film(recipe.parts);
    recipe.over_ground = over(ask.ground, coat, ask.geometry), recipe.over_white = over(white, coat, ask.geometry);
    const std::vector<Lab> reached = colours(coat);
    for (std::size_t i = 0; i < reached.size(); ++i) recipe.delta_e.push_back(delta_e_2000(reached[i], target[i]));
    recipe.mean_delta_e = mean_difference(reached, target);
  }
  void say_uncertainty(TintRecipe& recipe) const {
    constexpr int draws = 200;
    std::vector<double> off;
    for (int d = 0; d < draws; ++d) {
      const Key key = Key{}.with("tint").with(static_cast<std::uint64_t>(d));
      // Errors of the aged clear go up and down together over the bands: its thickness, its ground, its cleaning.
      AgedClear aged = ask.aged;
      const double together = normal(key.with("clear"));
      for (int b = 0; b < bands; ++b) aged.depth[b] = std::max(0.0, aged.depth[b] + together * aged.depth_sd[b]);
      std::vector<Toner> toners = ask.toners;
      for (Toner& t : toners) {
        const double strength = std::exp(t.strength_log_sd * normal(key.with(t.id)));
        for (int b = 0; b < bands; ++b) t.dry.absorption_per_m[b] *= strength, t.dry.scattering_per_m[b] *= strength;
      }
      std::vector<Tinting> with;
      for (const TintPart& p : recipe.parts) with.push_back({&toners[p.toner], p.strength_kg_m3});
      off.push_back(mean_difference(colours({tinted(ask.fresh, with).dry, ask.fresh_film_m}), colours(aged.coat())));
    }
    recipe.likely_delta_e = std::accumulate(off.begin(), off.end(), 0.0) / draws;
    recipe.verdict = verdict_on(recipe.likely_delta_e);
    std::sort(off.begin(), off.end());
    recipe.delta_e_high = quantile(off, 0.95);
  }
};

}  // namespace

Result<Tint> tint_like(const TintAsk& ask) {
  std::vector<Error> faults;
  const auto positive = [&](double v, const char* what) {
    if (!(v > 0) || !std::isfinite(v))
      faults.push_back({std::string(what) + " is not above zero", {}, "above zero", ""});
  };
  sound(ask.ground.bare, "the ground", faults);
  positive(ask.aged.thickness_m, "the aged clear's film"), positive(ask.fresh_film_m, "the fresh clear's film");
  positive(ask.batch_m3, "the batch"), positive(ask.scale_step_kg, "the scale's step");
  positive(ask.fresh.density_kg_m3, "the clear's density"),
      positive(ask.fresh.volume_solids_fraction, "its volume solids");
  for (const Toner& t : ask.toners)
    positive(t.density_kg_m3, "a toner's density"), positive(t.volume_solids_fraction, "a toner's volume solids");
  if (ask.toners.empty())
    faults.push_back({"no toner to tint with", {"", 0, 0, "toners"}, "one or more", "name those on the shelf"});
  if (ask.lamps.empty())
    faults.push_back({"no lamp to judge under", {"", 0, 0, "lamps"}, "one or more", "D65, A and LED-B3 are usual"});
  if (!faults.empty()) return faults;

  const Tinter tinter{ask};
  const ColumnCoat aged = ask.aged.coat(), fresh = tinter.film({});
  const std::vector<Lab> target = tinter.colours(aged);
  Tint answer;
  answer.aged_over_ground = over(ask.ground, aged, ask.geometry);
  answer.fresh_over_ground = over(ask.ground, fresh, ask.geometry);
  answer.aged_over_white = over(tinter.white, aged, ask.geometry);
  answer.fresh_over_white = over(tinter.white, fresh, ask.geometry);
  answer.fresh_delta_e = delta_e_2000(to_lab(answer.aged_over_ground, ask.lamps[0], ask.observer),
                                      to_lab(answer.fresh_over_ground, ask.lamps[0], ask.observer));
  answer.effect = effect_of(ask.ground, {aged}, "The aged clear", ask.lamps[0], ask.observer, ask.geometry);
  answer.notes = ask.aged.notes;

  std::vector<TintRecipe> made;
  const auto add = [&](std::vector<TintPart> parts) {
    tinter.fit(parts, target);
    std::erase_if(parts, [](const TintPart& p) { return p.strength_kg_m3 == 0; });
    const auto same = [&](const TintRecipe& r) {
      return std::equal(r.parts.begin(), r.parts.end(), parts.begin(), parts.end(),
                        [](const TintPart& x, const TintPart& y) { return x.toner == y.toner; });
    };
    if (std::any_of(made.begin(), made.end(), same)) return;
    TintRecipe recipe;
    recipe.parts = std::move(parts);
    made.push_back(std::move(recipe));
  };
  for (std::size_t a = 0; a < ask.toners.size(); ++a) {
    add({{a, 0, 0}});
    if (ask.most_toners > 1)
      for (std::size_t b = a + 1; b < ask.toners.size(); ++b) {
        add({{a, 0, 0}, {b, 0, 0}});
        if (ask.most_toners > 2)
          for (std::size_t c = b + 1; c < ask.toners.size(); ++c) add({{a, 0, 0}, {b, 0, 0}, {c, 0, 0}});
      }
  }
  for (TintRecipe& r : made) tinter.weigh(r, target);
  constexpr double earned_by_a_toner = 0.1;  // ESTIMATE: as in shade()
  std::stable_sort(made.begin(), made.end(), [&](const TintRecipe& a, const TintRecipe& b) {
    return a.mean_delta_e + earned_by_a_toner * static_cast<double>(a.parts.size()) <
           b.mean_delta_e + earned_by_a_toner * static_cast<double>(b.parts.size());
  });
  if (made.size() > ask.recipes) made.resize(ask.recipes);
  for (TintRecipe& r : made) tinter.say_uncertainty(r);
  answer.recipes = std::move(made);
  if (answer.effect.hue_turns) answer.notes.push_back({Severity::caution, answer.effect.says, "ground"});
  if (answer.recipes.front().parts.empty())
    answer.notes.push_back({Severity::information, "Untinted fresh clear comes nearest.", "tint"});
  return answer;
}

}  // namespace witnessline::match
