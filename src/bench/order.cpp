#include "bench/order.h"

#include <fmt/format.h>

#include <algorithm>
#include <optional>

namespace witnessline::bench {
namespace {

/// How far along the ageing of a place is.
enum class Stage : int { none, flatted, buffed, checked, worn, dirty };

Stage stage_of(const Step& step) {
  return std::visit(
      [](const auto& s) {
        using T = std::decay_t<decltype(s)>;
        if constexpr (std::is_base_of_v<Sand, T>) return Stage::flatted;
        if constexpr (std::is_same_v<T, Buff>) return Stage::buffed;
        if constexpr (T::word == "check") return Stage::checked;
        if constexpr (T::word == "wear" && requires { s.life; }) return s.life.empty() ? Stage::none : Stage::worn;
        if constexpr (std::is_same_v<T, KnockBack>) return Stage::worn;
        if constexpr (std::is_same_v<T, Grime>) return Stage::dirty;
        return Stage::none;
      },
      step);
}

const char* why_not(Stage later, Stage earlier) {
  if (earlier == Stage::dirty)
    return later == Stage::checked
               ? "checks opened through dirt stay clean inside: a life cracks first and is soiled after"
               : "it takes the dirt off where it should lie";
  if (later == Stage::checked) return "checks that open after the wear run sharp through it: a life rounds their edges";
  if (later == Stage::buffed)
    return earlier == Stage::checked ? "compound packs into the checks and dries white"
                                     : "the wheel shines up what was dulled and breaks the worn edges";
  return earlier == Stage::checked ? "slurry fills the checks and their edges go flat"
                                   : "a block makes the worn edges crisp again";
}

template <class S>
std::optional<std::vector<float>> place_of(const S& step, const Body& body) {
  if constexpr (requires { step.where.on; }) {
    Result<std::vector<float>> weights = weights_of(step.where, body);
    if (weights) return std::move(*weights);  // a place that is not there is a fault of its own step
  }
  return std::nullopt;
}

}  // namespace

std::vector<Error> faults_of_order(const Plan& plan, const Body& body) {
  std::vector<Error> faults;
  if (std::none_of(plan.steps.begin(), plan.steps.end(),
                   [](const PlannedStep& s) { return stage_of(s.step) >= Stage::checked; }))
    return faults;
  std::vector<int> aged_by(body.size(), -1),
      clean_by(body.size(), -1);  // step that took a place furthest; without dirt
  std::vector<char> covered(body.size());
  for (std::size_t i = 0; i < plan.steps.size(); ++i) {
    const PlannedStep& planned = plan.steps[i];
    const Stage stage = stage_of(planned.step);
    const bool lays = std::holds_alternative<Spray>(planned.step) || std::holds_alternative<MeltIn>(planned.step) ||
                      std::holds_alternative<Lift>(planned.step);
    const bool wipes = std::holds_alternative<Clean>(planned.step);
    const bool masks = std::holds_alternative<Mask>(planned.step) || std::holds_alternative<Plug>(planned.step);
    const bool unmasks = std::holds_alternative<Unmask>(planned.step);
    if (stage == Stage::none && !lays && !wipes && !masks && !unmasks) continue;
    const auto weights = std::visit([&](const auto& s) { return place_of(s, body); }, planned.step);
    if (!weights) continue;
    int over = -1;
    for (std::size_t v = 0; v < body.size(); ++v) {
      if (!((*weights)[v] > 0)) continue;
      if (masks || unmasks) covered[v] = masks && (*weights)[v] >= 0.5f ? 1 : unmasks ? 0 : covered[v];
      if (masks || unmasks || covered[v]) continue;
      const int by = aged_by[v];
      const Stage now = by < 0 ? Stage::none : stage_of(plan.steps[static_cast<std::size_t>(by)].step);
      if (lays) aged_by[v] = clean_by[v] = -1;
      if (wipes) aged_by[v] = clean_by[v];
      if (stage == Stage::none) continue;
      if (now >= Stage::checked && now > stage) over = std::max(over, by);
      if (stage < now) continue;
      aged_by[v] = static_cast<int>(i);
      if (stage != Stage::dirty) clean_by[v] = aged_by[v];
    }
    if (over < 0) continue;
    const PlannedStep& earlier = plan.steps[static_cast<std::size_t>(over)];
    faults.push_back(
        {fmt::format("'{}' ({}) comes after '{}' ({}) on the same place: {}", planned.id, word_of(planned.step),
                     earlier.id, word_of(earlier.step), why_not(stage, stage_of(earlier.step))),
         {"", 0, 0, fmt::format("steps.{}.do", planned.id)},
         "flat, buff, check, wear, grime, tone, in this order",
         fmt::format("do '{}' before '{}', or leave that place out of `where`", planned.id, earlier.id)});
  }
  return faults;
}

}  // namespace witnessline::bench
