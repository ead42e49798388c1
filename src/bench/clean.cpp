#include <fmt/format.h>

#include "bench/doing.h"

namespace witnessline {

Result<StepResult> work(const Clean& step, Doing& doing) {
  const Result<const Material*> with = material_of(step.with, doing.bench, doing.place("with"));
  if (!with) return with.errors();
  const Result<Reach> reach = doing.reach(step.where);
  if (!reach) return reach.errors();

  const double taken = 1.0 - grime_left(step.cloths, step.dry_off);
  change(doing.film().grime_kg_m2,
         [&](std::size_t v, float grime) { return towards(grime, 0.0, static_cast<float>(taken) * reach->open[v]); });

  const Result<std::vector<Paint>> paints = doing.paints();
  if (!paints) return paints.errors();
  for (std::size_t l = 0; l < paints->size(); ++l) {
    const Paint& paint = (*paints)[l];
    if (!paint.main || never_melts(paint.binder())) continue;
    const std::optional<double> red = paint.energy_difference(**with);
    if (red && *red < 1.0)
      doing.note(Severity::caution,
                 fmt::format("{} dissolves '{}' (relative energy difference {:.2f}): wipe with something milder",
                             (*with)->name, doing.before.layers[l].provenance.laid_by, *red));
  }
  if (!step.dry_off)
    doing.note(Severity::caution,
               "no dry cloth after the wet one: what the solvent took up dries back on as a film, silicone with it");
  // ESTIMATE: a cloth holds 25 mL for a square metre, and a square metre takes 40 minutes a cloth.
  const Datum* density = (*with)->find(Property::density);
  doing.use(step.with, 25e-6 * reach->open_m2 * step.cloths, density ? density->value : 1000.0);
  doing.worked(0.1 + reach->open_m2 * step.cloths / 1.5);
  return doing.done();
}

}  // namespace witnessline
