#include "analysis/uncertainty.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <unordered_map>

#include "analysis/job_bench.h"
#include "analysis/outcome.h"
#include "base/chance.h"
#include "base/random.h"

namespace witnessline::analysis {

namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();
constexpr double coat_mean_sd = 0.10;  // of a surveyed coat's mean thickness when few spots were read
constexpr double worn_log_sd = 0.7;    // of what a life wears: Archard's K is known to a factor of two at best
constexpr double hours_log_sd = 0.35;  // of the time one kind of step takes: half to twice, 95 in 100

/// What is left in a tin falls below zero where it is short; nothing else here can.
bool may_be_negative(const std::string& path) { return path.ends_with("/left"); }

double spread(Key key, double sd) { return std::clamp(1.0 + sd * normal(key), 0.2, 3.0); }

/// Draws anew whatever a step says varies from hand to hand.
class DrawnInput final : public VariedInput {
 public:
  explicit DrawnInput(Key key) : key_(key) {}
  void operator()(std::string_view name, double& value, double relative_sd, double lowest, double highest) override {
    value = std::clamp(value * spread(key_.with(name), relative_sd), lowest, highest);
  }

 private:
  Key key_;
};

std::unordered_map<std::string, double> values_of(PlanOutcome& outcome) {
  std::unordered_map<std::string, double> values;
  each_figure(outcome, [&](const std::string& path, Figure& f) { values.emplace(path, f.value); });
  return values;
}

/// One more run; `draw` below zero: as the job says. A draw has its own unevenness and its own hours a kind of step.
Result<PlanOutcome> rerun(const Plan& plan, const Job& job, const std::vector<ExistingCoat>& coats,
                          const Library& library, const Body& body, const std::vector<Shelter>& shelter, int draw) {
  Job varied = job;
  if (draw >= 0) {
    varied.shop.times.clear();
    for (const ShopWork work : all_shop_work) {
      const KnownTime known = time_of(work, job.shop.times, job.shop.pace);
      const double log_sd = std::log(known.band_s.high / known.time_s) / 1.96;
      const Key key = Key{job.seed}.with("shop work").with(static_cast<std::uint64_t>(draw)).with(name_of(work));
      varied.shop.times.push_back({work, known.time_s * std::exp(log_sd * normal(key)), 1});
    }
  }
  Bench bench = bench_of(varied, body, library);
  bench.shelter = shelter;
  bench.seed += static_cast<std::uint64_t>(draw + 1);
  if (draw >= 0)
    for (auto& [id, life] : bench.lives)
      for (TouchTime& touch : life.touches)
        touch.time_s *=
            std::exp(worn_log_sd * normal(Key{job.seed}.with("worn").with(static_cast<std::uint64_t>(draw)).with(id)));
  const Result<Film> before = existing_film(coats, bench, job.grime_kg_m2);
  if (!before) return before.errors();
  Result<Run> run = bench::run(plan, *before, bench);
  if (!run) return run.errors();
  for (StepResult& step : run->steps)
    if (draw >= 0)
      step.hands_on_s *= std::exp(
          hours_log_sd * normal(Key{job.seed}.with("hours").with(static_cast<std::uint64_t>(draw)).with(step.word)));
  const Palette palette(library);
  return outcome_of(plan, *run, varied, library, {body, bench.woods, palette, Lamp::D65, job.target.observer},
                    ColoursRead::target_only);
}

}  // namespace

Plan drawn(const Plan& plan, std::uint64_t seed, int i) {
  Plan other = plan;
  for (PlannedStep& planned : other.steps) {
    const Key key = Key{seed}.with("hand").with(static_cast<std::uint64_t>(i)).with(planned.id);
    DrawnInput draw(key);
    vary(planned.step, draw);
  }
  return other;
}

std::vector<ExistingCoat> drawn(const std::vector<ExistingCoat>& coats, std::uint64_t seed, int i) {
  std::vector<ExistingCoat> other = coats;
  for (ExistingCoat& coat : other)
    coat.thickness_m *=
        spread(Key{seed}.with("survey").with(static_cast<std::uint64_t>(i)).with(coat.name), coat_mean_sd);
  return other;
}

