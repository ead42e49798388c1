#include "job/supplies.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "bench/enough.h"
#include "bench/strainer.h"
#include "safety/handled.h"

namespace witnessline::job {

namespace {

struct Demand {
  double volume_m3 = 0;              ///< booked by the steps
  double cards_m3 = 0, lost_m3 = 0;  ///< beside them
  double fillings = 0;
  std::vector<std::string> over;  ///< coats found that it comes to lie on
};

std::map<std::string, Demand> needs_of(const Run& run) {
  std::map<std::string, Demand> needs;
  for (const StepResult& step : run.steps) {
    if (step.laid_on.empty()) continue;
    double whole_m3 = 0, area_m2 = 0;
    for (const Used& used : step.ledger.used) whole_m3 += used.volume_m3;
    for (const LaidOn& ground : step.laid_on) area_m2 += ground.area_m2;
    if (!(whole_m3 > 0) || !(area_m2 > 0)) continue;
    const double card = std::min(1.0, usual::card_m2 / area_m2);
    const double fillings = std::ceil(whole_m3 * (1 + card) / usual::cup_m3);
    for (const Used& used : step.ledger.used) {
      Demand& need = needs[used.material];
      need.volume_m3 += used.volume_m3, need.cards_m3 += card * used.volume_m3, need.fillings += fillings;
      need.lost_m3 += fillings * usual::lost_m3 * used.volume_m3 / whole_m3;
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
  return {{need.volume_m3, usual::area_sd},
          {need.cards_m3, usual::area_sd},
          {1, usual::film_sd},
          {1, usual::solids_sd},
          {1, usual::transfer_sd},
          need.fillings,
          need.lost_m3 / need.fillings};
}

/// What the tins of a material say of it; the best of them.
std::optional<TinVerdict> verdict_on(const std::string& material, const Job& job, const Library& library,
                                     const std::vector<std::string>& over) {
  std::optional<TinVerdict> best;
  const Material* known = library.find(material);
  for (const TinTest& tin : job.tins) {
    if (!known || tin.material != material) continue;
    const Result<TinJudged> judged = judge(tin, *known, library.shelf_lives(), over);
    if (judged && (!best || judged->verdict < *best)) best = judged->verdict;
  }
  return best;
}

Figure figure(const char* name, double value, Band band, Quantity quantity, const char* law) {
  Figure f;
  f.name = name, f.value = value, f.band = band, f.quantity = quantity, f.law = law;
  f.source = "fenton1960", f.kind = Kind::estimate;
  return f;
}

std::string strained(const Material& material) {
  const double opening_m = strainer_m(material);
  const char* why = material.metallic ? ": a finer strainer holds back the flake. Stir between fillings."
                    : material.role == Role::clear || material.role == Role::toner || material.role == Role::sealer
                        ? " into the cup."
                        : " into the cup; stir every few minutes: the pigment settles.";
  return fmt::format("Strain it through {:.0f} um{}", opening_m * 1e6, why);
}

void note_on_tin(const TinTest& tin, const Demand& need, const Library& library, std::vector<Note>& notes) {
  const Material* material = library.find(tin.material);
  if (!material) return;
  const std::string name = tin.batch.empty() ? fmt::format("The tin of {}", material->name)
                                             : fmt::format("Tin {} of {}", tin.batch, material->name);
  const Result<TinJudged> judged = judge(tin, *material, library.shelf_lives(), need.over);
  if (!judged) {
    notes.push_back(
        {Severity::caution, fmt::format("{} cannot be judged: {}.", name, judged.errors()[0].what), "tins"});
    return;
  }
  std::string text = name;
  switch (judged->verdict) {
    case TinVerdict::use:
      text += " may be used: every test was done and passed.";
      break;
    case TinVerdict::do_not_use:
      text += " must not be used: " + fmt::format("{}.", fmt::join(judged->reasons, "; "));
      break;
    case TinVerdict::prove_on_scrap:
      text += ": prove it on scrap first.";
      if (!judged->still_try.empty())
        text += fmt::format(" Still to test: {}.", fmt::join(judged->still_try, "; "));
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
  Work opening;
  opening.opens = true;
  const Handled handled{material, name, material->opaque() && counts_as_leaded(tin.filled_years_ago)};
  for (Note note : hazard_notes({&handled, 1}, opening)) {
    note.about = "tins";
    if (note.severity == Severity::danger) notes.push_back(std::move(note));
  }
}

}  // namespace

std::map<std::string, Supply> supplies_of(const Job& job, const Run& run, const Library& library) {
  std::map<std::string, Supply> all;
  for (const auto& [id, need] : needs_of(run)) {
    double on_shelf_m3 = 0;
    for (const PaintTin& item : job.shelf)
      if (item.material == id) on_shelf_m3 += item.volume_m3;
    const double sprays = chance_it_sprays(verdict_on(id, job, library, need.over));
    const Enough enough = enough_of(covering_of(need), {on_shelf_m3, usual::tin_sd}, sprays);
    Supply& supply = all[id];
    supply.beside_m3 = need.cards_m3 + need.lost_m3;
    supply.needed = figure("needed for the plan", enough.need.middle_m3, enough.need.band_m3, Quantity::film_volume,
                           "area x film / (volume solids x transfer), as booked, + cards + what stays in the gun");
    supply.needed.inputs = {{"booked by the steps", need.volume_m3, Quantity::film_volume, Kind::estimate, ""},
                            {"test cards", need.cards_m3, Quantity::film_volume, Kind::estimate, ""},
                            {"stays in gun and strainer", need.lost_m3, Quantity::film_volume, Kind::estimate, ""},
                            {"fillings of the cup", need.fillings, Quantity::ratio, Kind::estimate, ""}};
    supply.enough = figure("chance that it is enough", std::numeric_limits<double>::quiet_NaN(), {}, Quantity::fraction,
                           "normal distribution of ln((have - stays in the gun) / needed) x chance that it sprays");
    if (const Material* material = library.find(id); material && material->role != Role::solvent)
      supply.strain = strained(*material);
    if (on_shelf_m3 <= 0) continue;  // not on the shelf: nothing is known of it
    supply.enough.value = enough.chance;
    supply.enough.inputs = {
        {"on the shelf", on_shelf_m3, Quantity::film_volume, Kind::measured, ""},
        {"that there is enough of it", enough.chance_there_is, Quantity::fraction, Kind::estimate, ""},
        {"that it sprays as it should", sprays, Quantity::fraction, Kind::estimate, ""}};
    if (enough.plenty) continue;
    supply.give_up =
        enough.offers.empty()
            ? "If it runs short, save on build or on places that don't show, never on the spray-out on scrap."
            : fmt::format("If it runs short, give up {} first: then {}.", enough.offers.front().what,
                          in_a_hundred(enough.offers.front().chance));
  }
  return all;
}

std::vector<Note> notes_on_supplies(const Job& job, const Run& run, const Library& library) {
  std::vector<Note> notes;
  for (const auto& [id, supply] : supplies_of(job, run, library)) {
    if (supply.give_up.empty()) continue;
    const Material* material = library.find(id);
    notes.push_back({Severity::caution,
                     fmt::format("Chance that {} of {} is enough: {}, with test cards and what stays in the gun. {}",
                                 show(supply.enough.inputs[0].value, Quantity::film_volume),
                                 material ? material->name : id, in_a_hundred(supply.enough.value), supply.give_up),
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
    const Result<TinJudged> judged = judge(tin, *material, library.shelf_lives(), need->second.over);
    if (!judged || judged->verdict != TinVerdict::do_not_use) continue;
    HoldPoint hold;
    hold.question =
        fmt::format("Which other tin of {} replaces {}? This one must not be used: {}.", material->name,
                    tin.batch.empty() ? "the one tested" : "tin " + tin.batch, fmt::join(judged->reasons, "; "));
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
