// The owner's report: what was original and still is, what a plan adds and how it comes off again, how to keep it.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "papers/page.h"

namespace witnessline::papers {
namespace {

constexpr int still_px = 620;

const Material* paint_of(const std::string& id, const PaperSource& source) {
  if (const Material* material = source.library.find(id)) return material;
  for (const Mixture& mixture : source.job.mixtures)
    if (mixture.id == id)
      for (const Part& part : mixture.parts)
        if (const Material* material = source.library.find(part.material); material && material->binder != Binder::none)
          return material;
  return nullptr;
}

/// What takes a coat off again without cutting (common practice, no source).
std::string comes_off_with(Binder binder) {
  switch (binder) {
    case Binder::nitrocellulose:
    case Binder::acrylic:
    case Binder::vinyl:
      return "lacquer thinner dissolves it, and any lacquer under it";
    case Binder::shellac:
    case Binder::spirit_varnish:
      return "alcohol dissolves it, and any spirit finish under it";
    case Binder::oil_varnish:
    case Binder::alkyd:
      return "paint remover softens it; nothing dissolves it";
    case Binder::polyurethane:
    case Binder::polyester:
    case Binder::catalysed:
    case Binder::two_pack_polyurethane:
      return "only scraping or sanding: it can't be dissolved";
    case Binder::water_borne:
      return "a test must show";
    case Binder::none:
      break;
  }
  return "not known: test it";
}

std::string name_of(const std::string& id, const PaperSource& source) {
  for (const Mixture& mixture : source.job.mixtures)
    if (mixture.id == id && !mixture.name.empty()) return mixture.name;
  const Material* material = source.library.find(id);
  return material ? short_name(*material) : spaced(id);
}

std::string batches_of(const StepOutcome& step, const std::string& mixture, const Job& job) {
  std::vector<std::string> batches;
  for (const PaintTin& tin : job.shelf) {
    const bool used = tin.material == mixture || std::any_of(step.used.begin(), step.used.end(),
                                                             [&](const auto& u) { return u.material == tin.material; });
    if (used && !tin.batch.empty()) batches.push_back(tin.batch);
  }
  return listed(batches);
}

/// Dry finish a step laid of its own coat.
std::string dry_laid(const StepOutcome& step, BenchUnits units) {
  double laid_m3 = 0;
  for (const CoatVolumes& v : step.volumes)
    if (v.coat == step.id) laid_m3 += v.laid_m3;
  return laid_m3 > 0 ? typeset(laid_m3, Quantity::film_volume, units) : "\u2013";
}

Tree added(const PlanPaper& paper) {
  Tree rows = Tree::empty_list();
  for (std::size_t i = 0; i < paper.plan.steps.size() && i + 1 < paper.worked.steps.size(); ++i) {
    const Traits traits = traits_of(paper.plan.steps[i].step);
    if (!traits.lays) continue;
    const StepOutcome& done = paper.worked.steps[i + 1];
    const std::string id(traits.lays->mixture);
    const Material* paint = paint_of(id, paper.source);
    rows.list.push_back(fields({{"number", Tree::of(static_cast<std::int64_t>(i + 1))},
                                {"step", text(spaced(done.id))},
                                {"material", text(name_of(id, paper.source))},
                                {"batch", text(batches_of(done, id, paper.source.job))},
                                {"where", text(traits.where ? where_words(*traits.where) : "")},
                                {"coats", Tree::of(static_cast<std::int64_t>(traits.lays->coats))},
                                {"dry", text(dry_laid(done, paper.source.units))},
                                {"off", text(comes_off_with(paint ? paint->binder : Binder::none))}}));
  }
  return rows;
}

Tree regions(const StepOutcome& before, const StepOutcome& end, BenchUnits units) {
  Tree rows = Tree::empty_list();
  for (const ThicknessReading& now : end.thickness) {
    if (now.region != "front" && now.region != "back" && now.region != "sides" && now.region != "edge") continue;
    for (const ThicknessReading& then : before.thickness)
      if (then.region == now.region)
        rows.list.push_back(fields({{"region", text(now.region)},
                                    {"area", figure(now.area, units)},
                                    {"before", figure(then.median, units)},
                                    {"thinnest", figure(now.p5, units)},
                                    {"median", figure(now.median, units)},
                                    {"thickest", figure(now.p95, units)}}));
  }
  return rows;
}

Tree in_sight(const StepOutcome& before, const StepOutcome& end, BenchUnits units) {
  Tree rows = Tree::empty_list();
  for (const ExposedReading& now : end.exposed) {
    const auto then = std::find_if(before.exposed.begin(), before.exposed.end(), [&](const ExposedReading& e) {
      return e.coat == now.coat && e.origin == now.origin;
    });
    const bool was = then != before.exposed.end() && then->area.value > 0.5 * unit::cm2.scale;
    if (now.area.value < 0.5 * unit::cm2.scale && !was) continue;
    const char* origin = now.coat == "wood"               ? "\u2013"
                         : now.origin == Origin::original ? "original"
                         : now.origin == Origin::later    ? "later"
                                                          : "this plan";
    rows.list.push_back(fields({{"coat", text(now.coat == "wood" ? "bare wood" : spaced(now.coat))},
                                {"origin", text(origin)},
                                {"before", was ? figure(then->area, units) : Tree::of(false)},
                                {"after", now.area.value > 0 ? figure(now.area, units) : Tree::of(false)}}));
  }
  return rows;
}

}  // namespace

Tree owners_report(const PlanPaper& paper) {
  const PlanOutcome& plan = paper.worked;
  const Job& job = paper.source.job;
  const BenchUnits units = paper.source.units;
  if (plan.steps.empty()) return {};
  const StepOutcome &before = plan.steps.front(), &end = plan.steps.back();
  const bool had_original = std::isfinite(plan.kept_fraction.value);
  Tree steps = Tree::empty_list();
  for (std::size_t i = 1; i < plan.steps.size(); ++i)
    steps.list.push_back(fields({{"number", Tree::of(static_cast<std::int64_t>(i))},
                                 {"word", text(spaced(plan.steps[i].word))},
                                 {"step", text(spaced(plan.steps[i].id))}}));
  std::vector<std::string> new_materials;
  for (const PlannedStep& step : paper.plan.steps)
    if (const auto lays = traits_of(step.step).lays) {
      const std::string name = name_of(std::string(lays->mixture), paper.source);
      if (std::find(new_materials.begin(), new_materials.end(), name) == new_materials.end())
        new_materials.push_back(name);
    }
  return fields(
      {{"summary", text(plan.summary)},
       {"agreed", yes(paper.agreed())},
       {"agreed_on", text(job.consent.date)},
       {"agreed_words", text(job.consent.words)},
       {"before",
        paper.pictures ? picture(paper.pictures->before, "front before the work", still_px) : Tree::of(false)},
       {"after", paper.pictures ? picture(paper.pictures->after, "front after the work", still_px) : Tree::of(false)},
       {"map", text(paper.pictures ? paper.pictures->map : "")},
       {"map_before", text(paper.pictures ? paper.pictures->map_before : "")},
       {"had_original", yes(had_original)},
       {"kept", figure(plan.kept_fraction, units)},
       {"touched", figure(plan.touched_fraction, units)},
       {"visible_before", figure(before.kept.visible_area, units)},
       {"visible", figure(end.kept.visible_area, units)},
       {"buried_before", figure(before.kept.buried_area, units)},
       {"buried", figure(end.kept.buried_area, units)},
       {"dissolved", figure(end.kept.dissolved_volume, units)},
       {"to_target", plan.to_target ? figure(*plan.to_target, units) : Tree::of(false)},
       {"days", figure_in_days(plan.days)},
       {"added", added(paper)},
       {"adds", yes(!new_materials.empty())},
       {"new_materials", text(listed(new_materials))},
       {"regions", regions(before, end, units)},
       {"in_sight", in_sight(before, end, units)},
       {"steps", std::move(steps)},
       {"parts", each(job.parts, [](const PartRecord& p) {
          return fields({{"part", text(p.name)},
                         {"origin", text(p.original ? "believed original" : "not original")},
                         {"condition", text(p.condition)}});
        })}});
}

}  // namespace witnessline::papers
