#include "bench/run.h"

#include "bench/step_context.h"

namespace witnessline::bench {

std::string_view word_of(const Step& step) {
  return std::visit([](const auto& s) { return std::decay_t<decltype(s)>::word; }, step);
}

Traits traits_of(const Step& step) {
  return std::visit([](const auto& s) { return s.traits(); }, step);
}

void check(const Step& step, StepCheck& checks) {
  std::visit([&](const auto& s) { s.check(checks); }, step);
}

Headline headline_of(const Step& step, const ShowQuantity& show) {
  return std::visit([&](const auto& s) { return s.headline(show); }, step);
}

void vary(Step& step, VariedInput& inputs) {
  std::visit([&](auto& s) { s.vary(inputs); }, step);
}

Result<StepResult> run_step(const PlannedStep& step, const Film& before, const Bench& bench) {
  expects(before.size() == bench.body.size(), "a film belongs to one body");
  StepContext context(step, before, bench);
  return std::visit([&](const auto& s) { return work(s, context); }, step.step);
}

Result<Run> run(const Plan& plan, const Film& before, const Bench& bench,
                const std::function<void(int, int)>& progress) {
  return RunCache(0).run(plan, before, bench, progress);
}

}  // namespace witnessline::bench
