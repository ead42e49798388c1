#include "safety/gate.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <deque>

#include "safety/air_advice.h"
#include "safety/handled_coats.h"
#include "safety/rounded.h"

namespace witnessline::safety {

namespace {

/// A question with what may meet it: `firm` ones are met by figures only, never by words.
struct Asked {
  HoldPoint hold;
  bool firm = false;
};

class Questions {
 public:
  explicit Questions(const Guarded& g) : g_(g) {}

  std::deque<Asked> of(std::span<const StepAir> airs) {
    std::vector<Handled> there;  // what lies on the body before the step
    for (const ExistingCoat& coat : g_.coats) add_coat(there, coat, g_.bench);
    for (const PlannedStep& planned : g_.plan.steps) {
      const Traits traits = traits_of(planned.step);
      std::vector<Handled> laid;
      if (traits.lays) add_paint(laid, std::string(traits.lays->mixture), g_.bench);
      const bool disturbs = traits.cuts || traits.heats;  // what lies there comes off, or fumes
      if (disturbs && !g_.coats.empty()) ask(Hazard::old_pigments, planned.id);
      Work laying;
      laying.sprays = traits.sheds == Sheds::mist;
      for (const RaisedHazard& raised : hazards_of(laid, laying))
        ask(raised.hazard, planned.id).firm |= raised.hazard == Hazard::poison_mist;  // only another paint answers it
      const Work work{false, traits.wets, traits.cuts, traits.heats, false};
      for (const RaisedHazard& raised : hazards_of(there, work))
        if ((disturbs && raised.hazard != Hazard::hardener) || (traits.wets && raised.hazard == Hazard::oily_rags))
          ask(raised.hazard, planned.id);
      if (traits.heats) ask(Hazard::ignition, planned.id);
      if (traits.sheds == Sheds::dust || traits.sheds == Sheds::mist) ask(Hazard::breathing, planned.id);
      if (traits.tool == Tool::wheel) ask(Hazard::wheel, planned.id);
      if (traits.tool == Tool::blade) ask(Hazard::blades, planned.id);
      if (traits.chills) ask(Hazard::cold, planned.id);
      there.insert(there.end(), laid.begin(), laid.end());
    }
    if (g_.loose_parts && !g_.plan.steps.empty()) ask(Hazard::nitrate_plastic, g_.plan.steps.front().id);
    air(airs);
    std::stable_sort(all_.begin(), all_.end(),
                     [](const Asked& a, const Asked& b) { return a.hold.hazard < b.hold.hazard; });
    return std::move(all_);
  }

 private:
  Asked& ask(Hazard hazard, const std::string& step) {
    auto found = std::find_if(all_.begin(), all_.end(), [&](const Asked& a) { return a.hold.hazard == hazard; });
    if (found == all_.end()) {
      all_.push_back({{std::string(question_of(hazard)), {}, "", "", hazard}, false});
      found = all_.end() - 1;
    }
    if (std::find(found->hold.before.begin(), found->hold.before.end(), step) == found->hold.before.end())
      found->hold.before.push_back(step);
    return *found;
  }

