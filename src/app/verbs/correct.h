// The verb `correct`: what to add to a batch after its panel was read.
#pragma once

#include "app/verbs/shelf.h"
#include "match/correct.h"

namespace witnessline::app {

struct CorrectRequest : MixGiven {
  SurfaceGiven panel;
  double tolerance_delta_e = 1;
  int most_additions = 3;
  double most_added = 3;
};
template <class V>
void describe(V& v, CorrectRequest& r) {
  describe_mix(v, r);
  v(member("panel", "the dry panel, laid as planned from what is in the cup").must(), r.panel);
  v(member("tolerance_delta_e", "near enough").within(0.05, 20), r.tolerance_delta_e);
  v(member("most_additions", "colorants added at most").within(1, 5), r.most_additions);
  v(member("most_added", "times what is in the cup; beyond that a new batch is mixed").within(0.01, 20), r.most_added);
}

struct CorrectAnswer {
  std::vector<std::string> sentences;
  std::vector<PourResult> additions, batch, next_batch;
  std::vector<TinGiven> shelf;
  double batch_kg = 0;
  std::vector<ViewResult> before, after;
  Figure delta_e_before, delta_e_after;
  double best_delta_e = 0, predicted_delta_e = 0, panel_film_ratio = 1;
  bool within = false, spared = false;
  Verdict verdict{};
  std::vector<Swatch> swatches;
  std::vector<Curve> curves;
  std::vector<Note> notes;
};
template <class V>
void describe(V& v, CorrectAnswer& a) {
  v(member("sentences", "what to know, most important first"), a.sentences);
  v(member("additions", "in weighing order; empty: none"), a.additions);
  v(member("batch", "the whole batch after them"), a.batch);
  v(member("next_batch", "the same at the size the batch had, for mixing again"), a.next_batch);
  v(member("shelf", "as known after the panel and with the additions made: the next request's shelf"), a.shelf);
  v(member("batch_g", "after the additions", unit::g), a.batch_kg);
  v(member("before", "the panel as read, under each lamp"), a.before);
  v(member("after", "as predicted with the additions"), a.after);
  v(member("delta_e_before", "panel to target"), a.delta_e_before);
  v(member("delta_e_after", "expected with the additions: the mean of likely panels; band: 90 of 100 of them"),
    a.delta_e_after);
  v(member("best_delta_e", "the same if tins, film and the law of mixing were known exactly"), a.best_delta_e);
  v(member("predicted_delta_e", "how far off the panel was expected to be before it was read"), a.predicted_delta_e);
  v(member("panel_film_ratio", "of the panel's dry film to the planned one, as found"), a.panel_film_ratio);
  v(member("within", "the additions bring it within the tolerance"), a.within);
  v(member("spared", "a tin that cannot be replaced was left shut"), a.spared);
  v(member("verdict", "as predicted with the additions"), a.verdict);
  v(member("swatches", "target and panel"), a.swatches);
  v(member("curves", "spectra"), a.curves);
  v(member("notes", "cautions"), a.notes);
}

Result<CorrectAnswer> correct_answer(const CorrectRequest&, const Asking&);
std::string format_answer(const CorrectAnswer&, BenchUnits);
Verb correct_verb();

}  // namespace witnessline::app
