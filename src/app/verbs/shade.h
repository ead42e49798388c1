// The verb `shade`: toners in coats x strength that bring a ground to a target, and where it forbids that.
#pragma once

#include "app/answer_parts.h"
#include "app/verbs/surface.h"

namespace witnessline::app {

struct ShadeRequest {
  SurfaceGiven target, ground;
  std::vector<CoatGiven> over;
  std::vector<TonerGiven> toners;
  std::string carrier = "nitrocellulose_lacquer";
  double wet_m = 45e-6, thinning = 1, transfer_fraction = 0.5, area_m2 = 0.05, spare_fraction = 0.2;
  std::vector<Lamp> lamps{Lamp::D65, Lamp::A, Lamp::LED_B3};
  double reading_sd = 0.005, coat_delta_e = 4, strength_step_kg_m3 = 1, most_strength_kg_m3 = 800;
  int most_toners = 3, most_coats = 12, recipes = 3;
  double light_ahead_lx_s = 0;
};
template <class V>
void describe(V& v, ShadeRequest& r) {
  v(member("target", "what it is to look like, with the clear over it where that will lie on both").must(), r.target);
  v(member("ground", "what will be shaded, as it is").must(), r.ground);
  v(member("over", "clear that will lie over the shading, in order"), r.over);
  v(member("toners", "those on the shelf").must(), r.toners);
  v(member("carrier", "material id of the clear that carries the toner"), r.carrier);
  v(member("wet_um", "wet film that lands, a coat", unit::um).within(5, 300), r.wet_m);
  v(member("thinning", "parts thinner by volume to one part of tinted clear").within(0, 10), r.thinning);
  v(member("transfer_pct", "share of what is sprayed that lands", unit::pct).within(5, 100), r.transfer_fraction);
  v(member("area_cm2", "to be shaded", unit::cm2).within(1, 100000), r.area_m2);
  v(member("spare_pct", "mixed beyond what is sprayed", unit::pct).within(0, 300), r.spare_fraction);
  v(member("lamps", "judged under, the first one first"), r.lamps);
  v(member("reading_sd", "uncertainty of ground and target, a factor of reflectance").within(0, 0.2), r.reading_sd);
  v(member("coat_delta_e", "a coat moves no further than this").within(0.5, 30), r.coat_delta_e);
  v(member("strength_step_g_L", "what can be weighed into a litre", grams_per_litre).within(0.01, 100),
    r.strength_step_kg_m3);
  v(member("most_strength_g_L", "liquid toner to a litre of clear, at most", grams_per_litre).within(1, 5000),
    r.most_strength_kg_m3);
  v(member("most_toners", "in one recipe").within(1, 3), r.most_toners);
  v(member("most_coats", "of one toner").within(1, 40), r.most_coats);
  v(member("recipes", "answered at most").within(1, 10), r.recipes);
  v(member("light_ahead_Mlx_h", "light both will have: says whether they stay alike", unit::Mlx_h).within(0, 2000),
    r.light_ahead_lx_s);
}

/// One tin and its coats.
struct ShadeTin {
  std::string toner, name;
  double strength_kg_m3 = 0;
  int coats = 0;
  double dry_m = 0, toner_kg = 0, clear_m3 = 0, thinner_m3 = 0;
};
template <class V>
void describe(V& v, ShadeTin& t) {
  v(member("toner", "material id"), t.toner);
  v(member("name", "as said at the bench"), t.name);
  v(member("strength_g_L", "liquid toner to a litre of clear", grams_per_litre), t.strength_kg_m3);
  v(member("coats", "coats"), t.coats);
  v(member("dry_um", "dry film of a coat", unit::um), t.dry_m);
  v(member("toner_g", "to weigh, for all coats", unit::g), t.toner_kg);
  v(member("clear_mL", "to measure", unit::mL), t.clear_m3);
  v(member("thinner_mL", "to add", unit::mL), t.thinner_m3);
}

/// Where the work should stand after a coat.
struct ShadeStand {
  std::string toner;
  int coat = 0;
  Lab now, under_clear;
  double delta_e = 0;
};
template <class V>
void describe(V& v, ShadeStand& s) {
  v(member("toner", "material id"), s.toner);
  v(member("coat", "of this toner"), s.coat);
  v(member("now", "L*a*b* as it lies there dry, first lamp"), s.now);
  v(member("under_clear", "L*a*b* with the clear over it"), s.under_clear);
  v(member("delta_e", "left to the target once the clear is on"), s.delta_e);
}

struct ShadeRecipeResult {
  std::vector<ShadeTin> tins;
  std::vector<ShadeStand> after;
  Figure delta_e;
  std::vector<LampDifference> lamps;
  double rounding_cost = 0, likely_delta_e = 0, within_1 = 0, within_2 = 0;
  double aged_delta_e = std::numeric_limits<double>::quiet_NaN();
  Verdict verdict{};
  bool out_of_reach = false;
};
template <class V>
void describe(V& v, ShadeRecipeResult& r) {
  v(member("tins", "in the order they are laid"), r.tins);
  v(member("after", "the colour after each coat"), r.after);
  v(member("delta_e", "to the target, mean over the lamps; band: sprayed blind"), r.delta_e);
  v(member("lamps", "under each lamp"), r.lamps);
  v(member("rounding_cost", "Delta E that weighing in steps costs"), r.rounding_cost);
  v(member("likely_delta_e", "mean Delta E of the recipe sprayed blind"), r.likely_delta_e);
  v(member("within_1", "share of blind sprayings within 1.0"), r.within_1);
  v(member("within_2", "share of blind sprayings within 2.0"), r.within_2);
  v(member("aged_delta_e", "to the target after the light ahead; null: not asked, or the target is a reading"),
    r.aged_delta_e);
  v(member("verdict", "of the recipe sprayed blind, on average"), r.verdict);
  v(member("out_of_reach", "as worked out it stays over 2 Delta E: not worth a panel"), r.out_of_reach);
}

struct ShortfallResult {
  double from_nm = 0, to_nm = 0, most = 0, most_at_nm = 0;
};
template <class V>
void describe(V& v, ShortfallResult& w) {
  v(member("from_nm", "first wavelength"), w.from_nm);
  v(member("to_nm", "last wavelength"), w.to_nm);
  v(member("most", "reflectance wanting, at most"), w.most);
  v(member("most_at_nm", "and where"), w.most_at_nm);
}

struct ShadeAnswer {
  std::vector<std::string> sentences;
  std::vector<ShadeRecipeResult> recipes;
  std::vector<ShortfallResult> wanting;
  double ground_delta_e = 0, perfect_delta_e = 0;
  std::vector<Swatch> swatches;
  std::vector<Curve> curves;
  std::vector<Note> notes;
};
template <class V>
void describe(V& v, ShadeAnswer& a) {
  v(member("sentences", "what to know, most important first"), a.sentences);
  v(member("recipes", "nearest first"), a.recipes);
  v(member("wanting", "where the target is lighter than the ground allows"), a.wanting);
  v(member("ground_delta_e", "ground under the clear alone to target"), a.ground_delta_e);
  v(member("perfect_delta_e", "what about no toner whatever gets under on this ground"), a.perfect_delta_e);
  v(member("swatches", "target, ground, recipe"), a.swatches);
  v(member("curves", "spectra"), a.curves);
  v(member("notes", "cautions"), a.notes);
}

Result<ShadeAnswer> shade_answer(const ShadeRequest&, const Asking&);
std::string format_answer(const ShadeAnswer&, BenchUnits);
Verb shade_verb();

}  // namespace witnessline::app
