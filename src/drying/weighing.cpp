#include "drying/weighing.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/parallel.h"
#include "base/random.h"
#include "numerics/linear.h"

namespace witnessline::drying {

namespace {
constexpr double model_share = 0.002;                // ESTIMATE
constexpr double refused_sd = 10, least_draws = 20;  // ESTIMATE
constexpr int tried = 300, picked = 80;
constexpr std::uint64_t seed = 7, rounds = 3;
// Hardness does not show on a scale.
constexpr std::size_t fitted = unknown_count - 1;

struct Sums {
  double cost = 0;
  std::vector<double> residual;  ///< (weighed - modelled)/sd
  std::vector<double> modelled_kg;
  double bare_kg = 0;
};

Sums compare(const DryingCase& given, const WeighedCard& card, const std::vector<CardWeighing>& used, const Draw& draw,
             double sd_kg, ColumnAccuracy accuracy = {5e-4, 12, 4, 0.8}) {
  std::vector<double> times_s;
  for (const CardWeighing& w : used) times_s.push_back(w.at_s);
  const Dried run = dried(given, draw, times_s, times_s.back(), accuracy);
  Sums sums;
  double mean_kg = 0;
  for (std::size_t i = 0; i < used.size(); ++i) {
    sums.modelled_kg.push_back(film_mass_kg(given, draw, run.moments[i], card.area_m2));
    mean_kg += (used[i].mass_kg - sums.modelled_kg[i]) / static_cast<double>(used.size());
  }
  sums.bare_kg = card.bare_kg.value_or(mean_kg);
  for (const double z : draw) sums.cost += z * z;
  for (std::size_t i = 0; i < used.size(); ++i) {
    sums.modelled_kg[i] += sums.bare_kg;
    sums.residual.push_back((used[i].mass_kg - sums.modelled_kg[i]) / sd_kg);
    sums.cost += sums.residual[i] * sums.residual[i];
  }
  return sums;
}
}  // namespace

namespace {
/// Lower triangle L of a positive matrix, L L^T. Law: Cholesky. Source: press2007 2.9.
Matrix root_of(const Matrix& a) {
  const int n = a.rows();
  Matrix root(n, n);
  for (int i = 0; i < n; ++i)
    for (int j = 0; j <= i; ++j) {
      double sum = a(i, j);
      for (int k = 0; k < j; ++k) sum -= root(i, k) * root(j, k);
      root(i, j) = i == j ? std::sqrt(std::max(sum, 1e-12)) : sum / root(j, j);
    }
  return root;
}

/// Fills the belief's draws around its middle; `curvature` is the precision found there.
void spread_around(const DryingCase& given, const WeighedCard& card, CardFit& fit, const Matrix& curvature,
                   double sd_kg) {
  constexpr auto n = static_cast<int>(fitted);
  std::vector<double> mean(fit.belief.middle.begin(), fit.belief.middle.begin() + n);
  Matrix spread(n, n);  // covariance: the inverse of the curvature
  for (int k = 0; k < n; ++k) {
    std::vector<double> unit(fitted, 0.0);
    unit[static_cast<std::size_t>(k)] = 1.0;
    const std::vector<double> column = solve(curvature, unit);
    for (int i = 0; i < n; ++i) spread(i, k) = column[static_cast<std::size_t>(i)];
  }
  std::vector<Draw> draws(tried);
  std::vector<double> weight(tried);
  for (std::uint64_t round = 0; round < rounds; ++round) {
    const Matrix root = root_of(spread);
    std::vector<double> log_weight(tried);
    for_chunks(tried, 1, [&](std::size_t begin, std::size_t end) {
      for (std::size_t d = begin; d < end; ++d) {
        const Key key = Key{seed}.with(round).with(d);
        double z[fitted], length = 0;
        for (std::size_t k = 0; k < fitted; ++k) z[k] = normal(key.with(k)), length += z[k] * z[k];
        for (int i = 0; i < n; ++i) {
          double sum = mean[static_cast<std::size_t>(i)];
          for (int k = 0; k <= i; ++k) sum += root(i, k) * z[k];
          draws[d][static_cast<std::size_t>(i)] = sum;
        }
        draws[d][fitted] = 0;
        const double cost = compare(given, card, fit.used, draws[d], sd_kg, {5e-3, 9, 3, 0.75}).cost;
        log_weight[d] = 0.5 * (length - cost);
        draws[d][fitted] = normal(key.with(fitted));  // hardness: as little known as before
      }
    });
    const double most = *std::max_element(log_weight.begin(), log_weight.end());
    double sum = 0, squares = 0;
    for (std::size_t d = 0; d < weight.size(); ++d) sum += weight[d] = std::exp(log_weight[d] - most);
    for (double& w : weight) w /= sum, squares += w * w;
    fit.draws_worth = 1.0 / squares;
    if (round + 1 == rounds) break;
    // The weighted draws' own mean and spread, leaning on the first ones where few draws carry the weight.
    std::vector<double> next_mean(fitted, 0.0);
    for (std::size_t d = 0; d < draws.size(); ++d)
      for (std::size_t k = 0; k < fitted; ++k) next_mean[k] += weight[d] * draws[d][k];
    Matrix next(n, n);
    for (int i = 0; i < n; ++i)
      for (int j = 0; j < n; ++j) {
        double moment = 0;
        for (std::size_t d = 0; d < draws.size(); ++d)
          moment += weight[d] * (draws[d][static_cast<std::size_t>(i)] - next_mean[static_cast<std::size_t>(i)]) *
                    (draws[d][static_cast<std::size_t>(j)] - next_mean[static_cast<std::size_t>(j)]);
        next(i, j) = 0.8 * moment + 0.2 * spread(i, j);
      }
    mean = next_mean, spread = next;
  }
  // Even steps through the running sum of weights pick in proportion.
  double running = weight[0];
  std::size_t d = 0;
  for (int i = 0; i < picked; ++i) {
    const double at = (i + 0.5) / picked;
    while (running < at && d + 1 < weight.size()) running += weight[++d];
    fit.belief.draws.push_back(draws[d]);
  }
}
}  // namespace

double film_mass_kg(const DryingCase& given, const Draw& draw, const DriedMoment& moment, double area_m2) {
  const double laid = physics_of(draw).laid;
  double mass_kg_m2 = 0;
  for (std::size_t c = 0; c < given.coats.size(); ++c) {
    if (given.coats[c].at_s <= moment.at_s)
      mass_kg_m2 += laid * given.coats[c].dry_m * given.coats[c].resin.dry_density_kg_m3;
    mass_kg_m2 += moment.solvent_m[c] * given.solvent.of.density_kg_m3;
  }
  return area_m2 * mass_kg_m2;
}

Result<CardFit> fit_card(const DryingCase& given, const WeighedCard& card) {
  CardFit fit;
  for (std::size_t i = 0; i < card.weighings.size(); ++i) {
    const CardWeighing& w = card.weighings[i];
    if (i > 0 && w.at_s <= card.weighings[i - 1].at_s)
      return Error{"a weighing is not later than the one before it",
                   {"", 0, 0, fmt::format("card.weighings[{}].at_h", i + 1)},
                   "times that rise",
                   "put the weighings in order of time"};
    if (w.at_s < given.coats.front().at_s)
      return Error{fmt::format("the weighing at {:.1f} h is before the first coat", w.at_s / 3600),
                   {"", 0, 0, fmt::format("card.weighings[{}].at_h", i + 1)},
                   "times after the first coat",
                   "give the bare card as bare_g"};
    if (card.bare_kg && w.mass_kg < *card.bare_kg - card.resolution_kg)
      return Error{fmt::format("the weighing at {:.1f} h, {:.3f} g, is lighter than the bare card's {:.3f} g",
                               w.at_s / 3600, 1e3 * w.mass_kg, 1e3 * *card.bare_kg),
                   {"", 0, 0, fmt::format("card.weighings[{}].mass_g", i + 1)},
                   "card and film together, more than bare_g",
                   "check which card and which scale bare_g was weighed on"};
    if (!fit.used.empty()) {
      const CardWeighing& last = fit.used.back();
      const bool coated = std::any_of(given.coats.begin(), given.coats.end(), [&](const LaidCoat& coat) {
        return coat.at_s > last.at_s && coat.at_s <= w.at_s;
      });
      const double gain_kg = w.mass_kg - last.mass_kg;
      if (!coated && gain_kg > 2 * card.resolution_kg) {
        fit.notes.push_back({Severity::caution,
                             fmt::format("the weighing at {:.1f} h is {:.0f} mg heavier than the one before: left out, "
                                         "taking it for dust, damp or the scale",
                                         w.at_s / 3600, 1e6 * gain_kg),
                             fmt::format("card.weighings[{}]", i + 1)});
        continue;
      }
    }
    fit.used.push_back(w);
  }
  if (fit.used.size() < 2)
    return Error{"fewer than two weighings can be used",
                 {"", 0, 0, "card.weighings"},
                 "two or more, by time",
                 "weigh again: soon after the last coat, the next day, a week later"};

  double dry_kg = 0;
  for (const LaidCoat& coat : given.coats) dry_kg += card.area_m2 * coat.dry_m * coat.resin.dry_density_kg_m3;
  const double sd_kg = std::hypot(0.5 * card.resolution_kg, model_share * dry_kg);

  Draw at{};
  Sums now = compare(given, card, fit.used, at, sd_kg);
  Matrix curvature(static_cast<int>(fitted), static_cast<int>(fitted));
  constexpr double apart = 0.3;  // wide against the solver's own error
  for (fit.rounds = 1; fit.rounds <= 12; ++fit.rounds) {
    const std::size_t n = fit.used.size();
    std::vector<double> slope(n * fitted);
    for (std::size_t k = 0; k < fitted; ++k) {
      Draw beside = at;
      beside[k] += apart;
      const Sums there = compare(given, card, fit.used, beside, sd_kg);
      for (std::size_t i = 0; i < n; ++i) slope[i * fitted + k] = (there.residual[i] - now.residual[i]) / apart;
    }
    std::vector<double> downhill(fitted);
    for (std::size_t k = 0; k < fitted; ++k) {
      downhill[k] = -at[k];
      for (std::size_t i = 0; i < n; ++i) downhill[k] -= slope[i * fitted + k] * now.residual[i];
      for (std::size_t j = 0; j < fitted; ++j) {
        double sum = k == j ? 1.0 : 0.0;
        for (std::size_t i = 0; i < n; ++i) sum += slope[i * fitted + k] * slope[i * fitted + j];
        curvature(static_cast<int>(k), static_cast<int>(j)) = sum;
      }
    }
    const std::vector<double> step = solve(curvature, downhill);
    double length = 1.0, before = now.cost;
    for (int halving = 0; halving < 8; ++halving, length *= 0.5) {
      Draw next = at;
      for (std::size_t k = 0; k < fitted; ++k) next[k] = std::clamp(at[k] + length * step[k], -5.0, 5.0);
      Sums there = compare(given, card, fit.used, next, sd_kg);
      if (there.cost < now.cost) {
        at = next, now = std::move(there);
        break;
      }
    }
    if (before - now.cost < 1e-3 * (1 + before)) break;
  }

  fit.modelled_kg = now.modelled_kg;
  fit.bare_kg = now.bare_kg;
  for (std::size_t i = 0; i < fit.used.size(); ++i)
    fit.worst_kg = std::max(fit.worst_kg, std::abs(fit.used[i].mass_kg - fit.modelled_kg[i]));
  if (fit.worst_kg > refused_sd * sd_kg)
    return Error{fmt::format("no drying film weighs what this card did: the nearest misses a weighing by {:.0f} mg, "
                             "{:.0f} times what scale and model account for",
                             1e6 * fit.worst_kg, fit.worst_kg / sd_kg),
                 {"", 0, 0, "card"},
                 "weighings of a card with the coats given here",
                 "check bare_g, the size of the card, its coats and the scale; or leave the card out"};
  fit.belief.middle = at;
  spread_around(given, card, fit, curvature, sd_kg);
  if (fit.draws_worth < least_draws) {
    fit.notes.push_back({Severity::caution,
                         fmt::format("after the weighings only {:.0f} independent draws are left, too few for dates: "
                                     "the card is not used, the dates are those of a film nobody weighed",
                                     fit.draws_worth),
                         "card"});
    fit.belief = usual_belief();
    fit.fitted = false;
  }
  if (fit.worst_kg > 4 * sd_kg)
    fit.notes.push_back({Severity::caution,
                         fmt::format("the model misses a weighing by {:.0f} mg: the card holds something else than "
                                     "the coats given here, or was weighed wrongly",
                                     1e6 * fit.worst_kg),
                         "card"});
  return fit;
}

}  // namespace witnessline::drying
