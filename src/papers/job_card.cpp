// The job card: one plan's steps in order with the numbers a person needs at the bench.
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

/// Every setting of a step as "key value", read through its description.
struct Settings {
  const PaperSource& source;
  std::vector<std::string> lines;
  std::string where;

  void say(const Member& m, const std::string& value) {
    if (!value.empty())
      lines.push_back(spaced(std::string(m.key.substr(0, m.key.rfind(m.unit.symbol.empty() ? "\n" : "_")))) + " " +
                      value);
  }
  std::string named(const std::string& id) const {
    for (const Mixture& mixture : source.job.mixtures)
      if (mixture.id == id && !mixture.name.empty()) return mixture.name;
    const Material* material = source.library.find(id);
    return material ? short_name(*material) : spaced(id);
  }
  void operator()(const Member& m, double& v) {
    if (std::isfinite(v)) say(m, bench_value(v, m.unit, source.units));
  }
  void operator()(const Member& m, std::optional<double>& v) {
    if (v) say(m, bench_value(*v, m.unit, source.units));
  }
  void operator()(const Member& m, int& v) { say(m, std::to_string(v)); }
  void operator()(const Member& m, bool& v) { say(m, v ? "yes" : "no"); }
  void operator()(const Member& m, std::string& v) { say(m, v.empty() ? v : named(v)); }
  void operator()(const Member&, Where& v) { where = where_words(v); }
  template <class T>
  void operator()(const Member& m, T& v) {
    if constexpr (std::is_enum_v<T>) say(m, spaced(words(&v)[static_cast<std::size_t>(v)]));
  }
};

/// What an open question is about, in a word or two.
std::string subject_of(const HoldPoint& hold) {
  return hold.hazard == Hazard::none ? "another question"
                                     : spaced(words(&hold.hazard)[static_cast<std::size_t>(hold.hazard)]);
}

const ThicknessReading* reading_of(const StepOutcome& step, const std::string& region) {
  for (const ThicknessReading& t : step.thickness)
    if (t.region == region) return &t;
  return nullptr;
}

/// What the film must not fall below: the thinnest twentieth of the places a step cuts, after it.
std::string limit_words(const Traits& traits, const StepOutcome& before, const StepOutcome& after, BenchUnits units) {
  if (!traits.cuts || !traits.where) return {};
  const ThicknessReading* lowest = nullptr;
  for (const char* region : {"front", "back", "sides", "edge"}) {
    const ThicknessReading *was = reading_of(before, region), *is = reading_of(after, region);
    const bool cut = was && is && was->p5.value - is->p5.value > 0.5e-6;
    if (cut && is->p5.value > 0 && (!lowest || is->p5.value < lowest->p5.value)) lowest = is;
  }
  if (!lowest) return {};
  return fmt::format("Stop if the gauge on the {} reads under {} (thinnest 5 %, as calculated).", lowest->region,
                     typeset(lowest->p5.value, Quantity::film_thickness, units));
}

/// What to read and write down when the step is done.
std::vector<std::string> blanks_of(const Traits& traits) {
  std::vector<std::string> blanks{"date"};
  if (traits.lays || traits.cuts) blanks.emplace_back("film gauge");
  if (traits.lays) blanks.emplace_back("cup, s"), blanks.emplace_back("batch");
  if (traits.lays || traits.rests) blanks.emplace_back("air, \u00b0 and % RH");
  return blanks;
}

}  // namespace

Tree job_card(const PlanPaper& paper) {
  const BenchUnits units = paper.source.units;
  std::map<std::string, std::size_t> asked_at;  // a question is printed in full where it is first met
  Tree steps = Tree::empty_list();
  double clock_s = 0;
  for (std::size_t i = 0; i < paper.plan.steps.size() && i + 1 < paper.worked.steps.size(); ++i) {
    PlannedStep step = paper.plan.steps[i];
    const StepOutcome &before = paper.worked.steps[i], &after = paper.worked.steps[i + 1];
    const Traits traits = traits_of(step.step);
    const std::string word(word_of(step.step));
    Settings settings{paper.source, {}, ""};
    std::visit([&](auto& s) { describe(settings, s); }, step.step);
    const Headline big =
        headline_of(step.step, [units](double si, Quantity quantity) { return typeset(si, quantity, units); });
    Tree holds = Tree::empty_list();
    std::string asked_above;
    for (const HoldPoint& hold : paper.worked.open_hold_points) {
      if (std::find(hold.before.begin(), hold.before.end(), word) == hold.before.end() &&
          std::find(hold.before.begin(), hold.before.end(), step.id) == hold.before.end())
        continue;
      const auto [asked, first] = asked_at.emplace(hold.question, i + 1);
      if (first)
        holds.list.push_back(text(hold.question));
      else
        asked_above += fmt::format("{}{} (step {})", asked_above.empty() ? "" : ", ", subject_of(hold), asked->second);
    }
    std::string detail;
    for (const std::string& line : settings.lines) detail += (detail.empty() ? "" : " \u00b7 ") + line;
    std::vector<Note> own = after.notes;
    for (Note& note : own) note.about.clear();
    clock_s += after.waiting.value + 3 * after.hands_on.value;  // a working day is 8 h
    const std::string until =
        traits.rests ? day_after(paper.source.job.start, std::ceil(clock_s / unit::day.scale)) : "";
    steps.list.push_back(fields({{"number", Tree::of(static_cast<std::int64_t>(i + 1))},
                                 {"word", text(spaced(word))},
                                 {"where", text(settings.where)},
                                 {"why", text(step.why)},
                                 {"detail", text(detail)},
                                 {"limit", text(limit_words(traits, before, after, units))},
                                 {"until", text(until)},
                                 {"big", text(big.number)},
                                 {"caption", text(big.caption)},
                                 {"holds", std::move(holds)},
                                 {"asked_above", text(asked_above)},
                                 {"cautions", notes(own, Severity::caution)},
                                 {"blanks", each(blanks_of(traits), [](const auto& b) { return text(b); })}}));
  }
  return fields({{"steps", std::move(steps)}});
}

}  // namespace witnessline::papers
