#include "app/verbs/thin_text.h"

#include <fmt/format.h>

#include <algorithm>

#include "drying/solvency.h"

namespace witnessline::app {

namespace {
/// "butyl glycol": an id as it is said.
std::string spoken(std::string id) {
  std::replace(id.begin(), id.end(), '_', ' ');
  return id;
}
}  // namespace

ThinnerTrial as_sprayed(ThinnerTrial trial, const WetCoat& coat, const Airflow& air, const ThinnerWishes& wishes,
                        const ThinnerTrial* first) {
  if (coat.solubility) trial.first = coat.solubility->first, trial.worst = coat.solubility->worst;
  trial.time_10_s = coat.run.time_to_lose_s(0.1).value_or(0);
  trial.time_50_s = coat.run.time_to_lose_s(0.5).value_or(0);
  trial.time_90_s = coat.run.time_to_lose_s(0.9).value_or(0);
  trial.coldest_K = coat.run.coldest_K(), trial.limits = coat.limits;
  trial.faults = missed_wishes(trial, air, wishes);
  if (first) trial.loses = why_behind(trial, *first);
  return trial;
}

ThinnerResult result_of(const ThinnerTrial& trial, std::span<const ShelfSolvent> shelf, const WetCoat& coat) {
  ThinnerResult result;
  for (std::size_t i = 0; i < shelf.size(); ++i)
    if (trial.volume_fraction[i] > 0) result.parts.push_back({shelf[i].of.id, trial.volume_fraction[i]});
  result.staying = trial.worst.staying;
  result.first_difference = trial.first.difference, result.worst_difference = trial.worst.difference;
  result.worst_load = trial.worst.load;
  result.time_10_s = trial.time_10_s, result.time_50_s = trial.time_50_s, result.time_90_s = trial.time_90_s;
  result.coldest_K = trial.coldest_K, result.dew_point_K = coat.dew_point_K;
  result.no_mist_frac = trial.limits.no_mist, result.no_blush_frac = trial.limits.no_blush, result.blush = coat.blush;
  result.price_per_litre = trial.price_per_L;
  result.faults = trial.faults, result.loses = trial.loses;
  return result;
}

std::string parts_in_words(const ThinnerResult& thinner) {
  std::string text;
  for (const SolventPart& part : thinner.parts)
    text += fmt::format("{}{:.0f} {}", text.empty() ? "" : ", ", 100 * part.share_frac, spoken(part.material));
  return text;
}

std::string clearness_sentence(const WetCoat& coat, bool own_carrier) {
  if (own_carrier) return "It stays clear as it dries: this is the carrier the paint is sold in.";
  if (!coat.solubility) return "Whether its resin stays in solution as it dries is not known: spray a test card.";
  const Judged& worst = coat.solubility->worst;
  switch (worst.staying) {
    case Staying::stays:
      return fmt::format("It stays clear as it dries: the resin stays in solution to the end ({}).",
                         reason_in_words(worst));
    case Staying::unsure:
      return fmt::format(
          "Too close to call whether the resin stays in solution to the end ({}): spray a test card and "
          "look for haze.",
          reason_in_words(worst));
    case Staying::falls_out:
      return fmt::format(
          "The slow end of this thinner does not dissolve the resin ({}): the film turns white and "
          "cottony; exchange its slow part for a true solvent.",
          reason_in_words(worst));
  }
  return "";
}

void add_curves(std::vector<Curve>& curves, const WetCoat& coat) {
  Curve temperature{"film", "time [min]", "temperature [degC]", {}, {}},
      dew{"dew point of the air", "time [min]", "temperature [degC]", {}, {}},
      left{"solvent left", "time [min]", "share of the solvent laid [%]", {}, {}};
  std::vector<Curve> each;
  for (const Volatile& one : coat.solution.solvents())
    each.push_back({one.id, "time [min]", "share of the solvent left [%]", {}, {}});
  for (const EvaporationMoment& moment : coat.run.moments) {
    const double minutes = moment.time_s / 60;
    const auto add = [&](Curve& curve, double y) { curve.x.push_back(minutes), curve.y.push_back(y); };
    add(temperature, moment.film_temperature_K - 273.15);
    add(dew, coat.dew_point_K - 273.15);
    add(left, 100 * moment.left_fraction);
    for (std::size_t i = 0; i < each.size(); ++i) add(each[i], 100 * moment.volume_fraction[i]);
  }
  if (coat.solubility) {
    curves.push_back({"solvent left against the film former", "time [min]", "relative energy difference", temperature.x,
                      coat.solubility->difference});
  }
  for (Curve* curve : {&temperature, &dew, &left}) curves.push_back(std::move(*curve));
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
  // Differences: as sprayed, part of the solvent is gone in flight, which shifts both alike.
  const double points = 100 * (tenth.limits.no_blush - without.limits.no_blush),
               minutes = (tenth.time_90_s - without.time_90_s) / 60;
  if (std::abs(points) < 1.5)
    return fmt::format("A tenth of {} as retarder would gain nothing worth having against blush here.",
                       spoken(retarder.id));
  return fmt::format(
      "A tenth of {} as retarder moves the humidity at which it blushes {} by {:.0f} points and the time until 90 % "
      "has gone {} by {:.1f} min{}.",
      spoken(retarder.id), points > 0 ? "up" : "down", std::abs(points), minutes >= 0 ? "up" : "down",
      std::abs(minutes),
      tenth.worst.staying == Staying::stays ? "" : "; only a test card shows whether it stays clear then");
}

namespace {
const char* staying_words(const ThinnerResult& t) {
  return t.staying == Staying::stays    ? "stays clear"
         : t.staying == Staying::unsure ? "clear or hazy: test it"
                                        : "turns white";
}
}  // namespace

std::string format_answer(const ThinAnswer& answer, BenchUnits units) {
  std::string text;
  for (const std::string& sentence : answer.sentences) text += sentence + "\n";
  if (answer.thinners.size() > 1) text += "\nThinners, best first:\n";
  for (std::size_t n = 0; n < answer.thinners.size() && answer.thinners.size() > 1; ++n) {
    const ThinnerResult& t = answer.thinners[n];
    text += fmt::format(
        "{}. {}\n   {}; 10/50/90 % after {:.1f}/{:.1f}/{:.1f} min; coldest {}; mists above "
        "{:.0f} %, blushes above {:.0f} %",
        n + 1, parts_in_words(t), staying_words(t), t.time_10_s / 60, t.time_50_s / 60, t.time_90_s / 60,
        show(t.coldest_K, Quantity::temperature, units), 100 * t.no_mist_frac, 100 * t.no_blush_frac);
    if (t.price_per_litre > 0) text += fmt::format("; {:.2f} a litre", t.price_per_litre);
    text += "\n";
    for (const std::string& fault : t.faults) text += "   it " + fault + "\n";
    if (!t.loses.empty()) text += "   behind the first: " + t.loses + "\n";
  }
  for (const Note& note : answer.notes) text += "\n" + note.text;
  return text + "\n";
}

}  // namespace witnessline::app
