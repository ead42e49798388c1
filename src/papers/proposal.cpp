// The two papers of a job before any work: what came in, and what could be done about it.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "papers/page.h"

namespace witnessline::papers {
namespace {

constexpr int still_px = 420;

/// Largest parts of a plan's price that are estimates or swing it most, in words.
std::string what_moves(const PlanOutcome& plan, BenchUnits units) {
  const double share = plan.hands_on.value > 0
                           ? (plan.hands_on.band.high - plan.hands_on.band.low) / plan.hands_on.value
                           : std::numeric_limits<double>::quiet_NaN();
  const Shown hours = shown(plan.hands_on.value, plan.hands_on.band, Quantity::duration, units);
  if (std::isfinite(share)) return fmt::format("hours at the bench ({})", typeset(hours.band));
  return "hours at the bench";
}

/// What a plan does that nobody can undo.
std::vector<std::string> irreversible(const Plan& plan, const PlanOutcome& worked) {
  std::vector<std::string> lines;
  const auto say = [&](const char* words) {
    if (std::find(lines.begin(), lines.end(), words) == lines.end()) lines.emplace_back(words);
  };
  for (const PlannedStep& step : plan.steps) {
    const Traits traits = traits_of(step.step);
    const std::string_view word = word_of(step.step);
    if (word == "lift")
      say("lifting old coats");
    else if (word == "melt_in")
      say("melting old finish into new");
    else if (word == "check")
      say("opening checks");
    else if (traits.wears)
      say("wearing through");
    else if (traits.cuts && word != "buff" && word != "clean")
      say("sanding");
  }
  if (worked.touched_fraction.value > 0 && lines.empty()) lines.emplace_back("some original finish is touched");
  return lines;
}

Tree column(const PlanOutcome& plan, const PaperSource& source) {
  const BenchUnits units = source.units;
  const auto drawn = std::find_if(source.pictures.begin(), source.pictures.end(),
                                  [&](const PlanPictures& p) { return p.plan == plan.id; });
  const auto planned =
      std::find_if(source.job.plans.begin(), source.job.plans.end(), [&](const Plan& p) { return p.id == plan.id; });
  const bool pictured = drawn != source.pictures.end();
  std::size_t cautions = 0;
  std::string worst;
  for (const Note& note : plan.notes)
    if (note.severity != Severity::information) ++cautions;
  const std::vector<std::string> gone =
      planned == source.job.plans.end() ? std::vector<std::string>{} : irreversible(*planned, plan);
  return fields(
      {{"title", text(plan.title)},
       {"plan_summary", text(plan.summary)},
       {"agreed", yes(plan.id == source.job.consent.plan)},
       {"runs", yes(plan.runs)},
       {"after", pictured ? picture(drawn->after, plan.title + ": the front when done", still_px) : Tree::of(false)},
       {"map", text(pictured ? drawn->map : "")},
       {"had_original", yes(std::isfinite(plan.kept_fraction.value))},
       {"kept", figure(plan.kept_fraction, units)},
       {"touched", figure(plan.touched_fraction, units)},
       {"to_target", plan.to_target ? figure(*plan.to_target, units) : Tree::of(false)},
       {"days", figure_in_days(plan.days)},
       {"hours", figure(plan.hands_on, units)},
       {"cost", figure(plan.cost, units)},
       {"moves", text(what_moves(plan, units))},
       {"carried_out", figure(plan.carried_out, units)},
       {"cautions", Tree::of(static_cast<std::int64_t>(cautions))},
       {"gone", text(gone.empty() ? "nothing" : listed(gone))},
       {"plan_ready", yes(plan.ready)},
       {"questions", Tree::of(static_cast<std::int64_t>(plan.open_hold_points.size()))},
       {"danger", notes(plan.notes, Severity::danger)}});
}

std::string reading_words(const ReadingRecord& r, BenchUnits units) {
  if (r.film_m) return typeset(*r.film_m, Quantity::film_thickness, units);
  if (r.lab.size() == 3) return fmt::format("L* {:.1f}, a* {:.1f}, b* {:.1f}", r.lab[0], r.lab[1], r.lab[2]);
  return "\u2013";
}

}  // namespace

Tree proposal(const PaperSource& source) {
  Tree plans = each(source.outcome.plans, [&](const PlanOutcome& plan) { return column(plan, source); });
  return fields({{"plans", std::move(plans)},
                 {"plan_count", Tree::of(static_cast<std::int64_t>(source.outcome.plans.size()))},
                 {"has_maps", yes(std::any_of(source.pictures.begin(), source.pictures.end(),
                                              [](const PlanPictures& p) { return !p.map.empty(); }))},
                 {"many", yes(source.outcome.plans.size() > 3)},
                 {"none_agreed", yes(source.job.consent.plan.empty())},
                 {"owners_words", text(source.job.consent.words)},
                 {"rate", yes(source.job.shop.rate_per_h > 0)},
                 {"grave", notes(source.outcome.notes, Severity::danger)}});
}

Tree condition_report(const PaperSource& source) {
  const Job& job = source.job;
  const BenchUnits units = source.units;
  const PlanPictures* drawn = source.pictures.empty() ? nullptr : &source.pictures.front();
  const PlanOutcome* worked = nullptr;
  for (const PlanOutcome& plan : source.outcome.plans)
    if (plan.runs && !worked) worked = &plan;
  std::string agreed;
  for (const Plan& plan : job.plans)
    if (plan.id == job.consent.plan) agreed = plan.title;
  Tree values = fields(
      {{"remark", text(job.instrument.remark)},
       {"before", drawn ? picture(drawn->before, "front as it came in", still_px) : Tree::of(false)},
       {"map", text(drawn ? drawn->map_before : "")},
       {"bare", yes(job.coats.empty())},
       {"coats", each(job.coats,
                      [&](const ExistingCoat& c) {
                        std::string film = typeset(c.thickness_m, Quantity::film_thickness, units);
                        if (c.spread_m > 0) film += " \u00b1 " + typeset(c.spread_m, Quantity::film_thickness, units);
                        const Material* material = source.library.find(c.mixture);
                        return fields({{"coat", text(c.name)},
                                       {"made_of", text(material ? short_name(*material) : spaced(c.mixture))},
                                       {"origin", text(c.origin == Origin::original ? "original" : "later")},
                                       {"film", text(film)},
                                       {"where", text(where_words(c.where))}});
                      })},
       {"parts", each(job.parts,
                      [](const PartRecord& p) {
                        return fields({{"part", text(p.name)},
                                       {"origin", text(p.original ? "believed original" : "not original")},
                                       {"marks", text(listed(p.marks))},
                                       {"condition", text(p.condition)}});
                      })},
       {"survey", each(job.survey,
                       [&](const SurveyRecord& s) {
                         return fields(
                             {{"fact", text(spaced(words(&s.fact)[static_cast<std::size_t>(s.fact)]))},
                              {"face", text(s.at.face)},
                              {"across", text(typeset(s.at.x_m, Quantity::length, units))},
                              {"along", text(typeset(s.at.y_m, Quantity::length, units))},
                              {"depth", text(s.depth_m > 0 ? typeset(s.depth_m, Quantity::film_thickness, units) : "")},
                              {"remark", text(s.remark)}});
                       })},
       {"readings", each(job.readings,
                         [&](const ReadingRecord& r) {
                           return fields({{"name", text(r.name)},
                                          {"of", text(r.of)},
                                          {"value", text(reading_words(r, units))},
                                          {"remark", text(r.remark)}});
                         })},
       {"agreed", text(agreed)},
       {"agreed_on", text(job.consent.date)},
       {"agreed_words", text(job.consent.words)}});
  values.put("has_parts", yes(!job.parts.empty()));
  values.put("has_survey", yes(!job.survey.empty()));
  values.put("has_readings", yes(!job.readings.empty()));
  if (worked && !worked->steps.empty()) {
    const KeptReading& kept = worked->steps.front().kept;
    values.put("visible", figure(kept.visible_area, units));
    values.put("buried", figure(kept.buried_area, units));
  }
  return values;
}

}  // namespace witnessline::papers
