// What the demo jobs take of a shop's time, beside what practice says.
#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <map>
#include <memory>
#include <sstream>

#include "app/open_job.h"
#include "app/practice/practice.h"
#include "app/verb.h"
#include "app/work.h"
#include "bench/existing.h"

namespace witnessline::app {

namespace {

constexpr double coarse_m = 4e-3;  // hours go by areas, which a coarse body has as well

struct PlanOfDemo {
  Job job;
  Plan plan;
  Run run;
};

Result<PlanOfDemo> demo_plan(const PracticeRow& row, const Library& library) {
  const std::filesystem::path examples = std::filesystem::path(example_folder()).parent_path();
  const auto opened = open_job((examples / row.word("job", "") / "job.toml").string(), library);
  if (!opened) return opened.errors();
  const auto plan = std::find_if(opened->job.plans.begin(), opened->job.plans.end(),
                                 [&](const Plan& p) { return p.id == row.word("plan", ""); });
  if (plan == opened->job.plans.end())
    return Error{"the demo job has no such plan", {row.file, row.line, 0, "inputs"}, "job=..;plan=..", ""};
  const auto built = body_of(*opened, coarse_m);
  if (!built) return built.errors();
  Bench bench = bench_of(opened->job, built->body, library);
  bench.shelter = shelter_of(opened->job, built->body);
  const auto before = existing_film(opened->job.coats, bench, opened->job.grime_kg_m2);
  if (!before) return before.errors();
  Result<Run> run = bench::run(*plan, *before, bench);
  if (!run) return run.errors();
  return PlanOfDemo{opened->job, *plan, std::move(*run)};
}

/// Hours of a plan of a demo job; of some of its steps, where `steps` names them: "fill+seal".
Result<double> plan_hours(const PracticeRow& row, const PlanOfDemo& demo) {
  const std::string steps = row.word("steps", "");
  if (steps.empty()) return hours_of(demo.plan, demo.run, demo.job).hands_on.value / 3600;
  double sum_s = 0;
  std::istringstream words(steps);
  for (std::string id; std::getline(words, id, '+');) {
    const auto step =
        std::find_if(demo.run.steps.begin(), demo.run.steps.end(), [&](const StepResult& s) { return s.id == id; });
    if (step == demo.run.steps.end())
      return Error{fmt::format("the plan has no step '{}'", id), {row.file, row.line, 0, "inputs"}, "steps=a+b", ""};
    sum_s += step->hands_on_s;
  }
  return sum_s / 3600;
}

}  // namespace

void add_shop_predictors(Predictors& all) {
  const auto held = std::make_shared<std::map<std::string, PlanOfDemo>>();  // each plan is worked out once
  all["plan_hours"] = [held](const PracticeRow& row, const Library& library) -> Result<double> {
    const std::string key = row.word("job", "") + "/" + row.word("plan", "");
    if (!held->contains(key)) {
      Result<PlanOfDemo> demo = demo_plan(row, library);
      if (!demo) return demo.errors();
      held->emplace(key, std::move(*demo));
    }
    return plan_hours(row, held->at(key));
  };
}

}  // namespace witnessline::app
