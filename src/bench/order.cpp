#include "bench/order.h"

#include <fmt/format.h>

#include <algorithm>

#include "bench/ground.h"

namespace witnessline::bench {
namespace {

/// From levelling to dirt the order is binding; what comes before is not.
bool is_ordered(SurfaceEffect effect) { return effect >= SurfaceEffect::flats; }

const char* why_not(SurfaceEffect later, SurfaceEffect earlier) {
  if (earlier == SurfaceEffect::soils)
    return later == SurfaceEffect::checks
               ? "checks opened through dirt stay clean inside: a life cracks first and is soiled after"
               : "it takes the dirt off where it should lie";
  if (later == SurfaceEffect::checks)
    return "checks that open after the wear run sharp through it: a life rounds their edges";
  if (later == SurfaceEffect::buffs)
    return earlier == SurfaceEffect::checks ? "compound packs into the checks and dries white"
                                            : "the wheel shines up what was dulled and breaks the worn edges";
  return earlier == SurfaceEffect::checks ? "slurry fills the checks and their edges go flat"
                                          : "a block makes the worn edges crisp again";
}

}  // namespace

std::vector<Error> faults_of_order(const Plan& plan, const Body& body) {
  std::vector<Error> faults;
  std::vector<SurfaceEffect> effects;
  for (const PlannedStep& planned : plan.steps) effects.push_back(traits_of(planned.step).surface);
  if (std::none_of(effects.begin(), effects.end(), [](SurfaceEffect e) { return e >= SurfaceEffect::checks; }))
    return faults;
  std::vector<int> aged_by(body.size(), -1),
      clean_by(body.size(), -1);  // step that took a place furthest; without dirt
  std::vector<char> covered(body.size());
  for (std::size_t i = 0; i < plan.steps.size(); ++i) {
    const PlannedStep& planned = plan.steps[i];
    const SurfaceEffect effect = effects[i];
    const Where* const where = traits_of(planned.step).where;
    const bool masks = effect == SurfaceEffect::masks, unmasks = effect == SurfaceEffect::unmasks;
    if (effect == SurfaceEffect::none || !where) continue;
    const Result<std::vector<float>> weights = weights_of(*where, body);
    if (!weights) continue;  // a place that is not there is a fault of its own step
    int over = -1;
    for (std::size_t v = 0; v < body.size(); ++v) {
      if (!((*weights)[v] > 0)) continue;
      if (masks || unmasks) covered[v] = masks && (*weights)[v] >= 0.5f ? 1 : unmasks ? 0 : covered[v];
      if (masks || unmasks || covered[v]) continue;
      const int by = aged_by[v];
      const SurfaceEffect now = by < 0 ? SurfaceEffect::none : effects[static_cast<std::size_t>(by)];
      if (effect == SurfaceEffect::renews) aged_by[v] = clean_by[v] = -1;
      if (effect == SurfaceEffect::wipes) aged_by[v] = clean_by[v];
      if (!is_ordered(effect)) continue;
      if (now >= SurfaceEffect::checks && now > effect) over = std::max(over, by);
      if (effect < now) continue;
      aged_by[v] = static_cast<int>(i);
      if (effect != SurfaceEffect::soils) clean_by[v] = aged_by[v];
    }
    if (over < 0) continue;
    const PlannedStep& earlier = plan.steps[static_cast<std::size_t>(over)];
    Error fault;
    fault.what =
        fmt::format("'{}' ({}) comes after '{}' ({}) on the same place: {}", planned.id, word_of(planned.step),
                    earlier.id, word_of(earlier.step), why_not(effect, effects[static_cast<std::size_t>(over)]));
    fault.where.key = fmt::format("steps.{}.do", planned.id);
    fault.expected = "flat, buff, check, wear, grime, tone, in this order";
    fault.fix = fmt::format("do '{}' before '{}', or leave that place out of `where`", planned.id, earlier.id);
    faults.push_back(std::move(fault));
  }
  return faults;
}

std::vector<Error> faults_of_settings(const PlannedStep& planned, const Film& before, const Bench& bench) {
  std::vector<Error> faults;
  StepContext context(planned, before, bench);
  const auto take = [&](const auto& tried) {
    if (!tried) faults.insert(faults.end(), tried.errors().begin(), tried.errors().end());
  };
  const Traits traits = traits_of(planned.step);
  if (traits.where && traits.surface != SurfaceEffect::masks && traits.surface != SurfaceEffect::unmasks)
    take(context.reach(*traits.where));
  std::visit(
      [&](const auto& step) {
        if constexpr (requires { step.mixture, step.thinner, step.thinning; })
          take(liquid_of(step.mixture, step.thinner, step.thinning, context));
      },
      planned.step);
  return faults;
}

}  // namespace witnessline::bench
