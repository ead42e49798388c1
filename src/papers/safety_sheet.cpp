#include "papers/safety_sheet.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace witnessline::papers {

namespace {

std::string joined(const std::vector<std::string>& words) {
  std::string text;
  for (const std::string& w : words) text += (text.empty() ? "" : ", ") + w;
  std::replace(text.begin(), text.end(), '_', ' ');
  return escaped(text);
}

std::string title_of(Hazard hazard) {
  std::string word = words(&hazard)[static_cast<std::size_t>(hazard)];
  std::replace(word.begin(), word.end(), '_', ' ');
  if (hazard == Hazard::none) word = "of this job";
  return word;
}

std::string gates(const PlanOutcome& plan) {
  std::string html =
      "<h3>Questions to answer first</h3><table><thead><tr><th>about</th><th>question</th><th>answer "
      "before</th><th>answer</th></tr></"
      "thead><tbody>";
  const auto rows = [&](const std::vector<HoldPoint>& holds) {
    for (const HoldPoint& h : holds)
      html += fmt::format("<tr><td>{}</td><td>{}</td><td>{}</td><td>{}</td></tr>", title_of(h.hazard),
                          escaped(h.question), joined(h.before),
                          h.answer.empty() ? "<span class=\"refused\">not answered</span>" : escaped(h.answer));
  };
  rows(plan.open_hold_points), rows(plan.met_hold_points);
  return html + "</tbody></table>";
}

std::string air_table(const PlanOutcome& plan, Workings& workings) {
  if (plan.air.empty()) return {};
  std::string html =
      "<h3>Fresh air, step by step</h3><table><thead><tr><th>step</th><th>vapour</th><th>against fire</th><th>for "
      "breathing</th><th>booth's face</th><th>needed</th><th>fan</th><th>enter without a respirator "
      "after</th><th>verdict</th></tr></thead>"
      "<tbody>";
  for (const StepAir& a : plan.air) {
    const std::string place = plan.title + ", " + a.step;
    html += fmt::format(
        "<tr><td>{}{}</td><td>{}</td><td>{}</td><td>{}</td><td>{}</td><td>{}</td><td>{}</td><td>{}</td><td>{}</td></"
        "tr>",
        joined({a.step}), a.drying ? " (drying)" : "", workings.cite(a.vapour_mass, place),
        workings.cite(a.asked.fire, place), workings.cite(a.asked.breathing, place),
        a.drying ? "\u2013" : workings.cite(a.asked.face, place),
        std::isfinite(a.asked.ruling.value) || !(a.asked.at_least.value > 0)
            ? workings.cite(a.asked.ruling, place)
            : "at least " + workings.cite(a.asked.at_least, place),
        workings.cite(a.fan, place),
        a.poison.empty() ? workings.cite(a.clear, place) : "no time can be given: " + escaped(a.poison),
        verdict_words(a.verdict));
  }
  return html + "</tbody></table>";
}

std::string cartridge_lines(const PlanOutcome& plan) {
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
  if (all.empty()) return {};
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
  std::string html = "<h3>Cartridges</h3><table><tbody>";
  for (const Line& l : rows) {
    const std::string names = safety::listed(l.solvents);
    html +=
        fmt::format("<tr><td>{}</td><td{}>{}</td><td>{}</td></tr>", escaped(names), l.bad ? " class=\"refused\"" : "",
                    escaped(l.before + (l.named ? names : "") + l.after), escaped(l.source));
  }
  return html + "</tbody></table>";
}

/// Cautions or waste of every hazard met in the plan, once each, with their sources.
std::string lines(const PlanOutcome& plan, const std::string& title, std::span<const Caution> (*of)(Hazard)) {
  std::string html;
  for (const auto* holds : {&plan.open_hold_points, &plan.met_hold_points})
    for (const HoldPoint& h : *holds)
      for (const Caution& c : of(h.hazard)) {
        const std::string item =
            fmt::format("<li>{} <span class=\"about\">({})</span></li>", escaped(std::string(c.says)),
                        c.source == "common_practice" ? "common practice, no source" : escaped(std::string(c.source)));
        if (html.find(item) == std::string::npos) html += item;
      }
  return html.empty() ? html : "<h3>" + title + "</h3><ul class=\"cautions\">" + html + "</ul>";
}

}  // namespace

std::string verdict_words(AirVerdict verdict) {
  switch (verdict) {
    case AirVerdict::enough:
      return "enough";
    case AirVerdict::enough_with_respirator:
      return "enough with the respirator";
    case AirVerdict::enough_with_nobody_in:
      return "enough against fire; keep everyone out";
    case AirVerdict::too_little:
      return "<span class=\"refused\">too little</span>";
    case AirVerdict::not_known:
      return "<span class=\"refused\">can't be assessed: data missing</span>";
    case AirVerdict::do_not_spray:
      return "<span class=\"refused\">do not spray</span>";
  }
  return {};
}

std::string safety_sheet(const PlanOutcome& plan, const Job& job, Workings& workings) {
  std::string html = "<section class=\"card safety\"><h2>Safety sheet: " + escaped(plan.title) + "</h2>";
  html += plan.ready ? "<p class=\"note remark\"><b>Every question of this plan is answered.</b></p>"
                     : fmt::format(
                           "<p class=\"note danger\"><b>Not ready.</b> Questions not answered: {}. Do not "
                           "begin.</p>",
                           plan.open_hold_points.size());
  html += "<p class=\"kicker\">" + escaped(job.title) +
          ". Planning help only: local codes and licensed practice decide. The label on the tin and its safety data "
          "sheet come "
          "before this page.</p>";
  html += gates(plan) + air_table(plan, workings) + cartridge_lines(plan);
  html += lines(plan, "Cautions", cautions_of) + lines(plan, "Waste", waste_of);
  return html + "</section>";
}

}  // namespace witnessline::papers