  void air(std::span<const StepAir> airs) {
    std::vector<std::string> missing;
    for (const bool drying : {false, true}) {
      Asked* question = nullptr;
      double asked_m3_s = 0, clear_s = 0, fan_m3_s = 0;
      bool enough = true, respirator = false, kept_out = false;
      std::vector<std::string> short_of_air, poisonous, curing, immediate;
      std::string instead, most_in;
      for (const StepAir& s : airs) {
        ask(Hazard::ignition, s.step);
        ask(Hazard::skin, s.step);
        if (s.drying != drying) continue;
        if (!drying) ask(Hazard::breathing, s.step);
        for (const std::string& what : s.asked.missing) {
          if (std::find(missing.begin(), missing.end(), what) == missing.end()) missing.push_back(what);
          ask(Hazard::tin_contents, s.step).firm = true;
        }
        question = &ask(drying ? Hazard::drying_air : Hazard::spraying_air, s.step);
        if (s.asked.at_least.value > asked_m3_s) asked_m3_s = s.asked.at_least.value, most_in = s.step;
        if (std::isfinite(s.fan.value)) fan_m3_s = s.fan.value;
        if (std::isfinite(s.clear.value)) clear_s = std::max(clear_s, s.clear.value);
        respirator |= s.verdict == AirVerdict::enough_with_respirator;
        kept_out |= s.verdict == AirVerdict::enough_with_nobody_in;
        enough &= s.verdict != AirVerdict::too_little && s.verdict != AirVerdict::not_known &&
                  s.verdict != AirVerdict::do_not_spray;
        if (s.peak_of_danger.value > 1) immediate.push_back(s.step);
        if (drying && !s.poison.empty()) curing.push_back(s.step + " (" + s.poison + ")"), enough = false;
        if (s.verdict == AirVerdict::do_not_spray) poisonous.push_back(s.step + " (" + s.poison + ")");
        // What fails, or what a figure is missing for, no words can make safe.
        if (s.verdict == AirVerdict::too_little) short_of_air.push_back(s.step), instead = s.instead;
        question->firm |= s.verdict == AirVerdict::too_little || !s.asked.missing.empty();
      }
      if (!question) continue;
      const auto text = [](double m3_s) { return describe_flow(m3_s, BenchUnits::metric); };
      const std::string moved = show_rounded(fan_m3_s, Quantity::air_flow, BenchUnits::metric);
      std::string& says = question->hold.question;
      if (enough) {
        question->hold.met = true;
        question->hold.answer =
            fmt::format("Needed: {}. The fan moves {}{}{}.", text(asked_m3_s), moved,
                        respirator ? "; the respirator is credited with the rest" : "",
                        kept_out ? fmt::format("; keep everyone out for {} after",
                                               show_rounded(clear_s, Quantity::duration, BenchUnits::metric, true))
                                 : "");
      } else if (!poisonous.empty()) {
        says += " No airflow is enough for the mist of " + joined(poisonous) + ": do not spray it.";
      } else if (short_of_air.empty() && !curing.empty()) {
        says += fmt::format(
            " Its solvents need {}. What it gives off as it cures is not counted, and goes on for days to weeks: {}. "
            "State how that is aired and who keeps out.",
            text(asked_m3_s), joined(curing));
      } else if (!short_of_air.empty()) {
        says += fmt::format(" Too little for {}: the fan moves {}.{}", joined(short_of_air), moved,
                            instead.empty() ? fmt::format(" It needs {}.", text(asked_m3_s)) : " " + instead);
      } else {
        says += " Can't be assessed, data missing: treat it as unsafe.";
        if (!(fan_m3_s > 0)) says += " Enter the room's volume and what its fan moves under [room].";
        if (asked_m3_s > 0)
          says += fmt::format(" Most is needed by {}: {}.", most_in,
                              describe_flow(asked_m3_s, BenchUnits::metric, "at least "));
      }
      if (!immediate.empty())
        (enough ? question->hold.answer : says) += fmt::format(
            " Vapour where people breathe passes what is immediately dangerous to life in {}: {}.", joined(immediate),
            drying ? "nobody enters before it has cleared" : "supplied air only, nobody alone");
    }
    Ignition lit_by;
    double warmest_K = 0;
    for (const StepAir& s : airs)
      lit_by = either_of(std::move(lit_by), s.lit_by), warmest_K = std::max(warmest_K, s.air_K);
    const std::string lit = ignition_advice(lit_by, warmest_K);
    for (Asked& a : all_) {
      if (a.hold.hazard == Hazard::ignition && !lit.empty()) {
        const bool heats = std::any_of(g_.plan.steps.begin(), g_.plan.steps.end(),
                                       [](const PlannedStep& s) { return traits_of(s.step).heats; });
        if (lit_by.needs_rated_gear() || heats)
          a.hold.question += " " + lit;
        else
          a.hold.answer = lit, a.hold.met = true;
      }
      if (a.hold.hazard == Hazard::tin_contents) a.hold.question = describe_missing(missing);
    }
  }

  static std::string joined(const std::vector<std::string>& words) {
    std::string text;
    for (const std::string& w : words) text += (text.empty() ? "" : ", ") + w;
    return text;
  }

  const Guarded& g_;
  std::deque<Asked> all_;  // what ask() returned stays where it is
};

bool holds(const HoldPoint& hold, const Plan& plan) {
  if (!hold.plan.empty() && hold.plan != plan.id) return false;
  return std::any_of(plan.steps.begin(), plan.steps.end(), [&](const PlannedStep& s) {
    return std::any_of(hold.before.begin(), hold.before.end(),
                       [&](const std::string& b) { return b == s.id || b == word_of(s.step); });
  });
}

}  // namespace

Gate gate_of(const Guarded& g, std::span<const StepAir> airs, std::span<const HoldPoint> of_the_job) {
  Gate gate;
  for (Asked& asked : Questions(g).of(airs)) {
    for (const HoldPoint& own : of_the_job) {
      if (own.hazard != asked.hold.hazard || (!own.plan.empty() && own.plan != g.plan.id)) continue;
      if (!own.question.empty() && !asked.firm) asked.hold.question = own.question;
      if (!own.answer.empty() && !asked.firm) asked.hold.answer = own.answer, asked.hold.met = own.met;
    }
    (asked.hold.met ? gate.met : gate.open).push_back(std::move(asked.hold));
  }
  for (const HoldPoint& own : of_the_job) {
    const auto same = [&](const HoldPoint& h) { return h.hazard == own.hazard; };
    const bool asked = own.hazard != Hazard::none && (std::any_of(gate.open.begin(), gate.open.end(), same) ||
                                                      std::any_of(gate.met.begin(), gate.met.end(), same));
    if (!asked && holds(own, g.plan)) (own.met ? gate.met : gate.open).push_back(own);
  }
  return gate;
}

}  // namespace witnessline::safety
