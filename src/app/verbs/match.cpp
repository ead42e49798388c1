#include "app/verbs/match.h"

#include <fmt/format.h>

#include <algorithm>

#include "match/likely.h"

namespace witnessline::app {

namespace {

const char* word_for(Verdict verdict) {
  return words(static_cast<const Verdict*>(nullptr))[static_cast<std::size_t>(verdict)];
}

RecipeResult recipe_result(const Recipe& r, const MatchRequest& request, const Mix& mix) {
  RecipeResult s;
  s.chosen_for = r.chosen_for, s.pours = result_of(r.pours, request, mix), s.views = result_of(r.views);
  std::vector<Input> inputs{{"dry film", request.film_m, Quantity::film_thickness, Kind::estimate, ""},
                            {"resolution of the scale", request.scale_kg, Quantity::mass, Kind::measured, ""}};
  for (const Pour& p : r.pours)
    inputs.push_back({mix.shelf[p.tin].name, p.mass_kg, Quantity::mass, Kind::computed, "kubelka1948"});
  inputs.push_back(
      {"doubt of K and S of a tin not read", request.tin_sd_fraction, Quantity::fraction, Kind::estimate, "estimate"});
  const LikelyCloseness likely = likely_closeness(mix.shelf, mix.known, mix.aim, mix.laying,
                                                  {request.batch_kg, request.scale_kg, request.rounding_delta_e}, r);
  // As worked out it comes nearer than most panels will: the value may lie below where 90 of 100 lie.
  s.smallest_batch_why = r.smallest_batch_why;
  for (const Pour& p : r.pours) s.poison |= mix.shelf[p.tin].poison;
  s.delta_e = delta_e_figure("Delta E to the target", r.closeness, std::min(likely.band.low, r.closeness),
                             std::max(likely.band.high, r.closeness), inputs);
  s.likely_delta_e = likely.mean;
  s.batch_kg = r.batch_kg, s.rounding_cost = r.closeness - r.exact_closeness;
  s.half_step_cost = r.half_step_closeness - r.exact_closeness, s.smallest_batch_kg = r.smallest_batch_kg;
  s.metamerism = r.metamerism, s.scarce_fraction = r.scarce_share, s.price = r.price;
  s.contrast_fraction = r.contrast_ratio, s.hiding_coats = r.hiding_coats, s.verdict = r.verdict;
  if (r.hiding_film_m) s.hiding_film_m = *r.hiding_film_m;
  return s;
}

// Recipes as they are counted: "1, 3 and 4".
std::string numbers_of(const std::vector<RecipeResult>& recipes, bool poison) {
  std::vector<std::string> list;
  for (std::size_t i = 0; i < recipes.size(); ++i)
    if (recipes[i].poison == poison) list.push_back(std::to_string(i + 1));
  std::string text = list.empty() ? "" : list[0];
  for (std::size_t i = 1; i < list.size(); ++i) text += (i + 1 == list.size() ? " and " : ", ") + list[i];
  return (list.size() == 1 ? "recipe " : "recipes ") + text;
}

std::string describe_batch(const RecipeResult& first, const MatchRequest& request) {
  const auto grams = [](double kg) { return fmt::format("{:.4g} g", 1e3 * kg); };
  if (first.smallest_batch_kg == 0)
    return fmt::format("No batch of it can be weighed well: {}.", first.smallest_batch_why);
  if (first.smallest_batch_kg > request.batch_kg)
    return fmt::format("{} is too little to weigh: mix at least {} ({}).", grams(request.batch_kg),
                       grams(first.smallest_batch_kg), first.smallest_batch_why);
  return fmt::format("The scale is fine enough for batches of {} or more ({}).", grams(first.smallest_batch_kg),
                     first.smallest_batch_why);
}

}  // namespace

Result<MatchAnswer> match_answer(const MatchRequest& request, const Asking& asking) {
  const auto mix = mix_of(request, asking);
  if (!mix) return mix.errors();
  const auto found =
      match::match(mix->shelf, mix->aim, mix->laying, {request.batch_kg, request.scale_kg, request.rounding_delta_e},
                   {request.most_colorants, request.answers, request.rank_by});
  if (!found) return found.errors();
  MatchAnswer answer;
  for (const Recipe& r : found->recipes) answer.recipes.push_back(recipe_result(r, request, *mix));
  answer.why_not_closer = found->why_not_closer;
  for (const Limit& l : found->limits) answer.limits.push_back({l.without, l.closeness});
  answer.subsets = static_cast<int>(found->subsets);
  const Recipe& first = found->recipes[0];
  const RecipeResult& stated_first = answer.recipes[0];
  if (first.verdict == Verdict::another_panel)
    answer.sentences.push_back(
        fmt::format("The shelf does not reach this colour: the first recipe comes to {:.1f} Delta E, and within 2 is "
                    "wanted even on a separate part.",
                    first.closeness));
  else
    answer.sentences.push_back(
        fmt::format("As worked out, {:.1f} Delta E from the target; a panel that comes out so is "
                    "good {}.",
                    first.closeness, word_for(first.verdict)));
  answer.sentences.push_back(
      fmt::format("A real panel will lie further off: {:.1f} on average, 90 of 100 between {:.1f} and {:.1f}, as well "
                  "as tins, film "
                  "and the law of mixing are known.",
                  stated_first.likely_delta_e, stated_first.delta_e.band.low, stated_first.delta_e.band.high));
  if (std::any_of(answer.recipes.begin(), answer.recipes.end(), [](const RecipeResult& r) { return r.poison; })) {
    const bool all = std::all_of(answer.recipes.begin(), answer.recipes.end(), [](const auto& r) { return r.poison; });
    answer.sentences.push_back(all ? "Every recipe here holds lead or another poisonous metal: do not spray any. Take "
                                     "those tins off the shelf and ask again."
                                   : fmt::format("Lead or another poisonous metal is in {}; {} hold{} none.",
                                                 numbers_of(answer.recipes, true), numbers_of(answer.recipes, false),
                                                 numbers_of(answer.recipes, false).starts_with("recipes") ? "" : "s"));
  }
  answer.sentences.push_back(found->why_not_closer);
  answer.sentences.push_back(
      first.hiding_film_m
          ? fmt::format("The planned film has a contrast ratio of {:.1f} %; 98 % takes {:.0f} um dry, {} {}.",
                        100 * first.contrast_ratio, 1e6 * *first.hiding_film_m, first.hiding_coats,
                        first.hiding_coats == 1 ? "coat" : "coats")
          : fmt::format("The planned film has a contrast ratio of {:.1f} %; no film up to 1 mm hides: it stays a "
                        "translucent colour and lives by its ground.",
                        100 * first.contrast_ratio));
  answer.sentences.push_back(describe_batch(stated_first, request));
  answer.sentences.push_back(
      "This is a recipe for a panel, not for the instrument. Spray a panel, let it dry, read it, and ask `correct`.");
  for (const auto& [name, r] :
       std::vector<std::pair<const char*, Reflectance>>{{"target", mix->aim.reflectance},
                                                        {"recipe", first.reflectance},
                                                        {"recipe as aged", first.reflectance_aged}}) {
    if (r.at == first.reflectance.at && std::string(name) == "recipe as aged") continue;
    answer.curves.push_back(spectrum_curve(name, r));
    for (const Lamp lamp : request.lamps) answer.swatches.push_back(swatch_of(name, r, lamp, request.observer));
  }
  for (const auto& [name, r] : {std::pair{"ground as it is", &mix->laying.ground},
                                {"recipe over black", &first.over_chart.black},
                                {"recipe over white", &first.over_chart.white}})
    for (const Lamp lamp : request.lamps) answer.swatches.push_back(swatch_of(name, *r, lamp, request.observer));
  std::vector<PourResult> all_pours;
  for (const RecipeResult& r : answer.recipes) all_pours.insert(all_pours.end(), r.pours.begin(), r.pours.end());
  add_cautions(all_pours, asking, answer.notes);
  add_notes(answer.notes, found->notes);
  add_notes(answer.notes, mix->notes);
  return answer;
}

std::string format_answer(const MatchAnswer& answer, BenchUnits units) {
  std::string text = dangers_of(answer.notes);
  for (const std::string& s : answer.sentences) text += s + "\n";
  for (std::size_t i = 0; i < answer.recipes.size(); ++i) {
    const RecipeResult& r = answer.recipes[i];
    text += fmt::format(
        "\nRecipe {} ({}): {:.2f} Delta E, {}; a panel {:.1f} ({:.1f} to {:.1f}); rounding {:+.2f}, half a step of the "
        "scale in every weighing {:+.2f} at the worst\n",
        i + 1, r.chosen_for, r.delta_e.value,
        r.verdict == Verdict::another_panel ? "out of reach" : word_for(r.verdict), r.likely_delta_e,
        r.delta_e.band.low, r.delta_e.band.high, r.rounding_cost, r.half_step_cost);
    text += format_text(r.pours, units) + format_text(r.views);
    text += fmt::format("  {:.2f} g in all; metamerism {:.2f}; smallest batch {}; contrast ratio {:.1f} %",
                        1e3 * r.batch_kg, r.metamerism,
                        r.smallest_batch_kg > 0 ? fmt::format("{:.4g} g", 1e3 * r.smallest_batch_kg) : "none",
                        100 * r.contrast_fraction);
    if (r.scarce_fraction > 0) text += fmt::format("; {:.0f} % of a tin there is no more of", 100 * r.scarce_fraction);
    if (r.price > 0) text += fmt::format("; price {:.2f}", r.price);
    text += "\n";
  }
  for (const Note& n : answer.notes) text += "\n" + n.text;
  return text + "\n";
}

Verb match_verb() {
  return verb<MatchRequest, MatchAnswer>("match", "A recipe in grams from the shelf that comes nearest to a colour",
                                         Work{.wets = true}, match_answer, format_answer);
}

}  // namespace witnessline::app
