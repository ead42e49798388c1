// Hours at the bench a plan takes: those of its steps, and what goes on around them.
#include "analysis/outcome.h"
#include "bench/shop_time.h"

namespace witnessline::analysis {

namespace {

const char* in_words(ShopWork work) {
  switch (work) {
    case ShopWork::strip_down:
      return "taking parts off";
    case ShopWork::photographs:
      return "photographs";
    case ShopWork::masking:
      return "masking";
    case ShopWork::gun_cleaning:
      return "cleaning the gun";
    case ShopWork::test_panels:
      return "test cards";
    case ShopWork::reassembly:
      return "putting parts back";
    case ShopWork::setting_up:
      return "setting up";
  }
  return "";
}

/// Work that belongs to a plan and to none of its steps; masking and cleaning the gun are in theirs.
std::vector<ShopWork> around(const Plan& plan) {
  bool by_hand = false, apart = false, lays = false;
  for (const PlannedStep& planned : plan.steps) {
    const Traits traits = traits_of(planned.step);
    by_hand |= traits.tool != Tool::none, lays |= traits.lays.has_value(), apart |= traits.lays || traits.cuts;
  }
  std::vector<ShopWork> work;
  if (by_hand) work.push_back(ShopWork::photographs);
  if (apart) work.insert(work.end(), {ShopWork::strip_down, ShopWork::reassembly, ShopWork::setting_up});
  if (lays) work.push_back(ShopWork::test_panels);
  return work;
}

Figure duration(std::string name, double time_s, std::string law, Kind kind) {
  Figure f;
  f.name = std::move(name), f.value = time_s, f.quantity = Quantity::duration, f.law = std::move(law), f.kind = kind;
  return f;
}

}  // namespace

PlanHours hours_of(const Plan& plan, const Run& run, const Job& job) {
  double sum_s = 0;
  for (const StepResult& step : run.steps) sum_s += step.hands_on_s;
  PlanHours hours;
  hours.hands_on = duration("hours at the bench", 0, "sum over the steps + work around them", Kind::estimate);
  hours.hands_on.inputs = {{"the steps", sum_s, Quantity::duration, Kind::estimate, ""}};
  for (const ShopWork work : around(plan)) {
    const KnownTime known = time_of(work, job.shop.times, job.shop.pace);
    hours.around.push_back(
        {work, duration(name_of(work), known.time_s,
                        known.kind == Kind::measured ? "mean of the shop's log" : "usual time x pace of the shop",
                        known.kind)});
    hours.around.back().time.band = known.band_s;
    hours.hands_on.inputs.push_back({in_words(work), known.time_s, Quantity::duration, known.kind, ""});
    sum_s += known.time_s;
  }
  hours.hands_on.value = sum_s;
  return hours;
}

}  // namespace witnessline::analysis
