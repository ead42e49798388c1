#include "app/verbs/yellowed_clear.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace witnessline::app {

namespace {

Curve depth_curve(std::string name, const Spectrum& depth) {
  Curve curve{std::move(name), "wavelength [nm]", "absorption times thickness [1]", {}, {}};
  for (int b = 0; b < bands; ++b) curve.x.push_back(band_nm(b)), curve.y.push_back(depth[b]);
  return curve;
}

Figure yellowness_figure(std::string name, const Reflectance& r, Kind kind) {
  Figure f;
  f.name = std::move(name);
  f.value = yellowness_e313(to_xyz(r, Lamp::D65, Observer::deg10), Observer::deg10);
  f.law = "YI = 100 (Cx X - Cz Z) / Y, D65, 10 degree";
  f.source = "astm_e313";
  f.kind = kind;
  return f;
}

// As the scale shows it.
std::string weighed(double mass_kg, BenchUnits units) {
  return units == BenchUnits::metric ? fmt::format("{:.6g} g", mass_kg * 1e3) : show(mass_kg, Quantity::mass, units);
}

// Units of this kind's yellowing that absorb as much over the bands where the clear absorbs.
Figure yellowing_figure(const AgedClear& aged, const CoatOptics& kind) {
  Figure f;
  f.name = "units of yellowing";
  f.law = "2 (1 - 2^(-dose / 36 Mlx h)); least squares of K X over the bands";
  f.source = "estimate";
  f.kind = Kind::estimate;
  f.inputs.push_back({"film of the aged clear", aged.thickness_m, Quantity::film_thickness, Kind::measured, ""});
  double both = 0, square = 0, variance = 0;
  for (int b = 2; b < bands; ++b) {
    const double unit = kind.yellowing_per_m[b] * aged.thickness_m;
    both += unit * (aged.depth[b] - kind.absorption_per_m[b] * aged.thickness_m), square += unit * unit;
    variance += unit * unit * aged.depth_sd[b] * aged.depth_sd[b];
  }
  if (square > 0) {
    const double sd = std::isfinite(aged.yellowing) ? aged.yellowing_sd : std::sqrt(variance) / square;
    f.value = std::isfinite(aged.yellowing) ? aged.yellowing : both / square;
    f.band = {f.value - 1.96 * sd, f.value + 1.96 * sd};
  }
  return f;
}

}  // namespace

