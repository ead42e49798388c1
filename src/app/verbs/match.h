// The verb `match`: a recipe in grams from the shelf for a colour.
#pragma once

#include "app/verbs/shelf.h"

namespace witnessline::app {

struct MatchRequest : MixGiven {
  double batch_kg = 0.25, rounding_delta_e = 0.2;
  int most_colorants = most_in_recipe, answers = 5;
  RankBy rank_by = RankBy::closeness;
};
template <class V>
void describe(V& v, MatchRequest& r) {
  describe_mix(v, r);
  v(member("batch_g", "to be mixed", unit::g).within(0, 1e5), r.batch_kg);
  v(member("rounding_delta_e", "what half a step of the scale may cost in the smallest batch").within(0.01, 5),
    r.rounding_delta_e);
  v(member("most_colorants", "in one recipe").within(1, most_in_recipe), r.most_colorants);
  v(member("answers", "recipes answered at most").within(1, 20), r.answers);
  v(member("rank_by", "what the answers are put in order by"), r.rank_by);
}

struct RecipeResult {
  std::string chosen_for;
  std::vector<PourResult> pours;
  Figure delta_e;
  std::vector<ViewResult> views;
  double batch_kg = 0, rounding_cost = 0, half_step_cost = 0, smallest_batch_kg = 0, metamerism = 0, likely_delta_e = 0,
         scarce_fraction = 0, price = 0, contrast_fraction = 0;
  double hiding_film_m = std::numeric_limits<double>::quiet_NaN();
  int hiding_coats = 0;
  Verdict verdict{};
  std::string smallest_batch_why;
  bool poison = false;
};
template <class V>
void describe(V& v, RecipeResult& r) {
  v(member("chosen_for", "what it is best at"), r.chosen_for);
  v(member("pours", "in weighing order"), r.pours);
  v(member("delta_e", "Delta E 2000 to the target as rounded to the scale; band: 90 of 100 panels"), r.delta_e);
  v(member("likely_delta_e", "mean over what tins, mixing law, film and weighing may be"), r.likely_delta_e);
  v(member("views", "under each lamp"), r.views);
  v(member("batch_g", "all of it", unit::g), r.batch_kg);
  v(member("rounding_cost", "Delta E that rounding to the scale costs"), r.rounding_cost);
  v(member("half_step_cost", "Delta E if every weighing is off by half a step, at the worst"), r.half_step_cost);
  v(member("smallest_batch_g", "in which every mass is five steps and half a step costs no more than allowed; 0: none",
           unit::g),
    r.smallest_batch_kg);
  v(member("smallest_batch_why", "what sets it, or why there is none"), r.smallest_batch_why);
  v(member("poison", "holds lead or another poisonous metal"), r.poison);
  v(member("metamerism", "special metamerism index from the first lamp, the largest"), r.metamerism);
  v(member("scarce_pct", "largest share it takes of what is left of an irreplaceable tin", unit::pct),
    r.scarce_fraction);
  v(member("price", "of the tins whose price is given"), r.price);
  v(member("contrast_ratio_pct", "Y over black to Y over white, of the planned film", unit::pct), r.contrast_fraction);
  v(member("hiding_film_um", "dry film of contrast ratio 98 %; null: none up to 1 mm", unit::um), r.hiding_film_m);
  v(member("hiding_coats", "coats of that; 0: none hides"), r.hiding_coats);
  v(member("verdict", "of the worst lamp"), r.verdict);
}

struct LimitResult {
  std::string without;
  double delta_e = 0;
};
template <class V>
void describe(V& v, LimitResult& l) {
  v(member("without", "what is taken away"), l.without);
  v(member("delta_e", "how near the shelf then comes"), l.delta_e);
}

struct MatchAnswer {
  std::vector<std::string> sentences;
  std::vector<RecipeResult> recipes;
  std::string why_not_closer;
  std::vector<LimitResult> limits;
  int subsets = 0;
  std::vector<Swatch> swatches;
  std::vector<Curve> curves;
  std::vector<Note> notes;
};
template <class V>
void describe(V& v, MatchAnswer& a) {
  v(member("sentences", "what to know, most important first"), a.sentences);
  v(member("recipes", "in the order asked for"), a.recipes);
  v(member("why_not_closer", "which limit binds"), a.why_not_closer);
  v(member("limits", "how near it would come without each"), a.limits);
  v(member("subsets", "sets of colorants looked at"), a.subsets);
  v(member("swatches", "target and first recipe on the ground; its planned film over black and white"), a.swatches);
  v(member("curves", "spectra"), a.curves);
  v(member("notes", "cautions"), a.notes);
}

Result<MatchAnswer> match_answer(const MatchRequest&, const Asking&);
std::string format_answer(const MatchAnswer&, BenchUnits);
Verb match_verb();

}  // namespace witnessline::app
