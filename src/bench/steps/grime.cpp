#include "bench/steps/grime.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "bench/ageing_laws.h"
#include "bench/contact.h"
#include "bench/step_context.h"

namespace witnessline::bench {

namespace {

/// How much a place was handled, 0 to 1, by the skin of the life that rubbed there.
/// Law: 1 - exp(-rub / rub of the 10 cm2 that skin rubbed most), over what that is there: dirt builds up and then is as
/// often wiped off, and runs out with the rubbing. Source: ESTIMATE. Valid: any mesh finer than that place. Departs:
/// cloth and straps bring none.
std::vector<float> handled_by(const ContactField& field, const Body& body) {
  constexpr double most_m2 = 10e-4;
  std::vector<std::pair<float, float>> order;
  for (std::size_t v = 0; v < body.size(); ++v)
    if (field.sweat_Pa_m[v] > 0) order.emplace_back(field.sweat_Pa_m[v], body.areas_m2()[v]);
  std::sort(order.begin(), order.end(), std::greater<>());
  double sum_m2 = 0, most_Pa_m = 0;
  for (const auto& [rub_Pa_m, area_m2] : order) {
    most_Pa_m = static_cast<double>(rub_Pa_m);
    if ((sum_m2 += static_cast<double>(area_m2)) >= most_m2) break;
  }
  std::vector<float> handled(body.size(), 0.0f);
  if (most_Pa_m > 0)
    for (std::size_t v = 0; v < body.size(); ++v)
      handled[v] = static_cast<float>(
          std::min(1.0, std::expm1(-static_cast<double>(field.sweat_Pa_m[v]) / most_Pa_m) / std::expm1(-1.0)));
  return handled;
}

}  // namespace

/// Law: what the life left where it was handled most x (a fifth everywhere + four fifths of how much it was handled) x
/// grime_hold() x unevenness (a tenth over 25 mm, ESTIMATE: a cloth evens what lies on a face); what already lies there
/// counts. Handled: the place given, or where none is, handled_by(). Checks take lodged_kg_m2().
Result<StepResult> work(const Grime& step, StepContext& context) {
  const Result<const Life*> life = context.life_named(step.life);
  if (!life) return life.errors();
  const Result<Reach> handled = context.reach_in_use(step.where, Shelter::under);
  if (!handled) return handled.errors();
  const Result<Reach> open = context.reach_in_use({}, Shelter::under);
  if (!open) return open.errors();
  const Result<std::vector<float>> covered = context.under_parts(step.parts);
  if (!covered) return covered.errors();

  if (!((*life)->grime_kg_m2 > 0)) return context.done();
  std::vector<float> weight = handled->open;
  if (step.where.on.empty() && step.where.except.empty() && step.where.patches.empty()) {
    const ContactField field =
        contact_field(**life, context.body, player_of(context.bench.seed), context.bench.shelter);
    weight = handled_by(field, context.body);
    double half_m2 = 0;
    for (std::size_t v = 0; v < weight.size(); ++v)
      if (weight[v] > 0.5f) half_m2 += static_cast<double>(context.body.areas_m2()[v]);
    context.note(Severity::information,
                 half_m2 > 0 ? fmt::format("darkest where hands and arm lay: {} takes more than half of it, played {}",
                                           area_text(half_m2), as_held(**life))
                             : "this life names no hand or arm: a fifth of its grime goes everywhere alike");
  }

  constexpr double uneven_log = 0.1;
  const SmoothNoise uneven(context.key("dirt"), 0.025, context.body);
  const std::span<const Vec3> places = context.body.positions();
  const std::span<const float> low = context.body.curvature_min(), high = context.body.curvature_max();
  constexpr double everywhere = 0.2;
  change(context.film().grime_kg_m2, [&](std::size_t v, float before) {
    const double share = everywhere + (1.0 - everywhere) * static_cast<double>(weight[v]);
    const double bare = static_cast<double>(open->open[v]) * (1.0 - static_cast<double>((*covered)[v]));
    const double hold = grime_hold(static_cast<double>(low[v]), static_cast<double>(high[v]));
    const double laid = (*life)->grime_kg_m2 * share * bare * hold * std::exp(uneven_log * uneven(places[v]));
    return std::max(before, static_cast<float>(laid));
  });

  std::size_t lodged = 0;
  const std::vector<Mark>& before = *context.before.marks;
  auto marks = std::make_shared<std::vector<Mark>>(before);
  for (Mark& mark : *marks) {
    if (mark.path.empty() || mark.kind == MarkKind::tape_ridge) continue;
    // Along all of it, each segment by its length: one end under the arm and the other where nothing rubs lodge the
    // mean of what lies there.
    const auto lodged_at = [&](const SurfacePoint& at) {
      return lodged_kg_m2(static_cast<double>(mark.depth_m),
                          value_at(at, context.body, [&](std::uint32_t v) { return context.film().grime_kg_m2[v]; }));
    };
    double sum_kg_m = 0, length_m = 0;
    for (std::size_t i = 1; i < mark.path.size(); ++i) {
      const double piece_m =
          static_cast<double>(length(context.body.position(mark.path[i]) - context.body.position(mark.path[i - 1])));
      sum_kg_m += piece_m * 0.5 * (lodged_at(mark.path[i - 1]) + lodged_at(mark.path[i])), length_m += piece_m;
    }
    const auto holds = static_cast<float>(length_m > 0 ? sum_kg_m / length_m : lodged_at(mark.path.front()));
    if (holds <= mark.grime_kg_m2) continue;
    mark.grime_kg_m2 = holds;
    ++lodged;
  }
  if (lodged > 0) {
    context.film().marks = std::move(marks);
    context.note(
        Severity::information,
        fmt::format(
            "dirt lodges in {} mark{}: dark lines on a light colour, pale ones on a dark colour; the stills show which",
            lodged, lodged == 1 ? "" : "s"));
  }
  context.worked(0.3 + 3.0 * open->open_m2);  // ESTIMATE: wiped on, into the checks, and most of it off again
  return context.done();
}

}  // namespace witnessline::bench
