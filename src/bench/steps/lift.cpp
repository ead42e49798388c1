#include "bench/steps/lift.h"

#include <fmt/format.h>

#include <cmath>

#include "bench/step_context.h"
#include "drying/resin.h"

namespace witnessline::bench {

namespace {

/// What each way of lifting leaves behind and how fast it goes. All ESTIMATE.
struct Way {
  double square_metres_per_h, roughness_m, scratch_m;
};
Way way_of(LiftBy by) {
  switch (by) {
    case LiftBy::swab:
      return {0.010, 0.3e-6, 0.0};
    case LiftBy::scrape:
      return {0.008, 0.6e-6, 3e-6};
    case LiftBy::chip:
      return {0.006, 0.4e-6, 1e-6};
    case LiftBy::rub:
      return {0.010, 0.8e-6, 4e-6};
  }
  return {0.008, 0.6e-6, 3e-6};
}

double normal_cdf(double z) { return 0.5 * std::erfc(-z / std::sqrt(2.0)); }

}  // namespace

/// Law: where the coat is, everything down to the coat stopped at comes off, with what of that coat had melted into it
/// and a collateral loss (mean as given, log-normal with sigma 0.5 over 4 mm). On the given share of the area a residue
/// stays: patches of 5 mm, thickest in their middle, half the coat on average. ESTIMATE, but for the given numbers.
Result<StepResult> work(const Lift& step, StepContext& context) {
  std::vector<Error> faults;
  const Result<std::size_t> coat = context.coat_named(step.coat, "coat");
  if (!coat) faults = coat.errors();
  std::size_t floor = 0;  // first layer that may go
  if (step.stop_at != "wood") {
    const Result<std::size_t> stop = context.coat_named(step.stop_at, "stop_at");
    if (!stop) faults.insert(faults.end(), stop.errors().begin(), stop.errors().end());
    if (stop) floor = *stop + 1;
  }
  const Material* solvent = nullptr;
  if (step.by == LiftBy::swab || !step.with.empty()) {
    const Result<const Material*> with =
        step.with.empty() ? Result<const Material*>(context.error("a swab needs a solvent", "with", "a solvent's id",
                                                                  "name the solvent in `with`, or lift by scrape"))
                          : material_of(step.with, context.bench, context.place("with"));
    if (!with)
      faults.insert(faults.end(), with.errors().begin(), with.errors().end());
    else
      solvent = *with;
  }
  if (!faults.empty()) return faults;
  if (*coat < floor)
    return context.error(fmt::format("'{}' lies under '{}', it cannot be lifted off it", step.coat, step.stop_at),
                         "stop_at", "a coat below the one lifted, or wood", "swap the two, or stop at wood");
  const Result<Reach> reach = context.reach(step.where);
  if (!reach) return reach.errors();
  const Result<std::vector<Paint>> paints = context.paints();
  if (!paints) return paints.errors();

  const SmoothNoise patches(context.key("residue"), 0.005, context.body),
      slips(context.key("slip"), 0.004, context.body);
  const std::span<const Vec3> places = context.body.positions();
  const std::span<const float> areas = context.body.areas_m2();
  std::vector<float> lifted(context.body.size());
  std::size_t lost_originals = 0;
  for (std::size_t l = floor; l < context.before.layers.size(); ++l)
    lost_originals += context.before.layers[l].provenance.origin == Origin::original;
  const MassBalance books = over_columns(context.film(), reach->open, [&](Columns& columns, MassBalance& sums) {
    for (std::size_t i = 0; i < columns.size(); ++i) {
      const std::size_t v = columns.begin() + i;
      const double w = static_cast<double>(reach->open[v]);
      if (!(w > 0) || columns.dry_m(*coat, i) <= 0) continue;
      const double area_m2 = static_cast<double>(areas[v]);
      double depth_m = columns.thickness_from(floor, i);
      const double rank = normal_cdf(patches(places[v]));
      if (rank < step.residue_fraction) {
        depth_m = w * (depth_m - columns.thickness_m(*coat, i) * (1.0 - rank / step.residue_fraction));
      } else {
        if (floor > 0) depth_m += columns.melted(floor - 1, i) * columns.thickness_m(floor - 1, i);
        constexpr double spread = 0.5;
        depth_m = w * (depth_m + step.collateral_m * std::exp(spread * slips(places[v]) - 0.5 * spread * spread));
      }
      columns.cut(i, depth_m, area_m2, sums, floor);
      lifted[v] = reach->open[v];
      sums.worked_m2 += w * area_m2;
    }
  });
  if (books.worked_m2 <= 0)
    return context.error(fmt::format("there is none of '{}' left here to lift", step.coat), "where",
                         "a place where that coat still is", "check the zone of the coat and the steps before");
  context.keep(books, floor);
  double covered_m2 = 0, residue_m2 = 0;
  for (std::size_t v = 0; v < context.body.size(); ++v)
    if (reach->asked[v] > 0 && context.film().layers[*coat].dry_m[v] > 0)
      (reach->open[v] > 0 ? residue_m2 : covered_m2) += static_cast<double>(areas[v]);
  if (covered_m2 > 0)
    context.note(Severity::information,
                 fmt::format("{} of '{}' remain under tape and plugs.", area_text(covered_m2), step.coat));
  if (residue_m2 > 0)
    context.note(Severity::information,
                 fmt::format("{} of '{}' remain as residue or where the edge of the work fades out.",
                             area_text(residue_m2), step.coat));
  context.warn_of_dust(books, *paints, reach->open);
  if (lost_originals > 0)
    context.note(Severity::caution, fmt::format("original finish comes off with '{}'", step.coat));
  if (solvent) {
    const Paint& off = (*paints)[*coat];
    const std::optional<double> red = off.energy_difference(*solvent);
    if (cross_linked(off.binder()) || (red && *red > 1.1))
      context.note(Severity::caution,
                   fmt::format("{} swells '{}' at best, it does not dissolve it", solvent->name, step.coat));
    if (floor > 0) {
      const Paint& kept = (*paints)[floor - 1];
      const std::optional<double> bites = kept.energy_difference(*solvent);
      if (!cross_linked(kept.binder()) && bites && *bites < 1.1)
        context.note(Severity::caution, fmt::format("{} also dissolves '{}' (relative energy difference {:.2f}): short "
                                                    "touches, clear at once",
                                                    solvent->name, step.stop_at, *bites));
    }
    const Datum* density = solvent->find(Property::density);
    context.use(step.with, 0.5e-3 * books.worked_m2, density ? density->value : 850.0);  // ESTIMATE: half a litre a m2
  }

  const Way way = way_of(step.by);
  change(context.film().roughness_m, [&](std::size_t v, float b) { return towards(b, way.roughness_m, lifted[v]); });
  change(context.film().scratch_m, [&](std::size_t v, float b) { return towards(b, way.scratch_m, lifted[v]); });
  change(context.film().grime_kg_m2, [&](std::size_t v, float b) { return towards(b, 0.0, lifted[v]); });
  wear_marks(context, 1.0);
  context.worked(0.3 + books.worked_m2 / way.square_metres_per_h);
  return context.done();
}

}  // namespace witnessline::bench
