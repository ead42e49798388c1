#include "app/verbs/shade.h"

#include <fmt/format.h>

#include "base/chance.h"

namespace witnessline::app {

namespace {

ShadeTin tin_of(const ShadeRequest& request, const ShadeStep& step, const Toner& toner, const Library& library) {
  ShadeTin tin{toner.id, library.find(toner.id)->name, step.strength_kg_m3, step.coats, step.dry_m, 0, 0, 0};
  const double sprayed_m3 =
      request.area_m2 * request.wet_m * step.coats / request.transfer_fraction * (1 + request.spare_fraction);
  const double tinted_m3 = sprayed_m3 / (1 + request.thinning);
  tin.clear_m3 = tinted_m3 / (1 + step.strength_kg_m3 / toner.density_kg_m3);
  tin.toner_kg = step.strength_kg_m3 * tin.clear_m3;
  tin.thinner_m3 = sprayed_m3 - tinted_m3;
  return tin;
}

std::vector<Input> inputs_of(const ShadeAsk& ask, const ShadeRecipe& recipe, const Library& library) {
  std::vector<Input> inputs{{"wet film of a coat", ask.laying.wet_m, Quantity::film_thickness, Kind::measured, ""},
                            {"scatter of coats", ask.laying.landing_log_sd, Quantity::fraction, Kind::estimate, ""},
                            {"uncertainty of readings", ask.reading_sd, Quantity::ratio, Kind::estimate, ""}};
  for (const ShadeStep& s : recipe.steps) {
    const Material* m = library.find(ask.toners[s.toner].id);
    inputs.push_back({"strength of " + m->name + " [g/L]", s.strength_kg_m3, Quantity::ratio, m->kind, m->source});
  }
  return inputs;
}

// Everything after the light ahead: how far the two then lie apart.
Result<double> aged_difference(const ShadeRequest& request, const ShadeAsk& ask, const ShadeRecipe& recipe,
                               const Asking& asking, const Palette& palette) {
  const double more_lx_s = request.light_ahead_lx_s;
  const auto target = surface_found(request.target, "target", asking, palette, ask.geometry, more_lx_s);
  const auto ground = surface_found(request.ground, "ground", asking, palette, ask.geometry, more_lx_s);
  const auto over = coats_found(request.over, "over", asking.library, palette, more_lx_s);
  for (const auto* faulty : {&target, &ground})
    if (!*faulty) return faulty->errors();
  if (!over) return over.errors();
  std::vector<ColumnCoat> coats = ground->ground.coats;
  for (const ShadeStep& s : recipe.steps) {
    ColumnCoat coat = toned_coat(ask.toners[s.toner], ask.carrier, ask.laying, s.strength_kg_m3);
    coat.thickness_m *= s.coats;
    coat.yellowing = yellowing(more_lx_s);
    coats.push_back(coat);
  }
  coats.insert(coats.end(), over->begin(), over->end());
  const Reflectance aged = reflectance(coats, ground->ground.bare, {}, ask.geometry);
  double sum = 0;
  for (const Lamp lamp : ask.lamps)
    sum += delta_e_2000(to_lab(aged, lamp, ask.observer), to_lab(target->seen, lamp, ask.observer));
  return sum / static_cast<double>(ask.lamps.size());
}

std::string coats_in_words(const ShadeRecipeResult& recipe) {
  std::string text;
  for (const ShadeTin& t : recipe.tins)
    text += fmt::format("{}{} {} of {} at {:g} g/L", text.empty() ? "" : ", then ", t.coats,
                        t.coats == 1 ? "coat" : "coats", t.name.substr(0, t.name.find(':')), t.strength_kg_m3);
  return text.empty() ? "clear alone" : text;
}

/// Before it is sprayed: a toner darkens, it does not cover.
std::string hiding_in_words(const ShadeAsk& ask, const ShadeRecipe& recipe, BenchUnits units) {
  const Hiding hiding = hiding_of(toner_films(ask, recipe.steps), ask.geometry);
  const std::string film = show(hiding.film_m, Quantity::film_thickness, units);
  if (hiding.hides()) return fmt::format("These {} of toner hide the ground: they work as a colour coat.", film);
  int coats = 0;
  for (const ShadeStep& s : recipe.steps) coats += s.coats;
  const double all_coats = hiding.hides_from_m ? *hiding.hides_from_m / hiding.film_m * coats : 0;
  const bool dark = to_lab(ask.target, ask.lamps[0], ask.observer).l < 35;
  return fmt::format(
      "These {} of toner do not hide: {:.0f} % of the light of a pale ground still comes back through them.{} {}", film,
      100 * hiding.through,
      dark ? " Where the ground is pale the edges look brown, not black. For black, spray an opaque colour coat first."
           : " The ground's figure and its faults stay in sight.",
      hiding.hides_from_m
          ? fmt::format("To hide it at these strengths takes {}, about {:.0f} coats.",
                        show(*hiding.hides_from_m, Quantity::film_thickness, units), std::ceil(all_coats))
          : std::string("No film that anybody lays hides it at these strengths."));
}

/// A toner at its greatest strength in as many coats as are allowed.
bool too_weak(const ShadeAsk& ask, const ShadeRecipe& recipe) {
  return std::any_of(recipe.steps.begin(), recipe.steps.end(), [&](const ShadeStep& s) {
    return s.coats == ask.most_coats && s.strength_kg_m3 > 0.97 * ask.most_strength_kg_m3;
  });
}

std::string result_of(Verdict verdict) {
  return verdict == Verdict::another_panel ? "for a panel only" : word_for(verdict);
}

}  // namespace

Result<ShadeAnswer> shade_answer(const ShadeRequest& request, const Asking& asking) {
  const Palette palette(asking.library);
  ShadeAsk ask;
  std::vector<Error> faults;
  const auto keep = [&](const auto& result, auto&& take) {
    if (result)
      take(*result);
    else
      faults.insert(faults.end(), result.errors().begin(), result.errors().end());
  };
  ShadeAnswer answer;
  bool target_read = false;
  Reflectance ground_seen;
  keep(surface_found(request.target, "target", asking, palette, ask.geometry), [&](const SurfaceFound& s) {
    ask.target = s.seen, target_read = s.read;
    add_notes(answer.notes, s.notes);
  });
  keep(surface_found(request.ground, "ground", asking, palette, ask.geometry), [&](const SurfaceFound& s) {
    ask.ground = s.ground, ground_seen = s.seen;
    add_notes(answer.notes, s.notes);
  });
  keep(coats_found(request.over, "over", asking.library, palette), [&](const auto& coats) { ask.over = coats; });
  keep(toners_found(request.toners, asking.library, palette), [&](const auto& toners) { ask.toners = toners; });
  keep(carrier_found(request.carrier, "carrier", asking.library, palette), [&](const Carrier& c) { ask.carrier = c; });
  if (!faults.empty()) return faults;
  ask.laying.wet_m = request.wet_m, ask.laying.thinner_per_part = request.thinning;
  ask.lamps = request.lamps, ask.reading_sd = request.reading_sd, ask.coat_delta_e = request.coat_delta_e;
  ask.strength_step_kg_m3 = request.strength_step_kg_m3, ask.most_strength_kg_m3 = request.most_strength_kg_m3;
  ask.most_toners = request.most_toners, ask.most_coats = request.most_coats;
  ask.recipes = static_cast<std::size_t>(request.recipes);

  const auto shading = shade(ask);
  if (!shading) return shading.errors();
  for (const ShadeRecipe& r : shading->recipes) {
    ShadeRecipeResult result;
    for (const ShadeStep& s : r.steps) result.tins.push_back(tin_of(request, s, ask.toners[s.toner], asking.library));
    for (const AfterCoat& a : r.after)
      result.after.push_back({ask.toners[a.toner].id, a.coat, to_lab(a.now, ask.lamps[0], ask.observer),
                              to_lab(a.under_clear, ask.lamps[0], ask.observer), a.delta_e});
    result.delta_e = delta_e_figure("Delta E to the target", r.mean_delta_e, r.delta_e_low, r.delta_e_high,
                                    inputs_of(ask, r, asking.library));
    for (std::size_t l = 0; l < ask.lamps.size(); ++l) result.lamps.push_back({ask.lamps[l], r.delta_e[l]});
    result.rounding_cost = r.mean_delta_e - r.exact_delta_e;
    result.likely_delta_e = r.likely_delta_e, result.within_1 = r.within_1, result.within_2 = r.within_2;
    result.verdict = r.verdict, result.out_of_reach = r.out_of_reach;
    if (request.light_ahead_lx_s > 0 && !target_read) {
      const auto aged = aged_difference(request, ask, r, asking, palette);
      if (!aged) return aged.errors();
      result.aged_delta_e = *aged;
    }
    answer.recipes.push_back(std::move(result));
  }
  const ShadeRecipeResult& best = answer.recipes.front();
  if (best.out_of_reach)
    answer.sentences.push_back(fmt::format(
        "This target cannot be reached, so spray nothing: {}. The nearest ({}) stays {:.1f} Delta E away.",
        !shading->reach.obstacle.empty()          ? "the ground is " + shading->reach.obstacle + " for it"
        : too_weak(ask, shading->recipes.front()) ? "the ground allows it, but these toners are too weak for it"
                                                  : "the ground allows it, but no mixture of these toners has its hue",
        coats_in_words(best), best.delta_e.value));
  else
    answer.sentences.push_back(
        fmt::format("Lay {}: as worked out {:.1f} Delta E from the target.", coats_in_words(best), best.delta_e.value));
  for (const std::string& why : shading->reach.why) answer.sentences.push_back(why);
  if (!best.tins.empty() && !best.out_of_reach)
    answer.sentences.push_back(
        fmt::format("Sprayed blind, as well as toner and hand are known, it is good {}: {:.1f} Delta E on average, "
                    "{:.1f} to {:.1f} in "
                    "95 of 100. The chance of coming within 1 is {}, within 2 {}.",
                    result_of(best.verdict), best.likely_delta_e, best.delta_e.band.low, best.delta_e.band.high,
                    in_a_hundred(best.within_1), in_a_hundred(best.within_2)));
  if (!best.tins.empty()) answer.sentences.push_back(hiding_in_words(ask, shading->recipes.front(), asking.units));
  if (request.light_ahead_lx_s > 0)
    answer.sentences.push_back(
        target_read ? "The target is a reading: what light will do to it cannot be said."
                    : fmt::format("After the light ahead the two lie {:.1f} Delta E apart.", best.aged_delta_e));
  if (!ask.over.empty()) {
    const FilmEffect effect = effect_of(ask.ground, ask.over, "The clear", ask.lamps[0], ask.observer, ask.geometry);
    answer.sentences.push_back(effect.says);
    if (effect.hue_turns) answer.notes.push_back({Severity::caution, effect.says, "over"});
  }
  answer.sentences.push_back(
      "Judge under more than one lamp and dry: wet, the surface looks darker and deeper, and a shading that agrees "
      "under one "
      "lamp may part under another.");
  for (const Excess& e : shading->reach.wanting) answer.wanting.push_back({e.from_nm, e.to_nm, e.most, e.most_at_nm});
  answer.ground_delta_e = shading->reach.ground_delta_e, answer.perfect_delta_e = shading->reach.perfect_delta_e;
  const Reflectance reached = shaded(ask, shading->recipes.front().steps);
  for (const auto& [name, r] :
       std::vector<std::pair<const char*, Reflectance>>{{"target", ask.target},
                                                        {"shaded", reached},
                                                        {"ground under clear", shading->reach.lightest},
                                                        {"ground as it is", ground_seen}}) {
    answer.curves.push_back(spectrum_curve(name, r));
    for (const Lamp lamp : ask.lamps) answer.swatches.push_back(swatch_of(name, r, lamp, ask.observer));
  }
  add_notes(answer.notes, shading->notes);
  return answer;
}

std::string format_answer(const ShadeAnswer& answer, BenchUnits units) {
  std::string text;
  for (const std::string& s : answer.sentences) text += s + "\n";
  for (std::size_t i = 0; i < answer.recipes.size(); ++i) {
    const ShadeRecipeResult& r = answer.recipes[i];
    text += fmt::format("\nRecipe {}: {:.2f} Delta E as worked out ({}), rounding {:+.2f}\n", i + 1, r.delta_e.value,
                        r.out_of_reach ? "out of reach, for a look only" : "sprayed blind: " + result_of(r.verdict),
                        r.rounding_cost);
    for (const LampDifference& l : r.lamps) text += fmt::format("  {} {:.2f}", word_for(l.lamp), l.delta_e);
    text += "\n";
    for (const ShadeTin& t : r.tins)
      text += fmt::format(
          "  {} x {}: {:g} g/L; mix {} toner, {} clear, {} thinner; dry film {} a coat\n", t.coats, t.name,
          t.strength_kg_m3, show(t.toner_kg, Quantity::mass, units), show(t.clear_m3, Quantity::film_volume, units),
          show(t.thinner_m3, Quantity::film_volume, units), show(t.dry_m, Quantity::film_thickness, units));
    if (i > 0) continue;  // the first is the one to spray
    for (const ShadeStand& s : r.after)
      text += fmt::format(
          "    after coat {} of {}: L* {:.1f} a* {:.1f} b* {:.1f} now, {:.1f} {:.1f} {:.1f} under clear, {:.1f} "
          "Delta E left\n",
          s.coat, s.toner, s.now.l, s.now.a, s.now.b, s.under_clear.l, s.under_clear.a, s.under_clear.b, s.delta_e);
  }
  for (const Note& n : answer.notes) text += "\n" + n.text;
  return text + "\n";
}

Verb shade_verb() {
  return verb<ShadeRequest, ShadeAnswer>(
      "shade", "Toners in coats and strengths that bring a ground to a target, and where the ground forbids it",
      Work{.sprays = true}, shade_answer, format_answer);
}

}  // namespace witnessline::app
