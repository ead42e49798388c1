#include <fmt/format.h>

#include <algorithm>
#include <list>
#include <mutex>
#include <set>
#include <span>
#include <unordered_map>

#include "base/random.h"
#include "bench/fingerprint.h"
#include "bench/order.h"
#include "bench/run.h"

namespace witnessline::bench {

struct RunCache::Data {
  struct Held {
    std::uint64_t key;
    StepResult result;
    std::size_t bytes;  ///< of buffers its upstream film does not share
  };
  explicit Data(std::size_t most) : most_bytes(most) {}

  std::optional<StepResult> find(std::uint64_t key) {
    const std::scoped_lock lock(mutex);
    const auto it = by_key.find(key);
    if (it == by_key.end()) return std::nullopt;
    latest_first.splice(latest_first.begin(), latest_first, it->second);
    return it->second->result;
  }

  void keep(std::uint64_t key, const StepResult& result, const Film& upstream) {
    const Film* shared = &upstream;
    const std::size_t size = result.film.bytes_beyond({&shared, 1});
    const std::scoped_lock lock(mutex);
    if (size > most_bytes || by_key.contains(key)) return;
    latest_first.push_front({key, result, size});
    by_key[key] = latest_first.begin();
    bytes += size;
    while (bytes > most_bytes) {
      bytes -= latest_first.back().bytes;
      by_key.erase(latest_first.back().key);
      latest_first.pop_back();
    }
  }

  const std::size_t most_bytes;
  std::mutex mutex;
  std::list<Held> latest_first;
  std::unordered_map<std::uint64_t, std::list<Held>::iterator> by_key;
  std::size_t bytes = 0;
  int computed = 0;
};

RunCache::RunCache(std::size_t most_bytes) : data_(std::make_shared<Data>(most_bytes)) {}

int RunCache::steps_computed_last_time() const {
  const std::scoped_lock lock(data_->mutex);
  return data_->computed;
}

namespace {

/// Step ids name coats, so they must be there and be one of a kind.
std::vector<Error> faults_of_ids(const Plan& plan, const Film& before) {
  std::vector<Error> faults;
  std::set<std::string> ids, coats{"wood", "before"};
  for (const FilmLayer& layer : before.layers) coats.insert(layer.provenance.laid_by);
  for (std::size_t i = 0; i < plan.steps.size(); ++i) {
    const std::string& id = plan.steps[i].id;
    const char* what = id.empty()               ? "this step has no id"
                       : coats.contains(id)     ? "this id already names a coat"
                       : !ids.insert(id).second ? "two steps of this plan have the same id"
                                                : nullptr;
    if (what)
      faults.push_back({what,
                        {"", 0, 0, id.empty() ? fmt::format("steps[{}].id", i + 1) : fmt::format("steps.{}.id", id)},
                        "an id of its own",
                        "a step's id names the coat it lays: choose another word"});
  }
  return faults;
}

std::vector<Error> in_plan(std::vector<Error> faults, const std::string& plan) {
  for (Error& fault : faults) fault.where.key = fmt::format("plans.{}.{}", plan, fault.where.key);
  return faults;
}

}  // namespace

Result<Run> RunCache::run(const Plan& plan, const Film& before, const Bench& bench,
                          const std::function<void(int, int)>& progress) {
  // Every refusal that can be known: of all steps what holds whatever was done before them, and of what depends on the
  // film the first, as far as no other fault stands in the way.
  std::vector<Error> faults = faults_of_ids(plan, before);
  std::size_t sound = faults.empty() ? plan.steps.size() : 0;  // steps before the first one at fault
  const auto add = [&](std::vector<Error> more) { std::move(more.begin(), more.end(), std::back_inserter(faults)); };
  add(faults_of_order(plan, bench.body));
  for (const PlannedStep& step : plan.steps) add(faults_of_settings(step, before, bench));
  for (const Error& fault : faults)
    for (std::size_t i = 0; i < sound; ++i)
      if (fault.where.key.starts_with(fmt::format("steps.{}.", plan.steps[i].id))) sound = i;
  const bool keeps = data_->most_bytes > 0;
  Key upstream = keeps ? Key{fingerprint(bench)}.with(fingerprint(before)) : Key{};
  Run run{plan.id, {}};
  run.steps.reserve(plan.steps.size() + 1);
  run.steps.push_back({"before", "before", before, {}, 0, 0, {}});
  const int total = static_cast<int>(plan.steps.size());
  int computed = 0;
  for (const PlannedStep& step : std::span(plan.steps).first(sound)) {
    if (keeps) upstream = upstream.with(fingerprint(step));
    const Film& film = run.steps.back().film;
    std::optional<StepResult> held = keeps ? data_->find(upstream.bits) : std::nullopt;
    if (!held) {
      Result<StepResult> worked = run_step(step, film, bench);
      if (!worked) {
        add(worked.errors());
        break;
      }
      held = std::move(*worked);
      ++computed;
      if (keeps) data_->keep(upstream.bits, *held, film);
    }
    run.steps.push_back(std::move(*held));
    if (progress) progress(static_cast<int>(run.steps.size()) - 1, total);
  }
  if (!faults.empty()) return in_plan(std::move(faults), plan.id);
  const std::scoped_lock lock(data_->mutex);
  data_->computed = computed;
  return run;
}

}  // namespace witnessline::bench
