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

Result<std::vector<char>> covered_by(const Where& where, const StepContext& doing) {
  const Result<std::vector<float>> weights = weights_of(where, doing.body);
  if (!weights) {
    std::vector<Error> faults = weights.errors();
    for (Error& fault : faults)
      fault.where.key = doing.place("where") + (fault.where.key.empty() ? "" : "." + fault.where.key);
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

void set(StepContext& doing, const std::vector<char>& covered, Masking masking) {
  change(doing.film().masking,
         [&](std::size_t v, std::uint8_t now) { return covered[v] ? static_cast<std::uint8_t>(masking) : now; });
}

}  // namespace

Result<StepResult> work(const Mask& step, StepContext& doing) {
  Result<std::vector<char>> covered = covered_by(step.where, doing);
  if (!covered) return covered.errors();
  spread(*covered, doing.body, step.overhang_m);
  const double area_m2 = area_of(*covered, doing.body);
  if (area_m2 <= 0) return doing.error("this mask covers nothing", "where", "a place on the body", "check the regions");
  set(doing, *covered, Masking::masked);
  doing.worked(ShopWork::masking);
  doing.worked(area_m2);  // ESTIMATE: an hour a square metre, beside cutting tape and paper
  return doing.done();
}

Result<StepResult> work(const Unmask& step, StepContext& doing) {
  Result<std::vector<char>> covered = covered_by(step.where, doing);
  if (!covered) return covered.errors();
  bool any = false;
  for (std::size_t v = 0; v < covered->size() && !any; ++v) any = (*covered)[v] && doing.before.masking[v] != 0;
  if (!any) doing.note(Severity::information, "there was no tape or plug here to take off");
  set(doing, *covered, Masking::bare);
  doing.worked(0.1 + (any ? 0.3 * area_of(*covered, doing.body) : 0.0));  // ESTIMATE
  return doing.done();
}

Result<StepResult> work(const Plug& step, StepContext& doing) {
  const bool the_usual = step.where.on == Plug{}.where.on && step.where.patches.empty();
  if (the_usual && !doing.body.has(Region::cavity)) {
    doing.note(Severity::information, "this body has no pockets or holes to plug");
    return doing.done();
  }
  Result<std::vector<char>> covered = covered_by(step.where, doing);
  if (!covered) return covered.errors();
  set(doing, *covered, Masking::plugged);
  doing.worked(ShopWork::masking);
  return doing.done();
}

}  // namespace witnessline::bench
