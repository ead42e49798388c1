#include "job/supplies.h"

#include <fmt/format.h>

#include <algorithm>
#include <limits>

#include "bench/enough.h"

namespace witnessline::job {

namespace {

constexpr double area_sd = 0.05, film_sd = 0.15, solids_sd = 0.15, transfer_sd = 0.15, tin_sd = 0.03;  // ESTIMATE
constexpr double lost_a_step_m3 = 20e-6, sure = 0.9;

struct Demand {
  double volume_m3 = 0, lost_m3 = 0, fillings = 0;
  std::vector<std::string> over;  ///< coats found that it comes to lie on
};

std::map<std::string, Demand> needs_of(const Run& run) {
  std::map<std::string, Demand> needs;
  for (const StepResult& step : run.steps) {
    if (step.laid_on.empty()) continue;
    double whole_m3 = 0;
    for (const Used& used : step.ledger.used) whole_m3 += used.volume_m3;
    for (const Used& used : step.ledger.used) {
      Demand& need = needs[used.material];
      need.volume_m3 += used.volume_m3, need.fillings += 1;
      need.lost_m3 += lost_a_step_m3 * used.volume_m3 / whole_m3;
      for (const LaidOn& ground : step.laid_on)
        if (ground.origin != Origin::this_plan && ground.coat != "wood" &&
            std::find(need.over.begin(), need.over.end(), ground.coat) == need.over.end())
          need.over.push_back(ground.coat);
    }
  }
  return needs;
}

// The steps have already worked out area x film / (solids x transfer): it stands as the area, the rest as spreads.
Covering covering_of(const Demand& need) {
  return {{need.volume_m3, area_sd},   {}, {1, film_sd}, {1, solids_sd}, {1, transfer_sd}, need.fillings,
          need.lost_m3 / need.fillings};
}

Figure figure(const char* name, double value, Band band, Quantity quantity, const char* law) {
  Figure f;
  f.name = name, f.value = value, f.band = band, f.quantity = quantity, f.law = law;
  f.source = "fenton1960", f.kind = Kind::estimate;
  return f;
}

const char* strained(const Material& material) {
  if (material.metallic) return "Strain it through 250 um: a finer cloth keeps flake back; stir between fillings.";
  if (material.role == Role::clear || material.role == Role::toner || material.role == Role::sealer)
    return "Strain it through 125 um into the cup.";
  return "Strain it through 180 um into the cup; stir every few minutes: its grains settle.";
}

void note_on_tin(const TinTest& tin, const Demand& need, const Library& library, std::vector<Note>& notes) {
  const Material* material = library.find(tin.material);
  if (!material) return;
  const std::string name = tin.batch.empty() ? fmt::format("The tin of {}", material->name)
                                             : fmt::format("Tin {} of {}", tin.batch, material->name);
  const Result<TinJudged> judged = judge(tin, *material, need.over);
  if (!judged) {
    notes.push_back(
        {Severity::caution, fmt::format("{} cannot be judged: {}.", name, judged.errors()[0].what), "tins"});
    return;
  }
  std::string text = name;
  switch (judged->verdict) {
    case TinVerdict::use:
      text += " may be used: all was tried and found good.";
      break;
    case TinVerdict::do_not_use:
      text += " is not to be used: " + fmt::format("{}.", fmt::join(judged->reasons, "; "));
      break;
    case TinVerdict::prove_on_scrap:
      text += ": prove it on scrap first.";
      if (!judged->still_try.empty())
        text += fmt::format(" Still to try: {}.", fmt::join(judged->still_try, "; "));
      else
        text += fmt::format(" Found: {}.", fmt::join(judged->reasons, "; "));
      break;
  }
  if (judged->verdict != TinVerdict::do_not_use) text += fmt::format(" {}", strained(*material));
  notes.push_back({judged->verdict == TinVerdict::use              ? Severity::information
                   : judged->verdict == TinVerdict::prove_on_scrap ? Severity::caution
                                                                   : Severity::danger,
                   text, "tins"});
  for (Note note : judged->notes) {
    note.text = name + ": " + note.text;
    note.about = "tins";
    notes.push_back(std::move(note));
  }
}

}  // namespace

std::map<std::string, Supply> supplies_of(const Job& job, const Run& run, const Library& library) {
  std::map<std::string, Supply> all;
  for (const auto& [id, need] : needs_of(run)) {
    const Covering covering = covering_of(need);
    const Need needs = needed(covering);
    Supply& supply = all[id];
    supply.needed = figure("needed for the plan", needs.middle_m3, needs.band_m3, Quantity::film_volume,
                           "area x film / (volume solids x transfer), as booked, + what stays in the gun");
    supply.needed.inputs = {{"booked by the steps", need.volume_m3, Quantity::film_volume, Kind::estimate, ""},
                            {"stays in gun and strainer", need.lost_m3, Quantity::film_volume, Kind::estimate, ""}};
    supply.enough = figure("chance that it is enough", std::numeric_limits<double>::quiet_NaN(), {}, Quantity::fraction,
                           "normal distribution of ln((have - stays in the gun) / needed)");
    if (const Material* material = library.find(id); material && material->role != Role::solvent)
      supply.strain = strained(*material);
    Spread have{0, tin_sd};
    for (const PaintTin& item : job.shelf)
      if (item.material == id) have.value += item.volume_m3;
    if (have.value <= 0) continue;  // not on the shelf: nothing is known of it
    supply.enough.value = chance_enough(covering, have);
    supply.enough.inputs = {{"on the shelf", have.value, Quantity::film_volume, Kind::measured, ""}};
    if (supply.enough.value >= sure) continue;
    const std::vector<GivenUp> offers = give_up(covering, have, 0, 0);
    supply.give_up = offers.empty() ? "Give up build or what does not show, never the spray-out on scrap."
                                    : fmt::format("Give up first {}: then {:.0f} %.", offers.front().what,
                                                  100 * offers.front().chance);
  }
  return all;
}

std::vector<Note> notes_on_supplies(const Job& job, const Run& run, const Library& library) {
  std::vector<Note> notes;
  for (const auto& [id, supply] : supplies_of(job, run, library)) {
    if (supply.give_up.empty()) continue;
    const Material* material = library.find(id);
    notes.push_back({Severity::caution,
                     fmt::format("The chance that {} of {} is enough is {:.0f} %, what stays in the gun counted. {}",
                                 show(supply.enough.inputs[0].value, Quantity::film_volume),
                                 material ? material->name : id, 100 * supply.enough.value, supply.give_up),
                     id});
  }
  const std::map<std::string, Demand> needs = needs_of(run);
  for (const TinTest& tin : job.tins)
    if (const auto need = needs.find(tin.material); need != needs.end()) note_on_tin(tin, need->second, library, notes);
  return notes;
}

std::vector<HoldPoint> refused_tins(const Job& job, const Plan& plan, const Run& run, const Library& library) {
  std::vector<HoldPoint> refused;
  const std::map<std::string, Demand> needs = needs_of(run);
  for (const TinTest& tin : job.tins) {
    const auto need = needs.find(tin.material);
    const Material* material = library.find(tin.material);
    if (need == needs.end() || !material) continue;
    const Result<TinJudged> judged = judge(tin, *material, need->second.over);
    if (!judged || judged->verdict != TinVerdict::do_not_use) continue;
    HoldPoint hold;
    hold.question =
        fmt::format("Which other tin of {} is laid instead of {}? This one is not to be used: {}.", material->name,
                    tin.batch.empty() ? "the one tried" : "tin " + tin.batch, fmt::join(judged->reasons, "; "));
    hold.plan = plan.id;
    for (const StepResult& step : run.steps)
      if (std::any_of(step.ledger.used.begin(), step.ledger.used.end(),
                      [&](const Used& used) { return used.material == tin.material; }))
        hold.before.push_back(step.id);
    refused.push_back(std::move(hold));
  }
  return refused;
}

}  // namespace witnessline::job
