#include <fmt/format.h>

#include "bench/doing.h"
#include "bench/lived.h"

namespace witnessline {

/// Law: what the life left where it was handled most x (a fifth everywhere + four fifths of the weight) x
/// grime_hold() x unevenness (a third over 12 mm, ESTIMATE); what already lies there counts. Checks take
/// lodged_kg_m2().
Result<StepResult> work(const Grime& step, Doing& doing) {
  const Result<const Life*> life = doing.life_named(step.life);
  if (!life) return life.errors();
  const Result<Reach> handled = doing.reach(step.where);
  if (!handled) return handled.errors();
  const Result<Reach> open = doing.reach({});
  if (!open) return open.errors();
  const Result<std::vector<float>> covered = doing.under_parts(step.parts);
  if (!covered) return covered.errors();

  if (!((*life)->grime_kg_m2 > 0)) return doing.done();

  const SmoothNoise uneven(doing.key("dirt"), 0.012, doing.body);
  const std::span<const Vec3> places = doing.body.positions();
  const std::span<const float> low = doing.body.curvature_min(), high = doing.body.curvature_max();
  constexpr double everywhere = 0.2;
  change(doing.film().grime_kg_m2, [&](std::size_t v, float before) {
    const double share = everywhere + (1.0 - everywhere) * static_cast<double>(handled->open[v]);
    const double bare = static_cast<double>(open->open[v]) * (1.0 - static_cast<double>((*covered)[v]));
    const double hold = grime_hold(static_cast<double>(low[v]), static_cast<double>(high[v]));
    const double laid = (*life)->grime_kg_m2 * share * bare * hold * std::exp(uneven(places[v]) / 3.0);
    return std::max(before, static_cast<float>(laid));
  });

  std::size_t lodged = 0;
  const std::vector<Mark>& before = *doing.before.marks;
  auto marks = std::make_shared<std::vector<Mark>>(before);
  for (Mark& mark : *marks) {
    if (mark.path.empty() || mark.kind == MarkKind::tape_ridge) continue;
    double grime_kg_m2 = 0;
    for (const std::uint32_t v : doing.body.triangles()[mark.path[mark.path.size() / 2].triangle])
      grime_kg_m2 += static_cast<double>(doing.film().grime_kg_m2[v]) / 3.0;
    const auto holds = static_cast<float>(lodged_kg_m2(static_cast<double>(mark.depth_m), grime_kg_m2));
    if (holds <= mark.grime_kg_m2) continue;
    mark.grime_kg_m2 = holds;
    ++lodged;
  }
  if (lodged > 0) {
    doing.film().marks = std::move(marks);
    doing.note(Severity::information,
               fmt::format("dirt lodges in {} mark{}: dark lines on a light colour, pale ones on a dark colour", lodged,
                           lodged == 1 ? "" : "s"));
  }
  doing.worked(0.3 + 3.0 * open->open_m2);  // ESTIMATE: wiped on, into the checks, and most of it off again
  return doing.done();
}

}  // namespace witnessline
