#include "job/spots.h"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "drying/compatibility.h"

namespace witnessline {

namespace {

constexpr double smallest_m2 = 1e-4;  // a square centimetre: less is the ragged edge of a zone

std::vector<Part> parts_of(const std::string& id, const Job& job) {
  for (const Mixture& m : job.mixtures)
    if (m.id == id) return m.parts;
  return {{id, 1.0}};
}

template <class Is>
bool any_part(const std::string& id, const Job& job, const Library& library, const Is& is) {
  for (const Part& part : parts_of(id, job))
    if (const Material* m = library.find(part.material); m != nullptr && is(*m)) return true;
  return false;
}

/// The part that binds a paint: the largest with a binder.
const Material* main_part(const std::string& id, const Job& job, const Library& library) {
  const Material* main = nullptr;
  double most = 0;
  for (const Part& part : parts_of(id, job)) {
    const Material* m = library.find(part.material);
    if (m != nullptr && m->binder != Binder::none && part.mass_fraction > most) main = m, most = part.mass_fraction;
  }
  return main;
}

struct Laying {
  std::string id, mixture, thinner;
  double wet_m = 0, thinning = 0;
  int coats = 1;
  const Where* where = nullptr;
};

std::optional<Laying> laying(const PlannedStep& planned) {
  if (const auto* s = std::get_if<Spray>(&planned.step))
    return Laying{planned.id, s->mixture, s->thinner, s->wet_m, s->thinning, s->coats, &s->where};
  if (const auto* s = std::get_if<MeltIn>(&planned.step))
    return Laying{planned.id, s->mixture, s->thinner, s->wet_m, s->thinning, 1, &s->where};
  return std::nullopt;
}

/// A spot speaks for a step when it was laid on that coat, with that paint, in the step's zone or everywhere.
bool speaks_for(const SpotTest& spot, SpotKind kind, const std::string& coat, const Laying& step) {
  if (spot.kind != kind || spot.coat != coat) return false;
  if (!spot.with.empty() && spot.with != step.mixture) return false;
  if (spot.where.on.empty()) return true;
  return !step.where->on.empty() && std::all_of(step.where->on.begin(), step.where->on.end(), [&](const auto& zone) {
    return std::find(spot.where.on.begin(), spot.where.on.end(), zone) != spot.where.on.end();
  });
}

const char* question(SpotKind kind) {
  switch (kind) {
    case SpotKind::fisheye:
      return "Does fresh finish lie down without fisheyes on a cleaned spot of {}?";
    case SpotKind::bleed:
      return "Does the colour of {} stay down under a spot of the light coat, looked at after a week?";
    case SpotKind::wrinkle:
      return "Does a full wet spot lie on {} without lifting or crazing it, looked at after a day?";
    case SpotKind::bond:
      break;
  }
  return "Does tape leave the dry spot on {}?";
}

const char* mend(SpotKind kind) {
  switch (kind) {
    case SpotKind::fisheye:
      return " A spot failed: silicone or wax; wash with naphtha on fresh cloths, dry off each, then soap and water, "
             "and "
             "lay a fresh spot. Shellac over it, not silicone into the paint.";
    case SpotKind::bleed:
      return " A spot failed: seal the colour with shellac or a coat of the kind it does not dissolve in, and lay a "
             "fresh "
             "spot.";
    case SpotKind::wrinkle:
      return " A spot failed: shellac between, mist coats, or another finish; then lay a fresh spot.";
    case SpotKind::bond:
      break;
  }
  return " A spot failed: wash, key, and lay a fresh spot.";
}

/// Whether the pair asks for a spot: anything but a harmless verdict. What cannot be worked out is asked too.
bool may_wrinkle(const Laying& step, const ExistingCoat& coat, const Job& job, const Library& library) {
  const Material *fresh = main_part(step.mixture, job, library), *old = main_part(coat.mixture, job, library);
  if (fresh == nullptr || old == nullptr) return true;
  const Datum* solids = fresh->find(Property::volume_solids);
  Result<CarrierBlend> carrier = usual_carrier(fresh->binder, library);
  if (!carrier || solids == nullptr) return true;
  if (!step.thinner.empty()) {
    const Result<CarrierBlend> thinner = carrier_of(step.thinner, library);
    if (!thinner) return true;
    carrier = thinned(*carrier, solids->value, *thinner, step.thinning);
  }
  const double film_fraction = solids->value / (1 + step.thinning);
  Draught air;
  air.temperature_K = job.shop.temperature_K;
  const Result<Compatibility> found =
      compatibility({fresh, *carrier, step.wet_m * (1 - film_fraction), step.wet_m * film_fraction,
                     step.coats * step.wet_m * film_fraction},
                    {old, coat.thickness_m}, air, library);
  return !found || found->verdict == Meeting::lifts_or_crazes || found->verdict == Meeting::unknown;
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
    const std::optional<Laying> step = laying(plan.steps[i]);
    if (!step) continue;
    const auto ask = [&](SpotKind kind, const std::string& coat) {
      if (!asked.insert({kind, coat}).second) return;
      bool clear = false, fails = false;
      for (const SpotTest& spot : job.spots) {  // the last word counts
        if (spot.result == SpotResult::not_done || !speaks_for(spot, kind, coat, *step)) continue;
        clear = spot.result == SpotResult::clear, fails = spot.result == SpotResult::fails;
      }
      if (clear) return;
      const std::string on = coat == "wood" ? "the bare wood" : "'" + coat + "'";
      open.push_back(
          {fmt::format(fmt::runtime(question(kind)), on) + (fails ? mend(kind) : ""), {step->id}, plan.id, ""});
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
      if (any_part(coat->mixture, job, library, may_bleed) && any_part(step->mixture, job, library, light))
        ask(SpotKind::bleed, coat->name);
      if (may_wrinkle(*step, *coat, job, library)) ask(SpotKind::wrinkle, coat->name);
    }
  }
  return open;
}

}  // namespace witnessline
