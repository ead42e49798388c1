#include "job/spots.h"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "job/supplies.h"

namespace witnessline::job {

namespace {

constexpr double smallest_m2 = 1e-4;  // a square centimetre: less is the ragged edge of a zone

template <class Is>
bool any_part(const std::string& id, const Job& job, const Library& library, const Is& is) {
  PaintTin tin;
  tin.material = id;
  for (const Part& part : with_parts(tin, job).parts)
    if (const Material* m = library.find(part.material); m != nullptr && is(*m)) return true;
  const Material* alone = library.find(id);
  return alone != nullptr && is(*alone);
}

struct Laying {
  std::string id, mixture;
  const Where& where;
};

/// True when a spot was laid from what the step will be laid from: that paint, and, where the spot names a batch and
/// the shelf the batches of that paint, one of those.
bool is_of(const PaintTin& tried, const std::string& paint, const Job& job) {
  if (tried.material != paint) return false;
  bool named = false, same = false;
  for (const PaintTin& tin : job.shelf)
    if (tin.material == paint && !tin.batch.empty()) named = true, same |= tin.batch == tried.batch;
  return tried.batch.empty() || !named || same;
}

/// A spot speaks for a step when it was laid on that coat, from that tin, in the step's zone or everywhere.
bool speaks_for(const SpotTest& spot, SpotKind kind, const std::string& coat, const Laying& step, const Job& job) {
  if (spot.kind != kind || spot.coat != coat) return false;
  if (spot.with && !is_of(*spot.with, step.mixture, job)) return false;
  if (spot.where.on.empty()) return true;
  return !step.where.on.empty() && std::all_of(step.where.on.begin(), step.where.on.end(), [&](const auto& zone) {
    return std::find(spot.where.on.begin(), spot.where.on.end(), zone) != spot.where.on.end();
  });
}

const char* question(SpotKind kind) {
  switch (kind) {
    case SpotKind::fisheye:
      return "Does fresh finish flow out without fisheyes on a cleaned spot of {}?";
    case SpotKind::bleed:
      return "Is a spot of the light coat over {} free of bleed after a week?";
    case SpotKind::wrinkle:
      return "After a day, has a full wet spot on {} dried without lifting or crazing it?";
    case SpotKind::bond:
      break;
  }
  return "Does a spot on scuffed {} pass a cross-cut and tape test after a week?";
}

const char* fix(SpotKind kind) {
  switch (kind) {
    case SpotKind::fisheye:
      return " A spot failed: silicone or wax. Wash with naphtha on fresh cloths, wipe dry each time, then soap and "
             "water, and spray a fresh spot. Seal with shellac; do not add silicone to the finish.";
    case SpotKind::bleed:
      return " A spot failed: seal the colour with shellac or a coat that does not dissolve it, then spray a "
             "fresh spot.";
    case SpotKind::wrinkle:
      return " A spot failed: put shellac between, spray mist coats, or use another finish; then spray a fresh spot.";
    case SpotKind::bond:
      break;
  }
  return " A spot failed: wash, scuff, and spray a fresh spot.";
}

}  // namespace

bool may_bleed(const Material& m) {
  if (m.role == Role::toner) return true;
  if (m.role != Role::colorant || !m.drawdown) return false;
  const auto at = [&](double wavelength_nm) {
    return m.drawdown->over_white[static_cast<int>((wavelength_nm - first_band_nm) / band_step_nm)];
  };
  return at(640) > 2 * at(530);
}

bool light(const Material& m) {
  if (m.role == Role::primer) return true;
  if (m.role != Role::colorant || !m.drawdown) return false;
  return m.drawdown->over_white[static_cast<int>((560 - first_band_nm) / band_step_nm)] > 0.4;
}

std::vector<HoldPoint> open_spots(const Job& job, const Plan& plan, const Run& run, const Library& library) {
  std::vector<HoldPoint> open;
  std::set<std::pair<SpotKind, std::string>> asked;
  for (std::size_t i = 0; i < plan.steps.size() && i + 1 < run.steps.size(); ++i) {
    const Traits traits = traits_of(plan.steps[i].step);
    if (!traits.lays || !traits.where) continue;
    const Laying step{plan.steps[i].id, std::string(traits.lays->mixture), *traits.where};
    const auto ask = [&](SpotKind kind, const std::string& coat) {
      if (!asked.insert({kind, coat}).second) return;
      bool clear = false, fails = false;
      for (const SpotTest& spot : job.spots) {  // the last word counts
        if (spot.result == SpotResult::not_done || !speaks_for(spot, kind, coat, step, job)) continue;
        clear = spot.result == SpotResult::clear, fails = spot.result == SpotResult::fails;
      }
      if (clear) return;
      const std::string on = coat == "wood" ? "the bare wood" : "'" + coat + "'";
      open.push_back(
          {fmt::format(fmt::runtime(question(kind)), on) + (fails ? fix(kind) : ""), {step.id}, plan.id, ""});
    };
    for (const LaidOn& ground : run.steps[i + 1].laid_on) {
      if (ground.area_m2 < smallest_m2 || ground.origin == Origin::this_plan) continue;
      if (ground.coat == "wood") {
        if (!job.coats.empty()) ask(SpotKind::fisheye, "wood");  // polish has gone into wood that was finished
        continue;
      }
      const auto coat = std::find_if(job.coats.begin(), job.coats.end(),
                                     [&](const ExistingCoat& c) { return c.name == ground.coat; });
      if (coat == job.coats.end()) continue;
      ask(SpotKind::fisheye, coat->name);
      if (any_part(coat->mixture, job, library, may_bleed) && any_part(step.mixture, job, library, light))
        ask(SpotKind::bleed, coat->name);
      if (ground.meeting == Meeting::lifts_or_crazes || ground.meeting == Meeting::unknown)
        ask(SpotKind::wrinkle, coat->name);
      if (ground.meeting == Meeting::sits_on_top) ask(SpotKind::bond, coat->name);  // it holds by its key alone
    }
  }
  return open;
}

}  // namespace witnessline::job
