#include "bench/steps/mask.h"

#include <fmt/format.h>

#include <cmath>

#include "bench/step_context.h"

namespace witnessline::bench {

namespace {

/// Reaches past the line by rings of triangles, one a pitch.
void spread(std::vector<char>& covered, const Body& body, double overhang_m) {
  for (int ring = static_cast<int>(std::lround(overhang_m / body.pitch_m())); ring > 0; --ring) {
    std::vector<char> wider = covered;
    for (const Triangle& t : body.triangles())
      if (covered[t[0]] || covered[t[1]] || covered[t[2]]) wider[t[0]] = wider[t[1]] = wider[t[2]] = 1;
    covered = std::move(wider);
  }
}

Result<std::vector<char>> covered_by(const Where& where, const StepContext& context) {
  const Result<std::vector<float>> weights = weights_of(where, context.body);
  if (!weights) {
    std::vector<Error> faults = weights.errors();
    for (Error& fault : faults)
      fault.where.key = context.place("where") + (fault.where.key.empty() ? "" : "." + fault.where.key);
    return faults;
  }
  std::vector<char> covered(weights->size());
  for (std::size_t v = 0; v < covered.size(); ++v) covered[v] = (*weights)[v] >= 0.5f;
  return covered;
}

double area_of(const std::vector<char>& covered, const Body& body) {
  std::vector<float> weights(covered.begin(), covered.end());
  return area_under(weights, body);
}

void set(StepContext& context, const std::vector<char>& covered, Masking masking) {
  change(context.film().masking,
         [&](std::size_t v, std::uint8_t now) { return covered[v] ? static_cast<std::uint8_t>(masking) : now; });
}

}  // namespace

Result<StepResult> work(const Mask& step, StepContext& context) {
  Result<std::vector<char>> covered = covered_by(step.where, context);
  if (!covered) return covered.errors();
  spread(*covered, context.body, step.overhang_m);
  const double area_m2 = area_of(*covered, context.body);
  if (area_m2 <= 0)
    return context.error("this mask covers nothing", "where", "a place on the body", "check the regions");
  set(context, *covered, Masking::masked);
  context.worked(ShopWork::masking);
  context.worked(area_m2);  // ESTIMATE: an hour a square metre, beside cutting tape and paper
  return context.done();
}

Result<StepResult> work(const Unmask& step, StepContext& context) {
  Result<std::vector<char>> covered = covered_by(step.where, context);
  if (!covered) return covered.errors();
  bool any = false;
  for (std::size_t v = 0; v < covered->size() && !any; ++v) any = (*covered)[v] && context.before.masking[v] != 0;
  if (!any) context.note(Severity::information, "there was no tape or plug here to take off");
  set(context, *covered, Masking::bare);
  context.worked(0.1 + (any ? 0.3 * area_of(*covered, context.body) : 0.0));  // ESTIMATE
  return context.done();
}

Result<StepResult> work(const Plug& step, StepContext& context) {
  const bool the_usual = step.where.on == Plug{}.where.on && step.where.patches.empty();
  if (the_usual && !context.body.has(Region::cavity)) {
    context.note(Severity::information, "this body has no pockets or holes to plug");
    return context.done();
  }
  Result<std::vector<char>> covered = covered_by(step.where, context);
  if (!covered) return covered.errors();
  set(context, *covered, Masking::plugged);
  context.worked(ShopWork::masking);
  return context.done();
}

}  // namespace witnessline::bench
