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
        escaped(a.step), a.drying ? " (drying)" : "", workings.cite(a.vapour_mass, place),
        workings.cite(a.asked.fire, place), workings.cite(a.asked.breathing, place),
        a.drying ? "\u2013" : workings.cite(a.asked.face, place), workings.cite(a.asked.ruling, place),
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
  std::string html = "<h3>Cartridges</h3><table><tbody>";
  for (const CartridgeAnswer& c : all) {
    const bool bad = c.fit != CartridgeFit::holds;
    html += fmt::format("<tr><td>{}</td><td{}>{}</td><td>{}</td></tr>", escaped(c.solvent),
                        bad ? " class=\"refused\"" : "", escaped(c.says), escaped(c.source));
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
