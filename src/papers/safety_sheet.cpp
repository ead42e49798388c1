// The safety sheet: what can hurt in one plan, what was answered, the air it asks for, and what goes where afterwards.
#include <algorithm>
#include <cmath>

#include "papers/page.h"

namespace witnessline::papers {
namespace {

std::string title_of(Hazard hazard) {
  return hazard == Hazard::none ? "of this job" : spaced(words(&hazard)[static_cast<std::size_t>(hazard)]);
}

Tree question(const HoldPoint& hold) {
  return fields(
      {{"about", text(title_of(hold.hazard))},
       {"question", text(hold.question)},
       {"before", text(hold.before.size() > 4 ? std::to_string(hold.before.size()) + " steps" : listed(hold.before))},
       {"answer", text(typeset(hold.answer))}});
}

/// "spray it with a respirator", for a verdict on the air.
const char* verdict_words(AirVerdict verdict) {
  switch (verdict) {
    case AirVerdict::enough:
      return "enough";
    case AirVerdict::enough_with_respirator:
      return "enough with the respirator";
    case AirVerdict::enough_with_nobody_in:
      return "enough against fire; keep everyone out";
    case AirVerdict::too_little:
      return "too little";
    case AirVerdict::not_known:
      return "can't be assessed: data missing";
    case AirVerdict::do_not_spray:
      return "do not spray";
  }
  return "";
}

Tree air(const PlanOutcome& plan, BenchUnits units) {
  return each(plan.air, [&](const StepAir& a) {
    const bool whole = std::isfinite(a.asked.ruling.value) || !(a.asked.at_least.value > 0);
    const bool good = a.verdict == AirVerdict::enough || a.verdict == AirVerdict::enough_with_respirator ||
                      a.verdict == AirVerdict::enough_with_nobody_in;
    return fields({{"step", text(spaced(a.step) + (a.drying ? " (drying)" : ""))},
                   {"vapour", figure(a.vapour_mass, units)},
                   {"needed", figure(whole ? a.asked.ruling : a.asked.at_least, units)},
                   {"at_least", yes(!whole)},
                   {"ruled_by", text(a.asked.ruled_by)},
                   {"fan", figure(a.fan, units)},
                   {"clear", a.poison.empty() ? figure(a.clear, units) : Tree::of(false)},
                   {"poison", text(a.poison)},
                   {"good", yes(good)},
                   {"verdict", text(verdict_words(a.verdict))}});
  });
}

Tree cartridges(const PlanOutcome& plan) {
  std::vector<CartridgeAnswer> all;  // of each solvent where it is worst
  for (const StepAir& a : plan.air)
    for (const CartridgeAnswer& c : a.cartridges) {
      const auto same =
          std::find_if(all.begin(), all.end(), [&](const CartridgeAnswer& o) { return o.solvent == c.solvent; });
      if (same == all.end())
        all.push_back(c);
      else if (c.fit > same->fit)
        *same = c;
    }
  struct Line {
    std::vector<std::string> solvents;
    std::string before, after, source;  // of the sentence, around the solvent's name where it has one
    bool named = false, bad = false;
  };
  std::vector<Line> rows;  // what is the same of several solvents stands once
  for (const CartridgeAnswer& c : all) {
    const std::size_t at = c.says.find(c.solvent);
    const bool named = at != std::string::npos;
    Line line{
        {c.solvent}, named ? c.says.substr(0, at) : c.says, named ? c.says.substr(at + c.solvent.size()) : "", c.source,
        named,       c.fit != CartridgeFit::holds};
    const auto same = std::find_if(rows.begin(), rows.end(), [&](const Line& l) {
      return l.named == line.named && l.bad == line.bad && l.before == line.before && l.after == line.after &&
             l.source == line.source;
    });
    if (same == rows.end())
      rows.push_back(std::move(line));
    else
      same->solvents.push_back(c.solvent);
  }
  return each(rows, [](const Line& l) {
    const std::string names = safety::listed(l.solvents);
    return fields({{"solvents", text(names)},
                   {"bad", yes(l.bad)},
                   {"says", text(l.before + (l.named ? names : "") + l.after)},
                   {"source", text(l.source)}});
  });
}

/// Cautions or waste of every hazard met in the plan, once each, with their sources.
Tree lines(const PlanOutcome& plan, std::span<const Caution> (*of)(Hazard)) {
  Tree list = Tree::empty_list();
  std::vector<std::string_view> stated;
  for (const auto* holds : {&plan.open_hold_points, &plan.met_hold_points})
    for (const HoldPoint& h : *holds)
      for (const Caution& c : of(h.hazard)) {
        if (std::find(stated.begin(), stated.end(), c.says) != stated.end()) continue;
        stated.push_back(c.says);
        list.list.push_back(fields({{"says", text(std::string(c.says))},
                                    {"source", text(c.source == "common_practice" ? "" : std::string(c.source))}}));
      }
  return list;
}

}  // namespace

Tree safety_sheet(const PlanPaper& paper) {
  const PlanOutcome& plan = paper.worked;
  Tree hold_cartridges = cartridges(plan), steps = air(plan, paper.source.units);
  const bool any = !hold_cartridges.list.empty(), vapour = !steps.list.empty();
  return fields({{"ready", yes(plan.ready)},
                 {"open", each(plan.open_hold_points, question)},
                 {"met", each(plan.met_hold_points, question)},
                 {"air", std::move(steps)},
                 {"has_air", yes(vapour)},
                 {"cartridges", std::move(hold_cartridges)},
                 {"has_cartridges", yes(any)},
                 {"cautions", lines(plan, cautions_of)},
                 {"waste", lines(plan, waste_of)}});
}

}  // namespace witnessline::papers
