#include "app/verbs/thin_told.h"

#include <fmt/format.h>

#include <algorithm>

#include "materials/air.h"

namespace witnessline::app {

namespace {
/// "butyl glycol": an id as it is said.
std::string spoken(std::string id) {
  std::replace(id.begin(), id.end(), '_', ' ');
  return id;
}
}  // namespace

ThinnerSaid said_of(const ThinnerTrial& trial, std::span<const ShelfSolvent> shelf, const SprayedFilm& film) {
  ThinnerSaid said;
  for (std::size_t i = 0; i < shelf.size(); ++i)
    if (trial.volume_fraction[i] > 0) said.parts.push_back({shelf[i].of.id, trial.volume_fraction[i]});
  said.staying = staying_of(trial.worst_difference, film.film_former.border_sd);
  said.first_difference = trial.first_difference, said.worst_difference = trial.worst_difference;
  said.time_10_s = trial.time_10_s, said.time_50_s = trial.time_50_s, said.time_90_s = trial.time_90_s;
  said.coldest_K = trial.coldest_K;
  said.dew_point_K = dew_point_K(film.air.temperature_K, film.relative_humidity);
  said.no_mist_frac = trial.limits.no_mist, said.no_blush_frac = trial.limits.no_blush;
  said.price_per_litre = trial.price_per_L;
  said.faults = trial.faults, said.loses = trial.loses;
  return said;
}

std::string parts_in_words(const ThinnerSaid& thinner) {
  std::string text;
  for (const BlendPartGiven& part : thinner.parts)
    text += fmt::format("{}{:.0f} {}", text.empty() ? "" : ", ", 100 * part.share_frac, spoken(part.material));
  return text;
}

std::string clearness_sentence(const ThinnerSaid& t) {
  switch (t.staying) {
    case Staying::stays:
      return fmt::format("The film former stays in solution to the end (relative energy difference at most {:.2f}).",
                         t.worst_difference);
    case Staying::unsure:
      return fmt::format(
          "The solvent left comes to a relative energy difference of {:.2f}: 1 is the border of what dissolves it, and "
          "the border itself is not known well enough to tell, so spray a test card and look for haze.",
          t.worst_difference);
    case Staying::falls_out:
      return fmt::format(
          "The slow end of this thinner does not dissolve the film former (relative energy difference {:.2f}): expect "
          "it to "
          "turn white and cottony; exchange its slow part for a true solvent.",
          t.worst_difference);
  }
  return "";
}

std::string blush_sentence(const ThinnerSaid& t, double humidity, BenchUnits units) {
  const std::string cold =
      fmt::format("The film cools to {}, the dew point is {}", show(t.coldest_K, Quantity::temperature, units),
                  show(t.dew_point_K, Quantity::temperature, units));
  const std::string safe =
      fmt::format("safe below {:.0f} % humidity, blushes above {:.0f} %", 100 * t.no_mist_frac, 100 * t.no_blush_frac);
  if (humidity <= t.no_mist_frac) return fmt::format("{}: no water settles on it ({}).", cold, safe);
  if (humidity <= t.no_blush_frac)
    return fmt::format("{}: it mists and should clear again before it sets; test it on a card ({}).", cold, safe);
  return fmt::format("{}: water is still in it when it sets, so it blushes today ({}).", cold, safe);
}

void add_curves(std::vector<Curve>& curves, const ThinnerRun& dried, const SprayedFilm& film) {
  const Solubility solubility = solubility_along(dried.run, dried.solution);
  const double dew_K = dew_point_K(film.air.temperature_K, film.relative_humidity);
  Curve difference{"solvent left against the film former", "time [min]", "relative energy difference", {}, {}},
      temperature{"film", "time [min]", "temperature [degC]", {}, {}},
      dew{"dew point of the air", "time [min]", "temperature [degC]", {}, {}},
      left{"solvent left", "time [min]", "share of the solvent laid [%]", {}, {}};
  std::vector<Curve> each;
  for (const Volatile& one : dried.solution.solvents())
    each.push_back({one.id, "time [min]", "share of the solvent left [%]", {}, {}});
  for (std::size_t k = 0; k < dried.run.moments.size(); ++k) {
    const EvaporationMoment& moment = dried.run.moments[k];
    const double minutes = moment.time_s / 60;
    const auto add = [&](Curve& curve, double y) { curve.x.push_back(minutes), curve.y.push_back(y); };
    add(difference, solubility.difference[k]);
    add(temperature, moment.film_temperature_K - 273.15);
    add(dew, dew_K - 273.15);
    add(left, 100 * moment.left_fraction);
    for (std::size_t i = 0; i < each.size(); ++i) add(each[i], 100 * moment.volume_fraction[i]);
  }
  for (Curve* curve : {&difference, &temperature, &dew, &left}) curves.push_back(std::move(*curve));
  for (Curve& curve : each) curves.push_back(std::move(curve));
}

Curve seconds_curve(const SolutionViscosity& law, const Cup& cup, double temperature_K, double until_ratio,
                    std::string name) {
  Curve curve{std::move(name),
              "thinner to one part of the tin",
              fmt::format("{} [s], trusted from {:g} to {:g}", cup.name, cup.shortest_s, cup.longest_s),
              {},
              {}};
  for (int step = 0; step <= 40; ++step) {
    const double ratio = until_ratio * step / 40;
    const double run_out_s = unchecked_seconds_s(cup, law.kinematic_m2_s(ratio, temperature_K));
    if (run_out_s < cup.shortest_s || run_out_s > cup.longest_s) continue;
    curve.x.push_back(ratio), curve.y.push_back(run_out_s);
  }
  return curve;
}

std::string add_retarder(const std::vector<ShelfSolvent>& shelf, const std::vector<double>& shares,
                         const Volatile& retarder, const SprayedFilm& film, const ThinnerWishes& wishes,
                         std::vector<Curve>& curves) {
  std::vector<ShelfSolvent> with = shelf;
  std::size_t at = with.size();
  for (std::size_t i = 0; i < with.size(); ++i)
    if (with[i].of.id == retarder.id) at = i;
  std::vector<double> base = shares;
  if (at == with.size()) with.push_back({retarder, 0}), base.push_back(0);
  Curve limit{"blushes above", "retarder added [% of the thinner]", "humidity [%]", {}, {}},
      mist{"mists above", "retarder added [% of the thinner]", "humidity [%]", {}, {}},
      time{"90 % gone after", "retarder added [% of the thinner]", "time [min]", {}, {}};
  ThinnerTrial without, tenth;
  for (int pct = 0; pct <= 20; pct += 5) {
    std::vector<double> mixed = base;
    for (double& share : mixed) share *= 1 - pct / 100.0;
    mixed[at] += pct / 100.0;
    const ThinnerTrial trial = try_thinner(with, mixed, film, wishes);
    if (pct == 0) without = trial;
    if (pct == 10) tenth = trial;
    for (Curve* curve : {&limit, &mist, &time}) curve->x.push_back(pct);
    limit.y.push_back(100 * trial.limits.no_blush), mist.y.push_back(100 * trial.limits.no_mist);
    time.y.push_back(trial.time_90_s / 60);
  }
  for (Curve* curve : {&limit, &mist, &time}) curves.push_back(std::move(*curve));
  return fmt::format(
      "10 % of {} as retarder moves the humidity at which it blushes from {:.0f} to {:.0f} % and the time until 90 % "
      "has gone from {:.1f} to {:.1f} min; the solvent left then comes to {:.2f}.",
      spoken(retarder.id), 100 * without.limits.no_blush, 100 * tenth.limits.no_blush, without.time_90_s / 60,
      tenth.time_90_s / 60, tenth.worst_difference);
}

std::string told(const ThinAnswer& answer, BenchUnits units) {
  std::string text;
  for (const std::string& sentence : answer.sentences) text += sentence + "\n";
  if (answer.thinners.size() > 1) text += "\nThinners, best first:\n";
  for (std::size_t n = 0; n < answer.thinners.size() && answer.thinners.size() > 1; ++n) {
    const ThinnerSaid& t = answer.thinners[n];
    text += fmt::format(
        "{}. {}\n   RED {:.2f} to {:.2f}; 10/50/90 % after {:.1f}/{:.1f}/{:.1f} min; coldest {}; mists above "
        "{:.0f} %, blushes above {:.0f} %",
        n + 1, parts_in_words(t), t.first_difference, t.worst_difference, t.time_10_s / 60, t.time_50_s / 60,
        t.time_90_s / 60, show(t.coldest_K, Quantity::temperature, units), 100 * t.no_mist_frac, 100 * t.no_blush_frac);
    if (t.price_per_litre > 0) text += fmt::format("; {:.2f} a litre", t.price_per_litre);
    text += "\n";
    for (const std::string& fault : t.faults) text += "   it " + fault + "\n";
    if (!t.loses.empty()) text += "   behind the first: " + t.loses + "\n";
  }
  for (const Note& note : answer.notes) text += "\n" + note.text;
  return text + "\n";
}

}  // namespace witnessline::app
