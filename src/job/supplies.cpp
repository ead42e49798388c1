#include "job/supplies.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "bench/enough.h"

namespace witnessline {

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
    if (step.word != Spray::word && step.word != MeltIn::word) continue;
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

void note_on_shelf(const std::string& id, const Demand& need, const Job& job, const Library& library,
                   std::vector<Note>& notes) {
  Spread have{0, tin_sd};
  for (const ShelfItem& item : job.shelf)
    if (item.material == id) have.value += item.volume_m3;
  if (have.value <= 0) return;  // not on the shelf: nothing is known of it
  // The steps have already worked out area x film / (solids x transfer): it stands as the area, the rest as spreads.
  const Covering covering{
      {need.volume_m3, area_sd},   {}, {1, film_sd}, {1, solids_sd}, {1, transfer_sd}, need.fillings,
      need.lost_m3 / need.fillings};
  const double chance = chance_enough(covering, have);
  if (chance >= sure) return;
  const std::vector<GivenUp> offers = give_up(covering, have, 0, 0);
  std::string mend = " Give up build or what does not show, never the spray-out on scrap.";
  if (!offers.empty())
    mend = fmt::format(" Give up first {}: then {:.0f} %.", offers.front().what, 100 * offers.front().chance);
  const Material* material = library.find(id);
  notes.push_back(
      {Severity::caution,
       fmt::format("The chance that {} of {} is enough is {:.0f} %, what stays in the gun counted.{}",
                   show(have.value, Quantity::film_volume), material ? material->name : id, 100 * chance, mend),
       id});
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
  if (judged->verdict != TinVerdict::do_not_use) {
    text += " Strain it into the cup";
    text += material->role == Role::clear ? "." : " and stir again every few minutes: its grains settle.";
  }
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

std::vector<Note> notes_on_supplies(const Job& job, const Run& run, const Library& library) {
  std::vector<Note> notes;
  const std::map<std::string, Demand> needs = needs_of(run);
  for (const auto& [id, need] : needs) note_on_shelf(id, need, job, library, notes);
  for (const TinTest& tin : job.tins)
    if (const auto need = needs.find(tin.material); need != needs.end()) note_on_tin(tin, need->second, library, notes);
  return notes;
}

}  // namespace witnessline
