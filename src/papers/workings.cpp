// Workings: every number of a plan by the law it follows, with an index, for whoever doubts one.
#include <algorithm>
#include <map>

#include "papers/page.h"

namespace witnessline::papers {
namespace {

struct Row {
  std::string name, value, band, inputs;
};
struct Law {
  std::string law, source;
  Kind kind{};
  std::vector<Row> rows;
};

/// Figures gathered by their law; a number stated twice stands once.
class Gathered {
 public:
  explicit Gathered(BenchUnits units) : units_(units) {}

  void add(const Figure& f, const std::string& place = "") {
    if (f.name.empty()) return;  // nothing was asked: water is not sprayed, so nobody needs a chance that it is enough
    auto law = std::find_if(laws_.begin(), laws_.end(),
                            [&](const Law& l) { return l.law == f.law && l.source == f.source && l.kind == f.kind; });
    if (law == laws_.end()) law = laws_.insert(laws_.end(), {f.law, f.source, f.kind, {}});
    std::string inputs;
    for (const Input& i : f.inputs) {
      inputs += (inputs.empty() ? "" : "; ") + i.name + " " + typeset(show(i.value, i.quantity, units_));
      if (i.kind != Kind::computed)
        inputs += std::string(" (") + name_of(i.kind) + (i.source.empty() ? ")" : ", " + i.source + ")");
    }
    const Shown s = shown(f.value, f.band, f.quantity, units_);
    Row row{place.empty() ? f.name : f.name + ", " + place, typeset(s.text), typeset(s.band), inputs};
    const auto same = [&](const Row& r) { return r.name == row.name && r.value == row.value; };
    if (std::any_of(law->rows.begin(), law->rows.end(), same)) return;
    law->rows.push_back(std::move(row));
    index_.emplace(f.name, law - laws_.begin() + 1);
  }

  Tree tree() const {
    std::int64_t number = 0;
    Tree laws = each(laws_, [&](const Law& law) {
      const bool same_inputs = std::all_of(law.rows.begin(), law.rows.end(),
                                           [&](const Row& r) { return r.inputs == law.rows.front().inputs; });
      return fields({{"law_number", Tree::of(++number)},
                     {"law", text(law.law.empty() ? "used as given" : law.law)},
                     {"kind", text(law.kind == Kind::estimate ? "ESTIMATE" : name_of(law.kind))},
                     {"source", text(law.source)},
                     {"shared", text(same_inputs && !law.rows.empty() ? law.rows.front().inputs : "")},
                     {"rows", each(law.rows, [&](const Row& r) {
                        return fields({{"name", text(r.name)},
                                       {"value", text(r.value)},
                                       {"band", text(r.band)},
                                       {"inputs", text(same_inputs ? "" : r.inputs)}});
                      })}});
    });
    Tree index = each(index_, [](const auto& entry) {
      return fields({{"name", text(entry.first)}, {"at", Tree::of(static_cast<std::int64_t>(entry.second))}});
    });
    return fields({{"laws", std::move(laws)}, {"index", std::move(index)}});
  }

 private:
  BenchUnits units_;
  std::vector<Law> laws_;
  std::map<std::string, std::ptrdiff_t> index_;
};

}  // namespace

Tree workings(const PlanPaper& paper) {
  Gathered all(paper.source.units);
  const PlanOutcome& plan = paper.worked;
  for (const Figure* f : {&plan.kept_fraction, &plan.touched_fraction, &plan.carried_out, &plan.days, &plan.hands_on,
                          &plan.waiting, &plan.cost})
    all.add(*f, "whole plan");
  if (plan.to_target) all.add(*plan.to_target, "whole plan");
  const StepOutcome* before = nullptr;
  for (const StepOutcome& step : plan.steps) {
    const std::string place = step.id == "before" ? "before" : "after " + spaced(step.id);
    all.add(step.hands_on, place), all.add(step.waiting, place), all.add(step.kept.kept_fraction, place);
    if (step.to_target) all.add(*step.to_target, place);
    for (std::size_t i = 0; i < step.thickness.size(); ++i) {  // only where the step changed it
      const ThicknessReading &is = step.thickness[i], *was = before ? &before->thickness[i] : nullptr;
      if (!was || was->p5.value != is.p5.value) all.add(is.p5, place);
      if (!was || was->median.value != is.median.value) all.add(is.median, place);
    }
    before = &step;
    if (step.ageing)
      for (const Ring& ring : step.ageing->rings) all.add(ring.width, ring.coat + ", " + place);
  }
  if (!plan.steps.empty())
    for (const StepOutcome* step : {&plan.steps.front(), &plan.steps.back()}) {
      const std::string place = step == &plan.steps.front() ? "before" : "at the end";
      for (const ThicknessReading& t : step->thickness) all.add(t.area), all.add(t.min, place), all.add(t.p95, place);
      for (const ExposedReading& e : step->exposed) all.add(e.area, place);
      const KeptReading& k = step->kept;
      for (const Figure* f :
           {&k.visible_area, &k.buried_area, &k.visible_volume, &k.buried_volume, &k.dissolved_volume})
        all.add(*f, place);
    }
  for (const MaterialUse& use : plan.used) {
    const std::string name = use.name.empty() ? spaced(use.material) : use.name;
    for (const Figure* f : {&use.volume, &use.mass, &use.left_on_shelf, &use.needed, &use.enough}) all.add(*f, name);
  }
  for (const StepAir& a : plan.air)
    for (const Figure* f : {&a.vapour_mass, &a.asked.fire, &a.asked.breathing, &a.asked.face, &a.asked.ruling, &a.fan,
                            &a.peak_of_limit, &a.peak_of_danger, &a.clear})
      all.add(*f, spaced(a.step));
  return all.tree();
}

}  // namespace witnessline::papers
