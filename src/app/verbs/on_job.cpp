#include "app/verbs/on_job.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>

#include "app/files.h"
#include "app/open_job.h"
#include "app/work.h"
#include "job/supplies.h"
#include "safety/handled_coats.h"

namespace witnessline::app {

namespace fs = std::filesystem;

namespace {

/// A request may name jobs of its own folder and of the folders beside it, and through no link any other.
Result<std::string> job_path(const std::string& name, const std::string& folder) {
  std::error_code error;
  const fs::path home = fs::weakly_canonical(folder.empty() ? "." : folder, error);
  const auto path = error ? std::nullopt : inside(home.parent_path(), home / name);
  if (!path)
    return Error{fmt::format("'{}' lies outside the folders beside the request", name),
                 {"", 0, 0, "job"},
                 "a job file beside the request or in a folder beside its folder",
                 "put the request beside the job file"};
  return path->string();
}

template <class All, class Name>
Error unknown(const char* what, const std::string& word, const char* key, const All& all, const Name& name) {
  std::vector<std::string> known;
  for (const auto& one : all) known.push_back(name(one));
  return {fmt::format("this job has no {} '{}'", what, word),
          {"", 0, 0, key},
          known.empty() ? std::string("none: leave it out") : fmt::format("one of: {}", fmt::join(known, ", ")),
          did_you_mean(word, known)};
}

/// The plan cut off after the step asked for.
Result<Plan> plan_asked(const AskedOfJob& asked, const Job& job) {
  if (asked.plan.empty()) {
    if (!asked.after.empty())
      return Error{"a step is named but no plan", {"", 0, 0, "after"}, "plan, the plan it belongs to", ""};
    return Plan{};
  }
  const auto plan = std::find_if(job.plans.begin(), job.plans.end(), [&](const Plan& p) { return p.id == asked.plan; });
  if (plan == job.plans.end())
    return unknown("plan", asked.plan, "plan", job.plans, [](const Plan& p) { return p.id; });
  Plan cut = *plan;
  if (asked.after.empty()) return cut;
  const auto last =
      std::find_if(cut.steps.begin(), cut.steps.end(), [&](const PlannedStep& s) { return s.id == asked.after; });
  if (last == cut.steps.end())
    return unknown("step", asked.after, "after", cut.steps, [](const PlannedStep& s) { return s.id; });
  cut.steps.erase(last + 1, cut.steps.end());
  return cut;
}

}  // namespace

Result<PaintTin> tin_of_job(PaintTin tin, const std::string& job, const Asking& asking) {
  if (job.empty()) return tin;
  const auto path = job_path(job, asking.folder);
  if (!path) return path.errors();
  const auto opened = open_job(*path, asking.library);
  if (!opened) return opened.errors();
  if (asking.mixtures) *asking.mixtures = opened->job.mixtures;
  return with_parts(std::move(tin), opened->job);
}

Result<OnJob> on_job(const AskedOfJob& asked, const Asking& asking) {
  const auto path = job_path(asked.job, asking.folder);
  if (!path) return path.errors();
  const auto opened = open_job(*path, asking.library);
  if (!opened) return opened.errors();
  const auto plan = plan_asked(asked, opened->job);
  if (!plan) return plan.errors();
  const auto built = body_of(*opened, std::max(asked.pitch_m, opened->job.body.pitch_m));
  if (!built) return built.errors();
  Bench bench = bench_of(opened->job, built->body, asking.library);
  bench.shelter = shelter_of(opened->job, built->body);
  if (asking.handled) {
    for (const ExistingCoat& coat : opened->job.coats) add_coat(*asking.handled, coat, bench);
    add_plan(*asking.handled, *plan, bench);
  }
  if (asking.mixtures) *asking.mixtures = opened->job.mixtures;
  const auto before = existing_film(opened->job.coats, bench, opened->job.grime_kg_m2);
  if (!before) return opened->located(before.errors());
  auto worked = run(*plan, *before, bench);
  if (!worked) return opened->located(worked.errors());
  return OnJob{opened->job, std::move(bench), std::move(*worked), built->notes};
}

}  // namespace witnessline::app
