#include "papers/job_card.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "papers/page.h"

namespace witnessline::papers {
namespace {

/// A value in the bench unit of its key, in the units a person chose.
std::string bench_value(double si, const Unit& key, BenchUnits units) {
  static const std::vector<std::pair<std::string_view, Quantity>> kinds{
      {"um", Quantity::film_thickness}, {"mm", Quantity::length},    {"mL", Quantity::film_volume},
      {"degC", Quantity::temperature},  {"pct", Quantity::fraction}, {"h", Quantity::duration},
      {"Mlx h", Quantity::light_dose},  {"g", Quantity::mass}};
  for (const auto& [symbol, quantity] : kinds)
    if (symbol == key.symbol) return typeset(si, quantity, units);
  const std::string symbol(key.symbol);
  return fmt::format("{:g}{}{}", key.from_si(si), symbol.empty() ? "" : "\u00a0", symbol);
}

/// Every setting of a step as "doc: value", read through its description.
struct Settings {
  BenchUnits units;
  std::vector<std::string> lines;
  std::string where;

  void say(const Member& m, const std::string& value) {
    if (!value.empty())
      lines.push_back(std::string(m.key.substr(0, m.key.rfind(m.unit.symbol.empty() ? "\n" : "_"))) + " " + value);
  }
  void operator()(const Member& m, double& v) {
    if (std::isfinite(v)) say(m, bench_value(v, m.unit, units));
  }
  void operator()(const Member& m, std::optional<double>& v) {
    if (v) say(m, bench_value(*v, m.unit, units));
  }
  void operator()(const Member& m, int& v) { say(m, std::to_string(v)); }
  void operator()(const Member& m, bool& v) { say(m, v ? "yes" : "no"); }
  void operator()(const Member& m, std::string& v) { say(m, v); }
  void operator()(const Member&, Where& v) { where = where_words(v); }
  template <class T>
  void operator()(const Member& m, T& v) {
    if constexpr (std::is_enum_v<T>) say(m, words(&v)[static_cast<std::size_t>(v)]);
  }
};

/// What an open question is about, in a word or two.
std::string subject_of(const HoldPoint& hold) {
  if (hold.hazard == Hazard::none) return "another question";
  std::string word = words(&hold.hazard)[static_cast<std::size_t>(hold.hazard)];
  std::replace(word.begin(), word.end(), '_', ' ');
  return word;
}

}  // namespace

std::string where_words(const Where& where) {
  const auto joined = [](const std::vector<std::string>& words) {
    std::string text;
    for (const std::string& word : words) text += (text.empty() ? "" : ", ") + word;
    std::replace(text.begin(), text.end(), '_', ' ');
    return text;
  };
  std::string text = where.on.empty() ? (where.patches.empty() ? "everywhere" : "") : joined(where.on);
  if (!where.patches.empty())
    text += (text.empty() ? "" : ", ") +
            fmt::format("{} marked place{}", where.patches.size(), where.patches.size() == 1 ? "" : "s");
  if (!where.except.empty()) text += "; not " + joined(where.except);
  return text;
}

std::string job_card(const Plan& plan, const PlanOutcome& outcome, const Job& job, BenchUnits units) {
  std::string html =
      fmt::format("<section class=\"card\"><h2>Job card: {}</h2><p class=\"kicker\">{}</p>", escaped(plan.title),
                  escaped(job.title + (job.start.empty() ? "" : ", from " + job.start)));
  if (job.consent.plan != plan.id)
    html += "<p class=\"note danger\"><b>Not agreed.</b> The owner has not agreed to this plan. Do not begin.</p>";
  if (!outcome.ready)
    html += fmt::format(
        "<p class=\"note danger\"><b>Not ready.</b> {} question{} not answered. Do not "
        "begin.</p>",
        outcome.open_hold_points.size(), outcome.open_hold_points.size() == 1 ? " is" : "s are");
  html += "<ol>";
  std::map<std::string, std::size_t> asked_at;  // a question is printed in full where it is first met
  for (std::size_t i = 0; i < plan.steps.size(); ++i) {
    PlannedStep step = plan.steps[i];
    const std::string word(word_of(step.step));
    Settings settings{units, {}, ""};
    std::visit([&](auto& s) { describe(settings, s); }, step.step);
    std::string detail;
    for (const std::string& line : settings.lines) detail += (detail.empty() ? "" : " \u00b7 ") + line;
    std::replace(detail.begin(), detail.end(), '_', ' ');
    std::string stated = word;
    std::replace(stated.begin(), stated.end(), '_', ' ');
    const Headline big =
        headline_of(step.step, [units](double si, Quantity quantity) { return typeset(si, quantity, units); });
    html +=
        fmt::format("<li><span class=\"no\">{}</span><div class=\"what\"><b>{}</b> {}<span>{}</span><span>{}</span>",
                    i + 1, escaped(stated), escaped(settings.where), escaped(step.why), escaped(detail));
    std::string asked_above;
    for (const HoldPoint& hold : outcome.open_hold_points) {
      if (std::find(hold.before.begin(), hold.before.end(), word) == hold.before.end() &&
          std::find(hold.before.begin(), hold.before.end(), step.id) == hold.before.end())
        continue;
      const auto [asked, first] = asked_at.emplace(hold.question, i + 1);
      if (first)
        html += "<p class=\"hold\"><b>HOLD.</b> " + escaped(hold.question) + "</p>";
      else
        asked_above += fmt::format("{}{} (step {})", asked_above.empty() ? "" : ", ", subject_of(hold), asked->second);
    }
    if (!asked_above.empty()) html += "<p class=\"hold\"><b>HOLD.</b> Asked above: " + escaped(asked_above) + ".</p>";
    if (i + 1 < outcome.steps.size()) {
      std::vector<Note> grave;
      for (const Note& note : outcome.steps[i + 1].notes)
        if (note.severity != Severity::information) grave.push_back({note.severity, note.text, ""});
      html += note_boxes(grave);
    }
    html += fmt::format("</div><div class=\"big\">{}<small>{}</small></div></li>", escaped(big.number),
                        escaped(big.caption));
  }
  return html + "</ol></section>";
}

}  // namespace witnessline::papers
