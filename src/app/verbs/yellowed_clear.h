// The verb `yellowed_clear`: what an aged clear absorbs, and the tint that makes fresh clear look like it.
#pragma once

#include <optional>

#include "app/answer_parts.h"
#include "app/verbs/surface.h"
#include "match/yellowed_clear.h"

namespace witnessline::app {

struct YellowedClearRequest {
  SurfaceGiven ground;
  std::optional<SurfaceGiven> with_clear, lay_over;
  double yellowness = std::numeric_limits<double>::quiet_NaN(), yellowness_sd = 1;
  Lamp lamp = Lamp::D65;
  Observer observer = Observer::deg10;
  std::string clear = "nitrocellulose_lacquer", fresh;
  double thickness_m = 0, fresh_film_m = 0, reading_sd = 0.003;
  std::vector<TonerGiven> toners;
  std::vector<Lamp> lamps{Lamp::D65, Lamp::A, Lamp::LED_B3};
  double batch_m3 = 1e-3, scale_step_kg = 1e-5;
  int most_toners = 2, recipes = 3;
};
template <class V>
void describe(V& v, YellowedClearRequest& r) {
  v(member("ground", "what lies under the aged clear: read without it, or worked out").must(), r.ground);
  v(member("with_clear", "a reading of the aged clear over that ground; or yellowness"), r.with_clear);
  v(member("yellowness", "ASTM E313 yellowness index of the part; or with_clear"), r.yellowness);
  v(member("yellowness_sd", "its uncertainty").within(0.01, 50), r.yellowness_sd);
  v(member("lamp", "of the yellowness: C or D65"), r.lamp);
  v(member("observer", "of the yellowness"), r.observer);
  v(member("clear", "material id of the aged clear's kind"), r.clear);
  v(member("thickness_um", "dry film of the aged clear", unit::um).within(1, 2000).must(), r.thickness_m);
  v(member("reading_sd", "uncertainty of a reading, a band, a factor of reflectance").within(1e-4, 0.1), r.reading_sd);
  v(member("fresh", "material id of the clear to tint; empty: the same kind"), r.fresh);
  v(member("fresh_film_um", "dry film of tinted clear that will lie there; 0: as thick as the aged one", unit::um)
        .within(0, 2000),
    r.fresh_film_m);
  v(member("lay_over", "where the tinted clear will lie; absent: over the same ground"), r.lay_over);
  v(member("toners", "those on the shelf").must(), r.toners);
  v(member("lamps", "judged under, the first one first"), r.lamps);
  v(member("batch_mL", "clear to tint", unit::mL).within(1, 100000), r.batch_m3);
  v(member("scale_step_g", "what the scale shows", unit::g).within(0.0001, 10), r.scale_step_kg);
  v(member("most_toners", "in one recipe").within(1, 3), r.most_toners);
  v(member("recipes", "answered at most").within(1, 10), r.recipes);
}

struct TintWeighed {
  std::string toner, name;
  double mass_kg = 0, strength_kg_m3 = 0;
};
template <class V>
void describe(V& v, TintWeighed& t) {
  v(member("toner", "material id"), t.toner);
  v(member("name", "as said at the bench"), t.name);
  v(member("mass_g", "to weigh into the batch", unit::g), t.mass_kg);
  v(member("strength_g_L", "to a litre of clear", grams_per_litre), t.strength_kg_m3);
}

struct TintRecipeResult {
  double clear_kg = 0;
  std::vector<TintWeighed> toners;
  Figure delta_e;
  std::vector<LampDifference> over_ground, over_white;
  double rounding_cost = 0, likely_delta_e = 0;
  Verdict verdict{};
};
template <class V>
void describe(V& v, TintRecipeResult& r) {
  v(member("clear_g", "clear of the batch", unit::g), r.clear_kg);
  v(member("toners", "in weighing order, largest first"), r.toners);
  v(member("delta_e", "tinted against aged, mean over ground, white and lamps"), r.delta_e);
  v(member("over_ground", "under each lamp, where it will lie"), r.over_ground);
  v(member("over_white", "under each lamp, over white"), r.over_white);
  v(member("rounding_cost", "Delta E that weighing in steps costs"), r.rounding_cost);
  v(member("likely_delta_e", "mean over what is not known of clear and toners"), r.likely_delta_e);
  v(member("verdict", "of the recipe as worked out"), r.verdict);
}

struct YellowedClearAnswer {
  std::vector<std::string> sentences;
  std::vector<TintRecipeResult> recipes;
  Figure yellowness_aged, yellowness_fresh, yellowing;
  double fresh_delta_e = 0;
  std::vector<Curve> curves;
  std::vector<Swatch> swatches;
  std::vector<Note> notes;
};
template <class V>
void describe(V& v, YellowedClearAnswer& a) {
  v(member("sentences", "what to know, most important first"), a.sentences);
  v(member("recipes", "nearest first"), a.recipes);
  v(member("yellowness_aged", "ASTM E313 of the aged clear over white"), a.yellowness_aged);
  v(member("yellowness_fresh", "of as much fresh clear over white"), a.yellowness_fresh);
  v(member("yellowing", "units of yellowing of this kind of clear that absorb alike"), a.yellowing);
  v(member("fresh_delta_e", "fresh, untinted clear against aged, where it will lie"), a.fresh_delta_e);
  v(member("curves", "absorption of the aged clear, and spectra"), a.curves);
  v(member("swatches", "aged, fresh, tinted"), a.swatches);
  v(member("notes", "cautions"), a.notes);
}

Result<YellowedClearAnswer> yellowed_clear_answer(const YellowedClearRequest&, const Asking&);
std::string format_answer(const YellowedClearAnswer&, BenchUnits);
Verb yellowed_clear_verb();

}  // namespace witnessline::app
