#include "app/uncertainty.h"

#include <algorithm>
#include <cmath>
#include <unordered_map>

#include "base/random.h"
#include "bench/laws.h"

namespace witnessline::app {

namespace {

// Relative standard deviations of one operation of a practised hand. ESTIMATE, no published spread was found.
constexpr double wet_film_sd = 0.10;
constexpr double transfer_sd = 0.12;
constexpr double cut_depth_sd = 0.25;
constexpr double collateral_sd = 0.50;
constexpr double coat_mean_sd = 0.10;  // of a surveyed coat's mean thickness when few spots were read
constexpr double keying_sd = 0.35;     // P220 takes 10 to 25 um where nobody says how deep (common practice)
constexpr double worn_log_sd = 0.7;    // of what a life wears: Archard's K is known to a factor of two at best
constexpr double hours_log_sd = 0.35;  // of the time one kind of step takes: half to twice, 95 in 100

double spread(Key key, double sd) { return std::clamp(1.0 + sd * normal(key), 0.2, 3.0); }

void vary(Spray& s, Key k) {
  s.wet_m *= spread(k.with("wet"), wet_film_sd);
  s.transfer = std::clamp(s.transfer * spread(k.with("transfer"), transfer_sd), 0.05, 0.95);
}
void vary(MeltIn& s, Key k) {
  s.wet_m *= spread(k.with("wet"), wet_film_sd);
  s.bite_m *= spread(k.with("bite"), collateral_sd);
}
void vary(Lift& s, Key k) { s.collateral_m *= spread(k.with("collateral"), collateral_sd); }
void vary(Buff& s, Key k) { s.depth_m *= spread(k.with("depth"), cut_depth_sd); }
void vary(Wear& s, Key k) {
  if (s.depth_m) *s.depth_m *= spread(k.with("depth"), cut_depth_sd);
}
void vary(Sand& s, Key k) {
  const double sd = s.depth_m ? cut_depth_sd : keying_sd;
  s.depth_m = s.depth_m.value_or(keying_depth_m(s.grit)) * spread(k.with("depth"), sd);
}
template <class Other>
void vary(Other&, Key) {}

std::unordered_map<std::string, double> values_of(PlanOutcome& outcome) {
  std::unordered_map<std::string, double> values;
  each_figure(outcome, [&](const std::string& path, Figure& f) { values.emplace(path, f.value); });
  return values;
}

/// One more run; `draw` below zero: as the job says. A draw has its own unevenness and its own hours a kind of step.
std::optional<PlanOutcome> rerun(const Plan& plan, const Job& job, const std::vector<ExistingCoat>& coats,
                                 const Library& library, const Body& body, const std::vector<Shelter>& shelter,
                                 int draw) {
  Bench bench = bench_of(job, body, library);
  bench.shelter = shelter;
  bench.seed += static_cast<std::uint64_t>(draw + 1);
  if (draw >= 0)
    for (auto& [id, life] : bench.lives)
      for (TouchTime& touch : life.touches)
        touch.time_s *=
            std::exp(worn_log_sd * normal(Key{job.seed}.with("worn").with(static_cast<std::uint64_t>(draw)).with(id)));
  const Result<Film> before = existing_film(coats, bench, job.grime_kg_m2);
  if (!before) return std::nullopt;
  Result<Run> run = bench::run(plan, *before, bench);
  if (!run) return std::nullopt;
  for (StepResult& step : run->steps)
    if (draw >= 0)
      step.hands_on_s *= std::exp(
          hours_log_sd * normal(Key{job.seed}.with("hours").with(static_cast<std::uint64_t>(draw)).with(step.word)));
  const Palette palette(library);
  auto outcome = outcome_of(plan, *run, job, library, {body, bench.woods, palette, Lamp::D65, job.target.observer},
                            ColoursRead::target_only);
  if (!outcome) return std::nullopt;
  return std::move(*outcome);
}

}  // namespace

Plan drawn(const Plan& plan, std::uint64_t seed, int i) {
  Plan other = plan;
  for (PlannedStep& planned : other.steps) {
    const Key key = Key{seed}.with("hand").with(static_cast<std::uint64_t>(i)).with(planned.id);
    std::visit([&](auto& step) { vary(step, key); }, planned.step);
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

void add_bands(PlanOutcome& outcome, const Plan& plan, const Job& job, const Library& library, const Body& coarse) {
  const std::vector<Shelter> shelter = shelter_of(job, coarse);
  std::optional<PlanOutcome> middle = rerun(plan, job, job.coats, library, coarse, shelter, -1);
  if (!middle) return;
  const auto nominal = values_of(*middle);
  std::unordered_map<std::string, std::vector<double>> moved;
  for (int i = 0; i < band_draws; ++i) {
    auto other = rerun(drawn(plan, job.seed, i), job, drawn(job.coats, job.seed, i),
                       library.draw(job.seed, static_cast<std::uint64_t>(i)), coarse, shelter, i);
    if (!other) continue;
    for (const auto& [path, value] : values_of(*other)) {
      const auto at = nominal.find(path);
      if (at != nominal.end() && std::isfinite(value) && std::isfinite(at->second))
        moved[path].push_back(value - at->second);
    }
  }
  each_figure(outcome, [&](const std::string& path, Figure& f) {
    auto at = moved.find(path);
    if (at == moved.end() || at->second.size() < band_draws / 2 || !std::isfinite(f.value)) return;
    std::vector<double>& shifts = at->second;
    std::sort(shifts.begin(), shifts.end());
    const auto end = [&](double p) {
      return shifts[static_cast<std::size_t>(std::lround(p * static_cast<double>(shifts.size() - 1)))];
    };
    if (shifts.front() == 0 && shifts.back() == 0) return;  // nothing that was drawn moves it
    // A figure that cannot be negative has no negative low end; one that is a share has none above 1.
    const bool share = f.quantity == Quantity::fraction;
    const double lowest = f.value >= 0 ? 0.0 : -std::numeric_limits<double>::infinity();
    f.band.low = std::min(f.value, std::max(lowest, f.value + end(0.025)));
    f.band.high = std::max(f.value, share ? std::min(1.0, f.value + end(0.975)) : f.value + end(0.975));
  });
}

}  // namespace witnessline::app
