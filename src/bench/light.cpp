#include "bench/doing.h"

namespace witnessline {

Result<StepResult> work(const Yellow& step, Doing& doing) {
  const Result<Reach> reach = doing.reach(step.where);
  if (!reach) return reach.errors();
  change(doing.film().light_lx_s, [&](std::size_t v, float dose) {
    return static_cast<float>(static_cast<double>(dose) + step.light_lx_s * static_cast<double>(reach->open[v]));
  });
  constexpr double lamp_box_lx = 20000;  // ESTIMATE: a box of lamps at arm's length
  doing.worked(0.2, step.light_lx_s / lamp_box_lx);
  return doing.done();
}

}  // namespace witnessline
