#include "bench/steps/knock_back.h"

#include <fmt/format.h>

#include "bench/abrade.h"
#include "bench/ageing_laws.h"
#include "bench/coat_words.h"
#include "optics/gloss.h"

namespace witnessline::bench {

/// Law: roughness that shows the gloss (roughness_of_gloss, index of the coat that shows), or that the life leaves on
/// what lies there (dulled_roughness_m); where the face is already rougher nothing is done. The pad takes its depth.
Result<StepResult> work(const KnockBack& step, StepContext& context) {
  if (step.life.empty() != step.gloss_60.has_value())
    return context.error(
        step.life.empty() ? "neither a gloss nor a life is given" : "both a gloss and a life are given", "gloss_60",
        "one of gloss_60 and life", "leave one of them out");
  const Result<Reach> reach =
      step.life.empty() ? context.reach(step.where) : context.reach_in_use(step.where, Shelter::under);
  if (!reach) return reach.errors();
  const Life* life = nullptr;
  if (!step.life.empty()) {
    const Result<const Life*> named = context.life_named(step.life);
    if (!named) return named.errors();
    life = *named;
  }
  const Result<std::vector<Paint>> paints = context.paints();
  if (!paints) return paints.errors();
  std::vector<double> roughness_m(paints->size());
  for (std::size_t l = 0; !life && l < paints->size(); ++l) {
    const Datum* index = (*paints)[l].main ? (*paints)[l].main->find(Property::refractive_index) : nullptr;
    const double n = index ? index->value : 1.5;
    const std::optional<double> rough_m = roughness_of_gloss(n, *step.gloss_60, 60);
    if (!rough_m)
      return context.error(
          fmt::format("even a perfect face of {} (index {:.2f}) shows no more than {:.0f} at 60 degrees",
                      coat_in_words(context.before.layers[l]), n, specular_gloss(n, 0, 60)),
          "gloss_60", "a gloss the film can have", "ask for less gloss");
    roughness_m[l] = *rough_m;
  }
  const Field<float>& now_m = context.before.roughness_m;
  std::vector<float> goal_m(context.body.size()), at(context.body.size());
  for_chunks(context.body.size(), field_chunk, [&](std::size_t begin, std::size_t end) {
    for (std::size_t v = begin; v < end; ++v) {
      if (!(reach->open[v] > 0)) continue;
      std::size_t top = context.before.layers.size();
      while (top > 0 && !(context.before.layers[top - 1].dry_m[v] > 0)) --top;
      if (top == 0) continue;  // bare wood has no sheen to take down
      const double now = static_cast<double>(now_m[v]);
      goal_m[v] =
          static_cast<float>(life ? dulled_roughness_m(now, life->age_s, touched_s(*life)) : roughness_m[top - 1]);
      if (goal_m[v] > now_m[v]) at[v] = reach->open[v];
    }
  });
  if (area_under(at, context.body) <= 0) {
    context.note(Severity::information, "nothing to knock back: the sheen is already as low");
    return context.done();
  }
  const Result<MassBalance> books = abrade(context, at, [&](std::size_t v, const Columns&, std::size_t) {
    return step.depth_m * static_cast<double>(at[v]);
  });
  if (!books) return books.errors();
  if (books->metallic_cut_m2 > 0)
    return context.error("this would scuff a metallic colour coat: its flakes would show as dull patches", "where",
                         "a clear coat over the metallic colour",
                         "lay clear over it first, or leave it out of `where`");
  context.warn_of_wet_film(at);
  change(context.film().roughness_m, [&](std::size_t v, float before) {
    return at[v] > 0 ? towards(before, static_cast<double>(goal_m[v]), at[v]) : before;
  });
  change(context.film().scratch_m, [&](std::size_t v, float before) {
    return at[v] > 0 ? std::max(before, towards(before, 5.0 * static_cast<double>(goal_m[v]), at[v])) : before;
  });
  wear_marks(context, 1.0);
  context.worked(0.2 + 2.0 * reach->open_m2);  // ESTIMATE
  return context.done();
}

}  // namespace witnessline::bench
