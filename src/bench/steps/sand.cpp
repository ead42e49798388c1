#include "bench/steps/sand.h"

#include <fmt/format.h>

#include "bench/abrade.h"
#include "bench/coat_words.h"

namespace witnessline::bench {

namespace {

/// Scratches and roughness a grit leaves where it cut. Older, deeper scratches stay as far as they were not cut out.
void scratch(StepContext& context, const Reach& reach, double depth_m, double scratch_m) {
  change(context.film().scratch_m, [&](std::size_t v, float before) {
    if (!(reach.open[v] > 0)) return before;
    const double left_m = std::max(0.0, static_cast<double>(before) - depth_m * static_cast<double>(reach.open[v]));
    return towards(before, std::max(left_m, scratch_m), std::min(1.0f, 2.0f * reach.open[v]));
  });
  // ESTIMATE: rms height a fifth of the deepest scratch.
  change(context.film().roughness_m, [&](std::size_t v, float before) {
    if (!(reach.open[v] > 0)) return before;
    return towards(before, 0.2 * static_cast<double>(context.film().scratch_m[v]),
                   std::min(1.0f, 2.0f * reach.open[v]));
  });
  constexpr double grime_goes_m = 0.5e-6;  // a cut this deep takes the grime with it
  change(context.film().grime_kg_m2, [&](std::size_t v, float before) {
    return static_cast<double>(reach.open[v]) * depth_m > grime_goes_m ? 0.0f : before;
  });
}

/// Law: depth at a place = mean depth x weight x edge gain x grip of the hand (15 % over 15 mm, ESTIMATE); a levelling
/// block also takes what stands over the mean height within its reach (0.8 of it, ESTIMATE), and reaches into no
/// pocket.
Result<StepResult> paper(const Sand& step, bool levels, StepContext& context) {
  Result<Reach> reach = context.reach(step.where);
  if (!reach) return reach.errors();
  if (levels) {
    for (std::size_t v = 0; v < context.body.size(); ++v)
      if (context.body.in(v, Region::cavity)) reach->open[v] = 0;
    reach->open_m2 = area_under(reach->open, context.body);
    if (!(reach->open_m2 > 0))
      return context.error("a block reaches into no pocket", "where", "a face or the sides", "sand pockets by hand");
  }
  const double depth_m = step.depth_m.value_or(keying_depth_m(step.grit));
  const EdgeGain edge(reach->open, context.body, step.edge_factor);
  const SmoothNoise grip(context.key("grip"), 0.015, context.body);
  std::optional<BlockLevel> level;
  constexpr double block_reach_m = 0.015, share_levelled = 0.8;
  if (levels) level.emplace(context.before, context.body, reach->open, block_reach_m);
  const std::span<const Vec3> places = context.body.positions();
  const Result<MassBalance> books = abrade(context, reach->open, [&](std::size_t v, const Columns&, std::size_t) {
    const double here_m = levels ? std::max(0.0, depth_m + share_levelled * level->above(v)) : depth_m;
    return here_m * static_cast<double>(reach->open[v]) * edge(v) * std::max(0.0, 1.0 + 0.15 * grip(places[v]));
  });
  if (!books) return books.errors();
  if (books->metallic_cut_m2 > 0)
    return context.error(
        fmt::format("this would cut a metallic colour coat on {}: its flakes would show as dull patches",
                    area_text(books->metallic_cut_m2)),
        "where", "a clear coat over the metallic colour",
        "lay clear over it first and level the clear, or leave it out of `where`");
  if (!step.wet) {
    const Result<std::vector<Paint>> paints = context.paints();
    for (std::size_t l = 0; paints && l < paints->size(); ++l)
      if (books->coats[l].cut > 0 && !(*paints)[l].metals.empty())
        return context.error(
            fmt::format("this would dry-sand {}, which holds {}", coat_in_words(context.before.layers[l]),
                        dust_hazard((*paints)[l], context.before.layers[l].provenance.origin)),
            "wet", "wet = true, or a way without dust",
            "cut it wet or lift it by swab; if a laboratory found none, give the coat a paint without it");
  }
  scratch(context, *reach, depth_m, scratch_depth_m(step.grit));
  wear_marks(context, levels ? 2.0 : 1.0);

  context.warn_of_wet_film(reach->open);
  if (!step.wet)
    context.note(Severity::caution, "Dry sanding makes dust: wear a dust mask of the class your local rules require.");

  // ESTIMATE: two hours a square metre to go over it once, and 2.5 for every 10 um with paper of 25 um grain.
  const double per_m2 = 2.0 + 2.5 * depth_m / 10e-6 * std::sqrt(25e-6 / grain_size_m(step.grit));
  context.worked(0.15 + reach->open_m2 * per_m2);
  return context.done();
}

}  // namespace

Result<StepResult> work(const Sand& step, StepContext& context) { return paper(step, false, context); }
Result<StepResult> work(const Flat& step, StepContext& context) { return paper(step, true, context); }

/// Law: mean depth x weight x edge gain; scratches go down by the depth taken, to what the compound itself leaves.
Result<StepResult> work(const Buff& step, StepContext& context) {
  const Result<const Material*> compound = material_of(step.compound, context.bench, context.place("compound"));
  if (!compound) return compound.errors();
  const Result<Reach> reach = context.reach(step.where);
  if (!reach) return reach.errors();
  std::size_t checks = 0;
  for (const Mark& mark : *context.before.marks)
    for (const SurfacePoint& at : mark.path) {
      const Triangle& t = context.body.triangles()[at.triangle];
      if (mark.kind != MarkKind::check || !(reach->open[t[0]] > 0 || reach->open[t[1]] > 0 || reach->open[t[2]] > 0))
        continue;
      ++checks;
      break;
    }
  if (checks > 0)
    return context.error(
        fmt::format("compound over {} open check{}: it packs into them and dries white", checks,
                    checks == 1 ? "" : "s"),
        "where", "a surface without open checks",
        "buff before the checks are made, leave them out of `where`, or finish by hand without compound");
  const EdgeGain edge(reach->open, context.body, step.edge_factor);
  const Result<MassBalance> books = abrade(context, reach->open, [&](std::size_t v, const Columns&, std::size_t) {
    return step.depth_m * static_cast<double>(reach->open[v]) * edge(v);
  });
  if (!books) return books.errors();
  context.warn_of_wet_film(reach->open);
  constexpr double scratch_left_m = 0.1e-6, roughness_left_m = 0.02e-6;  // ESTIMATE: of a fine compound
  change(context.film().scratch_m, [&](std::size_t v, float before) {
    const double cut_out_m = 1.5 * step.depth_m;  // polishing also rounds what it does not reach (ESTIMATE)
    return std::min(before,
                    towards(before, std::max(scratch_left_m, static_cast<double>(before) - cut_out_m), reach->open[v]));
  });
  change(context.film().roughness_m, [&](std::size_t v, float before) {
    const double from_scratches =
        0.2 * std::max(0.0, static_cast<double>(context.film().scratch_m[v]) - scratch_left_m);
    return std::min(before, towards(before, roughness_left_m + from_scratches, reach->open[v]));
  });
  wear_marks(context, 1.0);
  const Datum* density = (*compound)->find(Property::density);
  context.use(step.compound, 30e-6 * reach->open_m2,
              density ? density->value : 1300.0);  // ESTIMATE: 30 mL a square metre
  context.worked(0.2 + 4.0 * reach->open_m2);      // ESTIMATE
  return context.done();
}

}  // namespace witnessline::bench
