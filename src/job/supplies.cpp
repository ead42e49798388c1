#include "job/supplies.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <set>

#include "bench/enough.h"
#include "bench/strainer.h"
#include "bench/tin_facts.h"
#include "safety/handled.h"

namespace witnessline::job {

namespace {

struct Demand {
  double volume_m3 = 0;              ///< booked by the steps
  double cards_m3 = 0, lost_m3 = 0;  ///< beside them
  double fillings = 0;
  std::vector<std::string> over;  ///< coats found that it comes to lie on
};

void lies_over(const std::string& coat, Demand& need) {
  if (std::find(need.over.begin(), need.over.end(), coat) == need.over.end()) need.over.push_back(coat);
}

/// Parts of a mixture by volume, where the books name them.
using Parts = std::map<std::string, double>;

struct Demands {
  std::map<std::string, Demand> of;
  std::map<std::string, Parts> mixed;  ///< of the mixtures that stand mixed on the shelf
};

Demands demands_of(const Run& run, const Job& job) {
  Demands all;
  for (const StepResult& step : run.steps) {
    if (step.laid_on.empty()) continue;
    double whole_m3 = 0, area_m2 = 0;
    for (const Used& used : step.ledger.used) whole_m3 += used.volume_m3;
    for (const LaidOn& ground : step.laid_on) area_m2 += ground.area_m2;
    if (!(whole_m3 > 0) || !(area_m2 > 0)) continue;
    const double card = std::min(1.0, usual::card_m2 / area_m2);
    const Filling filling = filling_of(usual_applicator(whole_m3 * (1 + card)));
    const double fillings = std::ceil(whole_m3 * (1 + card) / filling.cup_m3);
    std::set<std::string> filled;
    for (const Used& used : step.ledger.used) {
      const bool mixed = !used.mixture.empty() && on_shelf_m3(used.mixture, job);
      const std::string& id = mixed ? used.mixture : used.material;
      if (mixed) all.mixed[id][used.material] += used.volume_m3;
      Demand& need = all.of[id];
      need.volume_m3 += used.volume_m3, need.cards_m3 += card * used.volume_m3;
      if (filled.insert(id).second) need.fillings += fillings;
      need.lost_m3 += fillings * filling.lost_m3 * used.volume_m3 / whole_m3;
      for (const LaidOn& ground : step.laid_on)
        if (ground.origin != Origin::this_plan && ground.coat != "wood") lies_over(ground.coat, need);
    }
  }
  for (const auto& [mixture, parts] : all.mixed) {
    const Demand whole = all.of.at(mixture);
    const double asked_m3 = whole.volume_m3 + whole.cards_m3 + whole.lost_m3;
    const double short_of = std::max(0.0, 1 - on_shelf_m3(mixture, job).value_or(0) / asked_m3);
    if (short_of == 0) continue;
    for (const auto& [part, volume_m3] : parts) {
      const double share = short_of * volume_m3 / whole.volume_m3;
      Demand& need = all.of[part];
      need.volume_m3 += share * whole.volume_m3, need.cards_m3 += share * whole.cards_m3;
      need.lost_m3 += share * whole.lost_m3, need.fillings = std::max(1.0, need.fillings);
      for (const std::string& coat : whole.over) lies_over(coat, need);
    }
  }
  return all;
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

/// What the tests of a tin say, of a material of the library or a mixture of the job.
Result<TinJudged> judged(const TinTest& tin, const Job& job, const Library& library,
                         const std::vector<std::string>& over) {
  const Result<Paint> paint = paint_of(with_parts(tin, job), library, "");
  if (!paint) return paint.errors();
  return judge(tin, *paint, library.shelf_lives(), over);
}

/// What the tins of a material or mixture say of it; the best of them.
std::optional<TinVerdict> verdict_on(const std::string& id, const Job& job, const Library& library,
                                     const std::vector<std::string>& over) {
  std::optional<TinVerdict> best;
  for (const TinTest& tin : job.tins) {
    if (tin.material != id) continue;
    const Result<TinJudged> judged = job::judged(tin, job, library, over);
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

/// Empty: it is no paint.
std::string strained(const std::string& id, const Job& job, const Library& library) {
  PaintTin tin;
  tin.material = id;
  const Result<Paint> paint = paint_of(with_parts(tin, job), library, "");
  if (!paint || paint->volume_solids == 0) return "";
  std::optional<double> widest_m;
  const auto look = [&](const PaintTin& of) {
    if (of.material == id)
      for (const Grains& g : of.grains) widest_m = std::max(widest_m.value_or(0), g.diameter_m);
  };
  for (const PaintTin& of : job.shelf) look(of);
  for (const TinTest& of : job.tins) look(of);
  const double opening_m = strainer_m(*paint, widest_m);
  const char* why = paint->metallic    ? ": a finer strainer holds back the flake. Stir between fillings."
                    : paint->pigmented ? " into the cup; stir every few minutes: the pigment settles."
                                       : " into the cup.";
  return fmt::format("Strain it through {:.0f} um{}", opening_m * 1e6, why);
}

void note_on_tin(const TinTest& tin, const Demand& need, const Job& job, const Library& library,
                 std::vector<Note>& notes) {
  const std::string of = name_of(tin.material, job, library);
  const std::string name =
      tin.batch.empty() ? fmt::format("The tin of {}", of) : fmt::format("Tin {} of {}", tin.batch, of);
  const Result<TinJudged> judged = job::judged(tin, job, library, need.over);
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
  if (judged->verdict != TinVerdict::do_not_use) text += fmt::format(" {}", strained(tin.material, job, library));
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
  std::vector<Handled> handled;
  PaintTin whole = with_parts(tin, job);
  if (whole.parts.empty()) whole.parts = {{tin.material, 1}};
  for (const Part& part : whole.parts)
    if (const Material* material = library.find(part.material))
      handled.push_back({material, name, material->opaque() && counts_as_leaded(tin.filled_years_ago)});
  for (Note note : hazard_notes(handled, opening)) {
    note.about = "tins";
    if (note.severity == Severity::danger) notes.push_back(std::move(note));
  }
}

}  // namespace

PaintTin with_parts(const PaintTin& tin, const Job& job) {
  PaintTin whole = tin;
  for (const Mixture& mixture : job.mixtures)
    if (whole.parts.empty() && mixture.id == tin.material) whole.parts = mixture.parts;
  return whole;
}

std::string name_of(const std::string& id, const Job& job, const Library& library) {
  for (const Mixture& mixture : job.mixtures)
    if (mixture.id == id) return mixture.name.empty() ? id : mixture.name;
  const Material* material = library.find(id);
  return material ? material->name : id;
}

std::optional<double> on_shelf_m3(const std::string& id, const Job& job) {
  std::optional<double> sum;
  for (const PaintTin& tin : job.shelf)
    if (tin.material == id) sum = sum.value_or(0) + tin.volume_m3;
  return sum;
}

std::vector<Used> taken_from_shelf(const std::vector<Used>& used, const Job& job) {
  std::map<std::string, double> mixed_m3;
  for (const Used& u : used)
    if (!u.mixture.empty()) mixed_m3[u.mixture] += u.volume_m3;
  std::vector<Used> rows;
  const auto add = [&](const std::string& id, const Used& u, double share) {
    if (share <= 0) return;
    auto row = std::find_if(rows.begin(), rows.end(), [&](const Used& r) { return r.material == id; });
    if (row == rows.end()) row = rows.insert(rows.end(), {id, 0, 0, {}});
    row->volume_m3 += share * u.volume_m3, row->mass_kg += share * u.mass_kg;
  };
  for (const Used& u : used) {
    const double tin_m3 = u.mixture.empty() ? 0 : on_shelf_m3(u.mixture, job).value_or(0);
    const double from_tin = tin_m3 > 0 ? std::min(1.0, tin_m3 / mixed_m3[u.mixture]) : 0;
    add(u.mixture, u, from_tin), add(u.material, u, 1 - from_tin);
  }
  return rows;
}

std::map<std::string, Supply> supplies_of(const Job& job, const Run& run, const Library& library) {
  std::map<std::string, Supply> all;
  for (const auto& [id, need] : demands_of(run, job).of) {
    const double have_m3 = on_shelf_m3(id, job).value_or(0);
    const double sprays = chance_it_sprays(verdict_on(id, job, library, need.over));
    const Enough enough = enough_of(covering_of(need), {have_m3, usual::tin_sd}, sprays);
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
    supply.strain = strained(id, job, library);
    if (have_m3 <= 0) continue;  // not on the shelf: nothing is known of it
    supply.enough.value = enough.chance;
    supply.enough.inputs = {
        {"on the shelf", have_m3, Quantity::film_volume, Kind::measured, ""},
        {"that there is enough of it", bounded_chance(enough.chance_there_is), Quantity::fraction, Kind::estimate, ""},
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
    notes.push_back({Severity::caution,
                     fmt::format("Chance that {} of {} is enough: {}, with test cards and what stays in the gun. {}",
                                 show(supply.enough.inputs[0].value, Quantity::film_volume), name_of(id, job, library),
                                 in_a_hundred(supply.enough.value), supply.give_up),
                     id});
  }
  const Demands needs = demands_of(run, job);
  for (const auto& [mixture, parts] : needs.mixed) {
    const Demand& need = needs.of.at(mixture);
    const double asked_m3 = need.volume_m3 + need.cards_m3 + need.lost_m3;
    const double more_m3 = asked_m3 - on_shelf_m3(mixture, job).value_or(0);
    if (more_m3 > 0)
      notes.push_back(
          {Severity::caution,
           fmt::format("{} is short: mix at least {} more, stir it into the tin and spray a card before you "
                       "begin, so that the whole job is one batch.",
                       name_of(mixture, job, library), show(more_m3, Quantity::film_volume)),
           mixture});
  }
  for (const TinTest& tin : job.tins)
    if (const auto need = needs.of.find(tin.material); need != needs.of.end())
      note_on_tin(tin, need->second, job, library, notes);
  return notes;
}

std::vector<HoldPoint> refused_tins(const Job& job, const Plan& plan, const Run& run, const Library& library) {
  std::vector<HoldPoint> refused;
  const std::map<std::string, Demand> needs = demands_of(run, job).of;
  for (const TinTest& tin : job.tins) {
    const auto need = needs.find(tin.material);
    if (need == needs.end()) continue;
    const Result<TinJudged> judged = job::judged(tin, job, library, need->second.over);
    if (!judged || judged->verdict != TinVerdict::do_not_use) continue;
    HoldPoint hold;
    hold.question = fmt::format(
        "Which other tin of {} replaces {}? This one must not be used: {}.", name_of(tin.material, job, library),
        tin.batch.empty() ? "the one tested" : "tin " + tin.batch, fmt::join(judged->reasons, "; "));
    hold.plan = plan.id;
    for (const StepResult& step : run.steps)
      if (std::any_of(step.ledger.used.begin(), step.ledger.used.end(),
                      [&](const Used& u) { return u.material == tin.material || u.mixture == tin.material; }))
        hold.before.push_back(step.id);
    refused.push_back(std::move(hold));
  }
  return refused;
}

}  // namespace witnessline::job