Result<YellowedClearAnswer> yellowed_clear_answer(const YellowedClearRequest& request, const Asking& asking) {
  const Palette palette(asking.library);
  const Geometry geometry;
  std::vector<Error> faults;
  const auto keep = [&](const auto& result, auto&& take) {
    if (result)
      take(*result);
    else
      faults.insert(faults.end(), result.errors().begin(), result.errors().end());
  };
  TintAsk ask;
  YellowedClearAnswer answer;
  SurfaceFound ground, with_clear;
  const auto found = [&](const SurfaceGiven& given, const char* key, SurfaceFound& into) {
    keep(surface_found(given, key, asking, palette, geometry), [&](const SurfaceFound& s) {
      into = s;
      add_notes(answer.notes, s.notes);
    });
  };
  found(request.ground, "ground", ground);
  const bool by_reading = request.with_clear.has_value(), by_yellowness = std::isfinite(request.yellowness);
  if (by_reading) found(*request.with_clear, "with_clear", with_clear);
  if (by_reading == by_yellowness)
    faults.push_back({by_reading ? "both a reading with the clear and a yellowness are given"
                                 : "neither a reading with the clear nor a yellowness is given",
                      {"", 0, 0, by_reading ? "yellowness" : ""},
                      "with_clear or yellowness",
                      "keep the reading where there is one"});
  keep(toners_found(request.toners, asking.library, palette), [&](const auto& toners) { ask.toners = toners; });
  Carrier kind;
  keep(carrier_found(request.clear, "clear", asking.library, palette), [&](const Carrier& c) { kind = c; });
  keep(carrier_found(request.fresh.empty() ? request.clear : request.fresh, "fresh", asking.library, palette),
       [&](const Carrier& c) { ask.fresh = c; });
  ask.ground = ground.ground;
  if (request.lay_over) {
    SurfaceFound place;
    found(*request.lay_over, "lay_over", place);
    ask.ground = place.ground;
  }
  if (!faults.empty()) return faults;

  const bool bare_ground = ground.read ? !request.ground.coated : request.ground.coats.empty();
  const auto aged =
      by_reading ? clear_from_readings({ground.seen, with_clear.seen, !bare_ground, kind.dry.refractive_index,
                                        request.thickness_m, kind.dry.refractive_index, request.reading_sd, geometry})
                 : clear_from_yellowness({request.yellowness, request.yellowness_sd, request.lamp, request.observer,
                                          ground.ground, kind.dry, request.thickness_m, 0.3, geometry});
  if (!aged) {
    std::vector<Error> named = aged.errors();
    for (Error& e : named)
      if (e.where.key.empty()) e.where.key = by_reading ? "with_clear" : "yellowness";
    return named;
  }
  ask.aged = *aged;
  ask.fresh_film_m = request.fresh_film_m > 0 ? request.fresh_film_m : request.thickness_m;
  ask.lamps = request.lamps, ask.geometry = geometry;
  ask.most_toners = request.most_toners, ask.recipes = static_cast<std::size_t>(request.recipes);
  ask.batch_m3 = request.batch_m3, ask.scale_step_kg = request.scale_step_kg;
  const auto tint = tint_like(ask);
  if (!tint) return tint.errors();

  for (const TintRecipe& r : tint->recipes) {
    TintRecipeResult result;
    result.clear_kg = r.clear_kg;
    std::vector<Input> inputs{{"film of tinted clear", ask.fresh_film_m, Quantity::film_thickness, Kind::measured, ""}};
    for (const TintPart& p : r.parts) {
      const Material* m = asking.library.find(ask.toners[p.toner].id);
      result.toners.push_back({m->id, m->name, p.mass_kg, p.strength_kg_m3});
      inputs.push_back({m->name, p.mass_kg, Quantity::mass, m->kind, m->source});
    }
    std::stable_sort(result.toners.begin(), result.toners.end(),
                     [](const TintWeighed& a, const TintWeighed& b) { return a.mass_kg > b.mass_kg; });
    result.delta_e = delta_e_figure("Delta E, tinted against aged", r.mean_delta_e, 0, r.delta_e_high, inputs);
    for (std::size_t l = 0; l < ask.lamps.size(); ++l) {
      result.over_ground.push_back({ask.lamps[l], r.delta_e[l]});
      result.over_white.push_back({ask.lamps[l], r.delta_e[ask.lamps.size() + l]});
    }
    result.rounding_cost = r.mean_delta_e - r.exact_delta_e, result.likely_delta_e = r.likely_delta_e;
    result.verdict = r.verdict;
    answer.recipes.push_back(std::move(result));
  }
  answer.yellowness_aged = yellowness_figure("yellowness of the aged clear over white", tint->aged_over_white,
                                             by_reading ? Kind::measured : Kind::computed);
  answer.yellowness_fresh =
      yellowness_figure("yellowness of fresh clear over white", tint->fresh_over_white, Kind::estimate);
  answer.yellowing = yellowing_figure(*aged, kind.dry);
  answer.fresh_delta_e = tint->fresh_delta_e;

  const TintRecipeResult& best = answer.recipes.front();
  std::string weigh;
  for (const TintWeighed& t : best.toners)
    weigh += fmt::format("{}{} of {}", weigh.empty() ? "" : " and ", weighed(t.mass_kg, asking.units),
                         t.name.substr(0, t.name.find(':')));
  answer.sentences.push_back(
      fmt::format("Stir {} into {} of clear: as worked out {:.1f} Delta E from the aged clear (untinted {:.1f}), on "
                  "average {:.1f}; {}.",
                  weigh.empty() ? "nothing" : weigh, show(ask.batch_m3, Quantity::film_volume, asking.units),
                  best.delta_e.value, answer.fresh_delta_e, best.likely_delta_e,
                  best.verdict == Verdict::another_panel ? std::string("good for a panel only")
                                                         : fmt::format("good {}", word_for(best.verdict))));
  answer.sentences.push_back(tint->effect.says);
  answer.sentences.push_back(fmt::format("The tint is right for a film of {}: half as thick it does half as much.",
                                         show(ask.fresh_film_m, Quantity::film_thickness, asking.units)));
  answer.sentences.push_back("Tinted clear will yellow as well: what agrees today is too yellow in years to come.");
  answer.curves.push_back(depth_curve("aged clear", aged->depth));
  Spectrum fresh_depth;
  for (int b = 0; b < bands; ++b) fresh_depth[b] = ask.fresh.dry.absorption_per_m[b] * ask.fresh_film_m;
  answer.curves.push_back(depth_curve("fresh clear", fresh_depth));
  for (const auto& [name, r] :
       std::vector<std::pair<const char*, Reflectance>>{{"aged", tint->aged_over_ground},
                                                        {"fresh", tint->fresh_over_ground},
                                                        {"tinted", tint->recipes[0].over_ground}}) {
    answer.curves.push_back(spectrum_curve(name, r));
    for (const Lamp lamp : ask.lamps) answer.swatches.push_back(swatch_of(name, r, lamp, ask.observer));
  }
  add_notes(answer.notes, tint->notes);
  return answer;
}

std::string format_answer(const YellowedClearAnswer& answer, BenchUnits units) {
  std::string text;
  for (const std::string& s : answer.sentences) text += s + "\n";
  text += fmt::format("\nYellowness (ASTM E313) over white: aged {:.1f}, fresh {:.1f}; units of yellowing {:.2f}\n",
                      answer.yellowness_aged.value, answer.yellowness_fresh.value, answer.yellowing.value);
  for (std::size_t i = 0; i < answer.recipes.size(); ++i) {
    const TintRecipeResult& r = answer.recipes[i];
    text += fmt::format("\nRecipe {}: {:.2f} Delta E ({}), likely {:.1f}, rounding {:+.2f}\n  {} clear\n", i + 1,
                        r.delta_e.value, word_for(r.verdict), r.likely_delta_e, r.rounding_cost,
                        show(r.clear_kg, Quantity::mass, units));
    for (const TintWeighed& t : r.toners)
      text += fmt::format("  {} {} ({:.2f} g/L)\n", weighed(t.mass_kg, units), t.name, t.strength_kg_m3);
    for (std::size_t l = 0; l < r.over_ground.size(); ++l)
      text += fmt::format("  {}: {:.2f} where it lies, {:.2f} over white\n", word_for(r.over_ground[l].lamp),
                          r.over_ground[l].delta_e, r.over_white[l].delta_e);
  }
  for (const Note& n : answer.notes) text += "\n" + n.text;
  return text + "\n";
}

Verb yellowed_clear_verb() {
  return verb<YellowedClearRequest, YellowedClearAnswer>(
      "yellowed_clear", "What an aged clear absorbs, and the tint that makes fresh clear look like it",
      Work{.sprays = true}, yellowed_clear_answer, format_answer);
}

}  // namespace witnessline::app
