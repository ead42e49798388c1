#include "safety/handled_coats.h"

#include <fmt/format.h>

#include "bench/paint.h"

namespace witnessline::safety {

namespace {

void add_parts(std::vector<Handled>& all, const std::string& mixture, const std::string& name, bool found,
               const Bench& bench) {
  const Result<Paint> paint = paint_of(mixture, bench, "");
  if (!paint) return;
  for (const Paint::Share& share : paint->shares)
    if (const Material* material = bench.library.find(share.material))
      all.push_back({material, name, found && material->opaque()});
}

}  // namespace

void add_paint(std::vector<Handled>& all, const std::string& mixture, const Bench& bench) {
  add_parts(all, mixture, "", false, bench);
}

void add_plan(std::vector<Handled>& all, const Plan& plan, const Bench& bench) {
  for (const PlannedStep& planned : plan.steps) {
    const Traits traits = traits_of(planned.step);
    if (traits.lays) add_paint(all, std::string(traits.lays->mixture), bench);
  }
}

void add_coat(std::vector<Handled>& all, const ExistingCoat& coat, const Bench& bench) {
  add_parts(all, coat.mixture, fmt::format("the coat '{}'", coat.name), coat.origin != Origin::this_plan, bench);
}

}  // namespace witnessline::safety
