// Air asked for by the steps of a plan, from the books of its run.
#include <algorithm>
#include <cmath>
#include <limits>
#include <map>

#include "bench/laws.h"
#include "safety/air_advice.h"
#include "safety/gate.h"
#include "safety/handled.h"
#include "safety/ignition.h"
#include "safety/room_air.h"

namespace witnessline::safety {

namespace {

constexpr double shortest_coat_s = 60;  // ESTIMATE
constexpr double first_hour_s = 3600;   // ESTIMATE: a wait's solvent leaves within this (docs/estimates.md)
constexpr double least_m3 = 1e-9;       // a thousandth of a millilitre of liquid is no vapour to speak of

/// What evaporates of the liquids of a step, as volumes [m3]: a flow of that many m3/s over one second.
std::vector<VapourFlow> volatiles(const Ledger& ledger, const Guarded& g) {
  std::vector<VapourFlow> flows;
  for (const Used& used : ledger.used)
    if (const Material* material = g.bench.library.find(used.material))
      add_vapours(flows, *material, used.volume_m3, g.bench.library, g.contents);
  return flows;
}

/// What a property of a step's liquids names, each once: poison_of_mist, given_off_curing.
std::string held_in(const Ledger& ledger, const Library& library, std::string (*of)(const Material&)) {
  std::string all;
  for (const Used& used : ledger.used)
    if (const Material* material = library.find(used.material)) {
      const std::string held = of(*material);
      if (!held.empty() && all.find(held) == all.npos) all += (all.empty() ? "" : ", ") + held;
    }
  return all;
}

double total_m3(const std::vector<VapourFlow>& flows) {
  double sum = 0;
  for (const VapourFlow& f : flows) sum += f.of.harmless ? 0.0 : f.liquid_m3_s;
  return sum;
}

std::vector<VapourFlow> times(std::vector<VapourFlow> flows, double factor) {
  for (VapourFlow& f : flows) f.liquid_m3_s *= factor;
  return flows;
}

/// Adds flows of the same liquids up.
void add_flows(std::vector<VapourFlow>& all, const std::vector<VapourFlow>& more) {
  for (const VapourFlow& f : more) {
    const auto same = std::find_if(all.begin(), all.end(), [&](const VapourFlow& l) { return l.of.id == f.of.id; });
    if (same != all.end())
      same->liquid_m3_s += f.liquid_m3_s;
    else
      all.push_back(f);
  }
}

StepAir record_of(const Guarded& g, const StepResult& result, const Spraying& spraying, double volume_m3, bool drying,
                  bool gun, std::string poison) {
  StepAir air;
  air.step = result.id, air.word = result.word, air.drying = drying, air.poison = std::move(poison);
  const VapourMix mix = mix_of(spraying.flows, spraying.temperature_K);
  const double liquid_m3_s = total_m3(spraying.flows);
  air.vapour_mass.name = "solvent into the air", air.vapour_mass.quantity = Quantity::mass;
  air.vapour_mass.law = "liquid used x what evaporates of it x its density", air.vapour_mass.kind = Kind::estimate;
  air.vapour_mass.value = liquid_m3_s > 0 ? mix.mass_kg_s / liquid_m3_s * volume_m3 : 0.0;
  const Releases releases = releases_of(spraying, mix.vapour_m3_s, false);
  RoomAir room = room_air({spraying.flows, releases.spraying, g.room, spraying.temperature_K, gun, drying, drying,
                           air.poison, spraying.end_s(), spraying.end_s() + 6 * spraying.fade_s});
  air.instead = instead_of_more_air(room, {g.room, gun, drying, air.poison});
  air.lit_by = ignition_of(spraying.flows), air.air_K = spraying.temperature_K;
  air.ignition = ignition_advice(air.lit_by, air.air_K);
  air.asked = std::move(room.asked), air.fan = std::move(room.fan), air.verdict = room.verdict;
  air.peak_of_limit = std::move(room.peak_of_limit), air.peak_of_danger = std::move(room.peak_of_danger);
  air.clear = std::move(room.clear), air.cartridges = std::move(room.cartridges);
  return air;
}

}  // namespace

std::vector<StepAir> air_of(const Guarded& g, const Run& run) {
  std::vector<StepAir> all;
  std::map<std::string, std::vector<VapourFlow>> in_coat;  // what stands in a coat, by the step that laid it
  std::map<std::string, std::string> cures;                // what a coat gives off as it cures
  std::vector<VapourFlow> still_drying;  // what coats laid since the last wait give off, at its most, into what follows
  for (std::size_t i = 1; i < run.steps.size() && i <= g.plan.steps.size(); ++i) {
    const Traits traits = traits_of(g.plan.steps[i - 1].step);
    const StepResult& result = run.steps[i];
    const std::vector<VapourFlow> liquid = volatiles(result.ledger, g);
    const double liquid_m3 = total_m3(liquid);
    double laid_m3 = 0;
    for (const CoatVolumes& coat : result.ledger.coats) laid_m3 += coat.solvent_laid_m3;
    Spraying s;
    s.temperature_K = g.bench.shop.temperature_K;
    if (traits.lays && laid_m3 > least_m3 && liquid_m3 > least_m3) {
      const bool gun = traits.sheds == Sheds::mist;
      s.coats = traits.lays->coats;
      s.coat_s = std::max(shortest_coat_s, (gun ? result.gun_on_s : result.hands_on_s) / s.coats);
      s.flash_s = s.coats > 1 ? result.waiting_s / (s.coats - 1) : 0.0;
      s.landed_fraction = std::min(0.95, laid_m3 / liquid_m3);
      s.fade_s = std::max(60.0, traits.lays->wet_m / Evaporation(s.temperature_K, g.bench.shop.air_speed_m_s).free_m_s);
      s.flows = times(liquid, 1 / (s.coats * s.coat_s));
      const Spraying alone = s;
      add_flows(s.flows, still_drying);
      all.push_back(record_of(g, result, s, liquid_m3, false, gun,
                              held_in(result.ledger, g.bench.library, gun ? poison_of_mist : given_off_curing)));
      add_flows(still_drying, drying_flows(alone));
      for (const CoatVolumes& coat : result.ledger.coats)
        if (coat.solvent_laid_m3 > 0) {
          in_coat[coat.coat] = times(liquid, 1 / liquid_m3);
          cures[coat.coat] = held_in(result.ledger, g.bench.library, given_off_curing);
        }
    } else if (liquid_m3 > least_m3) {  // wiped or swabbed: somebody bends over it
      s.coat_s = std::max(shortest_coat_s, result.hands_on_s), s.landed_fraction = 0;
      s.flows = times(liquid, 1 / s.coat_s);
      add_flows(s.flows, still_drying);
      all.push_back(record_of(g, result, s, liquid_m3, false, false, ""));
    } else if (traits.rests) {
      still_drying.clear();
      double left_m3 = 0;
      std::string poison;
      std::vector<VapourFlow> leaving;
      for (const CoatVolumes& coat : result.ledger.coats) {
        const auto held = in_coat.find(coat.coat);
        if (held == in_coat.end() || coat.solvent_left_m3 <= 0) continue;
        left_m3 += coat.solvent_left_m3;
        add_flows(leaving, times(held->second, coat.solvent_left_m3));
        if (poison.empty()) poison = cures[coat.coat];
      }
      if (left_m3 <= least_m3) continue;
      s.temperature_K = traits.rests->temperature_K.value_or(s.temperature_K);
      s.coat_s = std::max(shortest_coat_s, std::min(traits.rests->duration_s, first_hour_s)), s.landed_fraction = 0;
      s.flows = times(std::move(leaving), 1 / s.coat_s);
      all.push_back(record_of(g, result, s, left_m3, true, false, poison));
    }
  }
  return all;
}

}  // namespace witnessline::safety
