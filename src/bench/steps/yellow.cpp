#include "bench/steps/yellow.h"

#include <fmt/format.h>

#include "bench/ageing_laws.h"
#include "bench/step_context.h"

namespace witnessline::bench {

/// Law: dose x weight; with a life its light x light_share() of the angle to the front.
Result<StepResult> work(const Yellow& step, StepContext& context) {
  if (step.life.empty() != step.light_lx_s.has_value())
    return context.error(step.life.empty() ? "neither a dose nor a life is given" : "both a dose and a life are given",
                         "light_Mlx_h", "one of light_Mlx_h and life", "leave one of them out");
  // A life's light falls with the parts on; a dose is given in the shop.
  const Result<Reach> reach =
      step.life.empty() ? context.reach(step.where) : context.reach_in_use(step.where, Shelter::under);
  if (!reach) return reach.errors();
  const Result<std::vector<float>> covered = context.under_parts(step.parts);
  if (!covered) return covered.errors();
  const Life* life = nullptr;
  if (!step.life.empty()) {
    const Result<const Life*> named = context.life_named(step.life);
    if (!named) return named.errors();
    life = *named;
  }
  const double dose_lx_s = life ? life->light_lx_s : *step.light_lx_s;
  const std::span<const Vec3> normals = context.body.normals();
  change(context.film().light_lx_s, [&](std::size_t v, float before) {
    const double share = life ? light_share(static_cast<double>(normals[v].z)) : 1.0;
    const double open = static_cast<double>(reach->open[v]) * (1.0 - static_cast<double>((*covered)[v]));
    return static_cast<float>(static_cast<double>(before) + dose_lx_s * share * open);
  });
  constexpr double lamp_box_lx = 20000;  // ESTIMATE: a box of lamps at arm's length
  const double lit_s = dose_lx_s / lamp_box_lx;
  if (life && lit_s > 30 * 86400.0)
    context.note(
        Severity::information,
        fmt::format("{} under lamps of {:g} lx for the light of this life; a clear tinted to the untouched parts "
                    "gets there in one coat, but then yellows on",
                    show(lit_s, Quantity::duration), lamp_box_lx));
  context.worked(0.2, lit_s);
  return context.done();
}

}  // namespace witnessline::bench