Band band_around(double value, std::vector<double> shifts, double lowest, double highest) {
  std::sort(shifts.begin(), shifts.end());
  // The r-th smallest of n draws has r / (n + 1) below it, whatever they are drawn from.
  const auto end = [&](double p) {
    const auto n = static_cast<double>(shifts.size());
    return shifts[static_cast<std::size_t>(std::clamp(std::round(p * (n + 1)), 1.0, n)) - 1];
  };
  return {std::min(value, std::max(lowest, value + end(0.025))),
          std::max(value, std::min(highest, value + end(0.975)))};
}

void add_refusals(PlanOutcome& outcome, const std::vector<Error>& refusals, int draws) {
  const int refused = static_cast<int>(refusals.size());
  const CountedChance chance = counted_chance(draws - refused, draws);
  outcome.carried_out = chance_figure("chance that it can be carried out as planned", chance.value, chance.band,
                                      "draws in which every step can be done / draws, Wilson's interval", "wilson1927");
  outcome.carried_out.inputs = {
      {"draws", static_cast<double>(draws), Quantity::ratio, Kind::computed, ""},
      {"draws in which a step is refused", static_cast<double>(refused), Quantity::ratio, Kind::computed, ""}};
  if (refused == 0) return;
  std::map<std::string, int> by_step;
  for (const Error& e : refusals) ++by_step[e.where.key];
  const auto commonest = std::max_element(by_step.begin(), by_step.end(),
                                          [](const auto& a, const auto& b) { return a.second < b.second; });
  const auto example =
      std::find_if(refusals.begin(), refusals.end(), [&](const Error& e) { return e.where.key == commonest->first; });
  outcome.notes.push_back(
      {Severity::caution,
       fmt::format("In {} of {} trials with a practised hand's scatter the plan failed. "
                   "Most often: {}{}. All bands cover only the trials that succeeded.",
                   refused, draws, example->what, example->fix.empty() ? "" : " (" + example->fix + ")"),
       commonest->first});
}

void add_bands(PlanOutcome& outcome, const Plan& plan, const Job& job, const Library& library, const Body& coarse) {
  const std::vector<Shelter> shelter = shelter_of(job, coarse);
  Result<PlanOutcome> middle = rerun(plan, job, job.coats, library, coarse, shelter, -1);
  if (!middle) {
    outcome.notes.push_back({Severity::caution,
                             "No uncertainty bands: the plan is refused on the coarse body used to calculate them. " +
                                 middle.errors().front().text(),
                             ""});
    return;
  }
  const auto nominal = values_of(*middle);
  std::unordered_map<std::string, std::vector<double>> moved;
  std::vector<Error> refusals;
  for (int i = 0; i < band_draws; ++i) {
    auto other = rerun(drawn(plan, job.seed, i), job, drawn(job.coats, job.seed, i),
                       library.draw(job.seed, static_cast<std::uint64_t>(i)), coarse, shelter, i);
    if (!other) {
      refusals.push_back(other.errors().front());
      continue;
    }
    for (const auto& [path, value] : values_of(*other)) {
      const auto at = nominal.find(path);
      if (at != nominal.end() && std::isfinite(value) && std::isfinite(at->second))
        moved[path].push_back(value - at->second);
    }
  }
  add_refusals(outcome, refusals, band_draws);
  each_figure(outcome, [&](const std::string& path, Figure& f) {
    auto at = moved.find(path);
    if (at == moved.end() || at->second.size() < band_draws / 2 || !std::isfinite(f.value)) return;
    const auto [least, most] = std::minmax_element(at->second.begin(), at->second.end());
    if (*least == 0 && *most == 0) return;  // nothing that was drawn moves it
    const bool share = f.quantity == Quantity::fraction;
    f.band = band_around(f.value, at->second, may_be_negative(path) ? -infinity : 0.0, share ? 1.0 : infinity);
  });
}

}  // namespace witnessline::analysis
