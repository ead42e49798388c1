#include "bench/steps/clean.h"

#include <fmt/format.h>

#include "bench/coat_words.h"
#include "bench/step_context.h"
#include "drying/resin.h"

namespace witnessline::bench {

namespace {

/// What a cloth wet with a solvent of the exposed coat takes along.
/// Law: relative energy difference below 1 dissolves. ESTIMATE: 1 um a cloth, a third to three times as much; the coat
/// below it is not reached.
void dissolve(const Clean& step, const Material& with, const std::vector<Paint>& paints, const Reach& reach,
              StepContext& context) {
  constexpr double loss_a_cloth_m = 1e-6, dissolves_below = 1.0, unsure_below = 1.1;
  std::vector<char> dissolves(paints.size()), unsure(paints.size());
  for (std::size_t l = 0; l < paints.size(); ++l) {
    if (!paints[l].main || cross_linked(paints[l].binder())) continue;
    const std::optional<double> red = paints[l].energy_difference(with);
    dissolves[l] = red && *red < dissolves_below;
    unsure[l] = red && !dissolves[l] && *red < unsure_below;
  }
  std::vector<double> unsure_m2(paints.size()), lost_m2(paints.size());
  for (std::size_t v = 0; v < context.body.size(); ++v) {
    if (!(reach.open[v] > 0)) continue;
    for (std::size_t l = paints.size(); l-- > 0;) {
      if (context.before.layers[l].dry_m[v] <= 0) continue;
      (dissolves[l] ? lost_m2 : unsure_m2)[l] += static_cast<double>(context.body.areas_m2()[v]);
      break;
    }
  }
  const MassBalance books = over_columns(context.film(), reach.open, [&](Columns& columns, MassBalance& sums) {
    for (std::size_t i = 0; i < columns.size(); ++i) {
      const std::size_t v = columns.begin() + i;
      const int exposed = reach.open[v] > 0 ? columns.exposed(i) : -1;
      if (exposed < 0 || !dissolves[static_cast<std::size_t>(exposed)]) continue;
      const double depth_m = loss_a_cloth_m * step.cloths * static_cast<double>(reach.open[v]);
      columns.cut(i, std::min(depth_m, columns.thickness_m(static_cast<std::size_t>(exposed), i)),
                  static_cast<double>(context.body.areas_m2()[v]), sums);
    }
  });
  context.keep(books, paints.size());
  for (std::size_t l = 0; l < paints.size(); ++l) {
    const Provenance& from = context.before.layers[l].provenance;
    const std::string red =
        fmt::format("relative energy difference {:.2f}", paints[l].energy_difference(with).value_or(0));
    if (dissolves[l] && lost_m2[l] > 0)
      context.note(
          from.origin == Origin::original ? Severity::danger : Severity::caution,
          fmt::format("{} dissolves {} ({}): {} cloths take about {:.0f} um of it on {} (a third to three times "
                      "as much). Wipe with something milder",
                      with.name, coat_in_words(context.before.layers[l]), red, step.cloths,
                      step.cloths * loss_a_cloth_m * 1e6, area_text(lost_m2[l])));
    else if (unsure[l] && unsure_m2[l] > 0)
      context.note(Severity::caution, fmt::format("{} may soften {} ({}): try it where it does not show, one cloth",
                                                  with.name, coat_in_words(context.before.layers[l]), red));
  }
  context.warn_of_dust(books, paints, reach.open);
}

}  // namespace

Result<StepResult> work(const Clean& step, StepContext& context) {
  const Result<const Material*> with = material_of(step.with, context.bench, context.place("with"));
  if (!with) return with.errors();
  const Result<Reach> reach = context.reach(step.where);
  if (!reach) return reach.errors();

  const double taken = 1.0 - grime_left(step.cloths, step.dry_off);
  change(context.film().grime_kg_m2,
         [&](std::size_t v, float grime) { return towards(grime, 0.0, static_cast<float>(taken) * reach->open[v]); });

  const Result<std::vector<Paint>> paints = context.paints();
  if (!paints) return paints.errors();
  dissolve(step, **with, *paints, *reach, context);
  if (!step.dry_off)
    context.note(Severity::caution,
                 "no dry cloth after the wet one: what the solvent took up dries back on as a film, silicone with it");
  // ESTIMATE: a cloth holds 25 mL for a square metre, and a square metre takes 40 minutes a cloth.
  const Datum* density = (*with)->find(Property::density);
  context.use(step.with, 25e-6 * reach->open_m2 * step.cloths, density ? density->value : 1000.0);
  context.worked(0.1 + reach->open_m2 * step.cloths / 1.5);
  return context.done();
}

}  // namespace witnessline::bench
