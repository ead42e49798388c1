#include "bench/tin.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "bench/tin_facts.h"
#include "solvents/vapour.h"
#include "solvents/viscosity.h"

namespace witnessline::bench {

namespace {

struct Tally {
  TinJudged& out;
  bool bad = false, doubtful = false, open = false;

  void take(Finding found, const char* when_good, const char* when_doubtful, const char* when_bad, const char* to_try) {
    if (found == Finding::not_tried) {
      open = true;
      out.still_try.emplace_back(to_try);
    } else if (found == Finding::good) {
      out.reasons.emplace_back(when_good);
    } else {
      out.reasons.emplace_back(found == Finding::bad ? when_bad : when_doubtful);
      (found == Finding::bad ? bad : doubtful) = true;
    }
  }
  void doubt(std::string why, bool rules_out) {
    out.reasons.push_back(std::move(why));
    (rules_out ? bad : doubtful) = true;
  }
};

// ESTIMATE, see judge().
constexpr double doubtful_residue = 0.005, bad_residue = 0.02, doubtful_thickening = 1.5, bad_thickening = 3.0,
                 week_s = 7 * 86400.0;
constexpr double year_s = 365.25 * 86400;

std::string age_text(double age_s) {
  constexpr double month_s = year_s / 12;
  if (age_s < 1.5 * month_s) return fmt::format("{:.0f} days", age_s / 86400);
  return age_s < 2 * year_s ? fmt::format("{:.0f} months", age_s / month_s)
                            : fmt::format("{:.0f} years", age_s / year_s);
}

/// One shelf life against one age; not known counts as a doubt where the tin has a life at all.
void keeps(const char* what, const ShelfLife& life, std::optional<double> years, Tally& tally) {
  if (!years) return tally.doubt(fmt::format("nobody knows how old {} is", what), false);
  const double age_s = *years * year_s;
  if (age_s <= life.doubtful_s) return;
  const bool bad = life.bad_s && age_s > *life.bad_s;
  tally.doubt(
      fmt::format("{} was {} {} ago: such paint keeps {} {}", what, life.opened ? "opened" : "filled", age_text(age_s),
                  age_text(bad ? *life.bad_s : life.doubtful_s), bad ? "at most" : "by most accounts"),
      bad);
}

void age(const TinTest& tin, const Paint& paint, std::span<const ShelfLife> lives, Tally& tally) {
  bool any = false;
  for (const ShelfLife& life : lives) {
    if (life.binder != paint.binder()) continue;
    const char* what = life.hardener ? "its hardener" : "it";
    const auto years = life.hardener ? life.opened ? tin.hardener_opened_years_ago : tin.hardener_filled_years_ago
                       : life.opened ? tin.opened_years_ago
                                     : tin.filled_years_ago;
    if (life.opened && !years) continue;  // still sealed
    keeps(what, life, years, tally);
    any |= !life.hardener;
  }
  if (!any && paint.volume_solids > 0) tally.doubt("how long such paint keeps is not known", false);
}

void residue(const TinTest& tin, const Paint& paint, Tally& tally) {
  if (!tin.residue_kg) {
    tally.open = true;
    tally.out.still_try.emplace_back("strain it, blot and weigh what stays on the strainer");
    return;
  }
  const double share = *tin.residue_kg / (*tin.strained_m3 * paint.density_kg_m3());
  const std::string text = fmt::format("{:.2g} % of its mass stayed on the strainer", 100 * share);
  if (share > doubtful_residue)
    tally.doubt(text + (share > bad_residue ? ": what went through is no longer what was in the tin" : ""),
                share > bad_residue);
  else
    tally.out.reasons.push_back(text);
}

/// Errors: no such cup, a run-out outside its range.
std::vector<Error> cup(const TinTest& tin, Tally& tally) {
  const auto unthinned = std::find_if(tin.readings.begin(), tin.readings.end(),
                                      [](const CupReading& r) { return r.thinner_parts_ratio == 0; });
  if (unthinned == tin.readings.end() || !tin.fresh_tin) {
    tally.open = true;
    tally.out.still_try.emplace_back("time it in a cup, beside a fresh tin of the same or the figure on its label");
    return {};
  }
  const CupReading& fresh = *tin.fresh_tin;
  const auto place = fmt::format("readings[{}]", unthinned - tin.readings.begin() + 1);
  const Result<double> now = cup_viscosity_m2_s(*unthinned, place), then = cup_viscosity_m2_s(fresh, "fresh_tin");
  std::vector<Error> faults;
  for (const Result<double>* read : {&now, &then})
    if (!*read) faults.insert(faults.end(), read->errors().begin(), read->errors().end());
  if (fresh.thinner_parts_ratio > 0)
    faults.push_back({"the fresh tin was thinned",
                      {"", 0, 0, "fresh_tin.thinner_parts"},
                      "0",
                      "time the fresh tin as it is, or leave it out"});
  if (!faults.empty()) return faults;
  const double fresh_here_m2_s = *then * std::exp(SolutionViscosity{}.flow_energy_J_mol / gas_constant_J_molK *
                                                  (1 / unthinned->temperature_K - 1 / fresh.temperature_K));
  const double ratio = *now / fresh_here_m2_s;
  const std::string text = fmt::format("it is {:.2g} times as thick as a fresh tin", ratio);
  if (ratio > doubtful_thickening || ratio < 1 / doubtful_thickening)
    tally.doubt(text + (ratio > 1 ? ": solvent has left or it has begun to set"
                                  : ": its resin has broken down or it "
                                    "was thinned"),
                ratio > bad_thickening || ratio < 1 / bad_thickening);
  else
    tally.out.reasons.push_back(text);
  return {};
}

void spray_outs(const TinTest& tin, const std::vector<std::string>& old_coats, Tally& tally) {
  std::vector<std::string> grounds{"glass"};
  grounds.insert(grounds.end(), old_coats.begin(), old_coats.end());
  for (const std::string& ground : grounds) {
    const std::string on = ground == "glass" ? "glass" : fmt::format("'{}'", ground);
    const auto found = std::find_if(tin.spray_outs.begin(), tin.spray_outs.end(),
                                    [&](const SprayOut& s) { return s.on == ground && s.found != Finding::not_tried; });
    if (found == tin.spray_outs.end()) {
      tally.open = true;
      tally.out.still_try.push_back(ground == "glass" ? "spray it out on glass, thinned as it will be"
                                                      : fmt::format("spray it out on scrap that carries {}", on));
      continue;
    }
    if (found->found == Finding::bad)
      tally.doubt(fmt::format("the spray-out on {} failed", on), true);
    else if (found->found == Finding::doubtful)
      tally.doubt(fmt::format("the spray-out on {} was doubtful", on), false);
    else if (found->waited_s < week_s) {
      tally.open = true;
      tally.out.still_try.push_back(
          fmt::format("wait with the spray-out on {}: after {:.2g} d it is too early to tell a film that never hardens",
                      on, found->waited_s / 86400));
    } else {
      tally.out.reasons.push_back(
          fmt::format("the spray-out on {} is sound after {:.0f} d", on, found->waited_s / 86400));
    }
  }
}

}  // namespace

Result<TinJudged> judge(const TinTest& tin, const Paint& paint, std::span<const ShelfLife> lives,
                        const std::vector<std::string>& old_coats) {
  if (tin.residue_kg.has_value() != tin.strained_m3.has_value())
    return Error{"a residue needs what was strained, and the reverse",
                 {"", 0, 0, tin.residue_kg ? "residue_g" : "strained_mL"},
                 "both residue_g and strained_mL, or neither",
                 "measure what goes through the strainer"};
  TinJudged out;
  Tally tally{out};
  tally.take(tin.pressure, "no pressure under the lid", "it hissed: acid or fermenting, or only a warm day",
             "the tin was swollen or spat: it is decomposing",
             "ease the lid a little at a time under a cloth, away from the face, and let pressure off slowly");
  tally.take(tin.rim, "the rim was clean", "the rim carried a dry crust", "dry crust fell into the tin",
             "wet the rim with thinner and wipe the crust off before the lid comes away");
  tally.take(tin.stir_up, "it stirred up to one liquid", "it stirred up only with a soft cake or streaks",
             "a hard cake stayed at the bottom: its colour is no longer in the paint",
             "stir it up by hand from the bottom, ten minutes");
  tally.take(tin.gel, "it runs off the stick", "it draws strings", "it has set: nothing brings it back",
             "let it run off the stick and look for strings and bits");
  residue(tin, paint, tally);
  if (std::vector<Error> faults = cup(tin, tally); !faults.empty()) return faults;
  spray_outs(tin, old_coats, tally);
  age(tin, paint, lives, tally);

  if (!tally.bad && !tally.open && tally.doubtful)
    out.still_try.emplace_back(
        "spray a whole panel from it, every coat of the job, level and rub it out: what is doubtful about it is "
        "listed");
  out.verdict = tally.bad                      ? TinVerdict::do_not_use
                : tally.open || tally.doubtful ? TinVerdict::prove_on_scrap
                                               : TinVerdict::use;
  if (tin.pressure == Finding::bad)
    out.notes.push_back({Severity::danger,
                         "A tin under pressure: eyes covered, outdoors, away from flames; close it loosely and hand it "
                         "to a collection point.",
                         "pressure"});
  return out;
}

std::vector<std::string> tin_protocol() {
  return {"Stand it a day at the temperature of the shop, away from flames and heaters.",
          "Ease the lid a little at a time under a cloth, face away: let pressure off slowly.",
          "Wet the rim with thinner before the lid turns; wipe the crust off wet and bin it wet: dry it burns.",
          "Look before stirring: skin, clear liquid on top, cake below; photograph it.",
          "Stir by hand from the bottom, ten minutes, a flat stick; then let it run off: strings or bits mean gel.",
          "Strain it; blot and weigh what stays on the strainer.",
          "Time it in a cup at a known temperature, beside a fresh tin or its label.",
          "Spray it out on glass, thinned as it will be; look for haze, bits and crawling.",
          "Spray it out on scrap that carries each old coat it is meant for.",
          "Wait a week: thumb, nail, tape and cold on the spray-outs; only then the instrument."};
}

}  // namespace witnessline::bench
