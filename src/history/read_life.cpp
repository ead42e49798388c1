#include "history/read_life.h"

#include <fmt/format.h>

#include <Eigen/Cholesky>
#include <algorithm>
#include <cmath>
#include <functional>
#include <numbers>

#include "base/parallel.h"
#include "base/random.h"
#include "history/in_words.h"
#include "numerics/elliptical_slice.h"
#include "numerics/statistics.h"

namespace witnessline::history {

namespace {

using Vector = std::vector<double>;
using Chains = std::vector<std::vector<Vector>>;

struct Stream {
  Key key;
  std::uint64_t at = 0;
  double operator()() { return uniform(key.with(at++)); }
};

/// A normal distribution about the mode. Law: Gauss and Newton on the departures, strays weighed down.
NormalGuess guess_at(const std::vector<Observation>& seen, const Ask& ask, const YellowCurve& curve) {
  const auto n = static_cast<Eigen::Index>(coordinates(ask)), m = static_cast<Eigen::Index>(seen.size());
  Vector z(static_cast<std::size_t>(n), 0.0);
  const auto departures = [&](const Vector& at) {
    const HistorySample past = past_of(at, ask);
    Eigen::VectorXd r(m);
    for (Eigen::Index i = 0; i < m; ++i) {
      const Observation& s = seen[static_cast<std::size_t>(i)];
      r[i] = std::clamp(departure(s, expected(s, at, past, ask, curve)), -1e3, 1e3);
    }
    return r;
  };
  Eigen::MatrixXd jacobian(m, n), normal;
  constexpr int most_rounds = 25;
  double damping = 1;
  Eigen::VectorXd r = departures(z);
  const auto cost = [&](const Eigen::VectorXd& d, const Vector& at) {
    double sum = 0;
    for (const double v : at) sum += v * v;
    // As a stray's likelihood has it: past three standard deviations it hardly matters how far.
    for (Eigen::Index i = 0; i < m; ++i) sum += 9 * std::log1p(d[i] * d[i] / 9);
    return sum;
  };
  for (int round = 0; round < most_rounds; ++round) {
    constexpr double step = 1e-4;
    Vector moved = z;
    for (Eigen::Index k = 0; k < n; ++k) {
      const auto at = static_cast<std::size_t>(k);
      moved[at] = z[at] + step;
      jacobian.col(k) = (departures(moved) - r) / step;
      moved[at] = z[at];
    }
    Eigen::VectorXd weight(m);
    for (Eigen::Index i = 0; i < m; ++i) weight[i] = 1 / (1 + r[i] * r[i] / 9);
    normal = jacobian.transpose() * weight.asDiagonal() * jacobian;
    normal.diagonal().array() += 1;
    Eigen::VectorXd gradient = jacobian.transpose() * weight.cwiseProduct(r);
    for (Eigen::Index k = 0; k < n; ++k) gradient[k] += z[static_cast<std::size_t>(k)];
    const Eigen::VectorXd move = normal.llt().solve(gradient);
    bool better = false;
    for (damping = 1; damping > 0.01 && !better; damping *= 0.5) {
      Vector tried = z;
      for (Eigen::Index k = 0; k < n; ++k)
        tried[static_cast<std::size_t>(k)] -= damping * std::clamp(move[k], -2.0, 2.0);
      const Eigen::VectorXd there = departures(tried);
      if (cost(there, tried) >= cost(r, z)) continue;
      better = true, z = std::move(tried), r = there;
    }
    if (!better || move.norm() < 1e-3) break;
  }
  const Eigen::MatrixXd wide = normal.llt().solve(Eigen::MatrixXd::Identity(n, n)) * 1.44;
  const Eigen::MatrixXd factor = wide.llt().matrixL();
  NormalGuess guess{z, Matrix(static_cast<int>(n), static_cast<int>(n))};
  for (Eigen::Index i = 0; i < n; ++i)
    for (Eigen::Index j = 0; j <= i; ++j) guess.lower(static_cast<int>(i), static_cast<int>(j)) = factor(i, j);
  return guess;
}

/// A quantity on the scale on which it is about normal.
struct Scale {
  double (*of)(const HistorySample&);
  double (*back)(double);
};
double same(double x) { return x; }
double exp_of(double x) { return std::exp(x); }
double logistic(double x) { return 1 / (1 + std::exp(-x)); }
constexpr std::size_t life_count = 8;
const std::array<Scale, life_count> scales{
    Scale{[](const HistorySample& p) { return std::log(p.age_s); }, exp_of},
    Scale{[](const HistorySample& p) { return std::log(p.light_lx_s); }, exp_of},
    Scale{[](const HistorySample& p) { return std::log(p.play_s); }, exp_of},
    Scale{[](const HistorySample& p) { return std::log(p.shocks); }, exp_of},
    Scale{[](const HistorySample& p) { return p.coldest_K; }, same},
    Scale{[](const HistorySample& p) { return std::log(p.humidity_swing); }, exp_of},
    Scale{[](const HistorySample& p) { return std::log(p.cased_share / (1 - p.cased_share)); }, logistic},
    Scale{[](const HistorySample& p) { return std::log(p.grime_kg_m2); }, exp_of}};

double variance(const Vector& values) {
  double mean = 0, sum = 0;
  for (const double v : values) mean += v / static_cast<double>(values.size());
  for (const double v : values) sum += (v - mean) * (v - mean);
  return sum / static_cast<double>(values.size() - 1);
}

LifeQuantity known(Vector values, Vector before, double (*back)(double)) {
  LifeQuantity k;
  const double was = variance(before), is = variance(values);
  k.prior_share = was > 0 ? std::min(1.0, is / was) : 1;
  k.bits = std::max(0.0, -0.5 * std::log2(std::max(k.prior_share, 1e-9)));
  std::sort(values.begin(), values.end());
  k.middle = back(quantile(values, 0.5));
  k.band = {back(quantile(values, 0.025)), back(quantile(values, 0.975))};
  std::sort(before.begin(), before.end());
  k.usual_middle = back(quantile(before, 0.5));
  k.usual = {back(quantile(before, 0.025)), back(quantile(before, 0.975))};
  return k;
}

/// How much of its driver an item must have had, beside the rest of the life: a draw.
double times_drawn(const Observation& s, const Vector& z, const Ask& ask, const YellowCurve& curve, Stream& next) {
  const HistorySample past = past_of(z, ask);
  Observation one = s;
  const bool count = s.kind == Observation::Kind::checks_across || s.kind == Observation::Kind::checks_along;
  const double sd = count ? std::sqrt(s.seen + 0.5) : s.kind == Observation::Kind::tarnish ? 0.75 : s.sd;
  const double radius = std::sqrt(-2 * std::log(next()));
  one.seen += sd * radius * std::cos(2 * std::numbers::pi * next());
  const auto left = [&](double log_times) {
    return expected(one, z, past, ask, curve, std::exp(log_times)) - one.seen;
  };
  double low = -4, high = 4;
  const bool rises = left(high) > left(low);
  for (int i = 0; i < 30; ++i) {
    const double middle = 0.5 * (low + high);
    ((left(middle) > 0) == rises ? high : low) = middle;
  }
  return 0.5 * (low + high);
}

std::vector<Conflict> conflicts_of(std::vector<Observation> seen, const Chains& all, const Ask& ask,
                                   const YellowCurve& curve, std::uint64_t seed, const Effort& effort) {
  constexpr double worth_asking = 0.3;
  constexpr int most = 4;
  std::vector<Conflict> found;
  Chains chains = all;
  for (int round = 0; round < most && seen.size() > 1; ++round) {
    Vector chance(seen.size());
    double draws = 0;
    for (const auto& chain : chains)
      for (const Vector& z : chain) {
        const HistorySample past = past_of(z, ask);
        for (std::size_t i = 0; i < seen.size(); ++i)
          chance[i] += stray_chance(seen[i], expected(seen[i], z, past, ask, curve));
        ++draws;
      }
    const auto worst = static_cast<std::size_t>(std::max_element(chance.begin(), chance.end()) - chance.begin());
    if (chance[worst] / draws < worth_asking) break;
    const Observation odd = seen[worst];
    seen.erase(seen.begin() + static_cast<std::ptrdiff_t>(worst));
    chains = posterior_draws(seen, ask, curve, seed + static_cast<std::uint64_t>(round) + 1, effort);
    Stream next{Key{seed}.with("times").with(odd.name)};
    Vector times;
    for (const auto& chain : chains)
      for (std::size_t i = 0; i < chain.size(); i += 4) times.push_back(times_drawn(odd, chain[i], ask, curve, next));
    std::sort(times.begin(), times.end());
    Conflict c{odd.name,
               odd.driver,
               chance[worst] / draws,
               std::exp(quantile(times, 0.5)),
               {std::exp(quantile(times, 0.025)), std::exp(quantile(times, 0.975))},
               ""};
    if (c.band.low < 1 && c.band.high > 1) continue;
    c.in_words = conflict_in_words(odd, c.times, c.band);
    found.push_back(std::move(c));
  }
  return found;
}

}  // namespace

Play play_of(double hours_s) {
  const double h = hours_s / 3600;
  return static_cast<Play>(std::count_if(play_limits_h.begin(), play_limits_h.end(), [&](double l) { return h >= l; }));
}

double along_words(double hours_s) {
  const double h = std::max(0.0, hours_s / 3600);
  if (h < play_limits_h.front()) return 0.25 * h / play_limits_h.front();
  for (std::size_t i = 1; i < play_limits_h.size(); ++i)
    if (h < play_limits_h[i])
      return 0.25 * (static_cast<double>(i) +
                     std::log(h / play_limits_h[i - 1]) / std::log(play_limits_h[i] / play_limits_h[i - 1]));
  return std::min(1.0, 0.75 + 0.25 * std::log(h / play_limits_h.back()) / std::log(5.0));
}

Chains posterior_draws(const std::vector<Observation>& seen, const Ask& ask, const YellowCurve& curve,
                       std::uint64_t seed, const Effort& effort) {
  const NormalGuess guess = guess_at(seen, ask, curve);
  const auto likelihood = [&](const Vector& z) {
    const HistorySample past = past_of(z, ask);
    double sum = 0;
    for (const Observation& s : seen) sum += log_likelihood(s, expected(s, z, past, ask, curve));
    return sum;
  };
  Chains chains(static_cast<std::size_t>(effort.chains));
  for_chunks(chains.size(), 1, [&](std::size_t begin, std::size_t end) {
    for (std::size_t c = begin; c < end; ++c) {
      Stream next{Key{seed}.with("life").with(c)};
      // Two chains begin about the guess, two anywhere the prior allows, so that a second mode is found out.
      Vector start(guess.mean.size());
      for (std::size_t k = 0; k < start.size(); ++k) {
        const double radius = std::sqrt(-2 * std::log(next()));
        const double x = radius * std::cos(2 * std::numbers::pi * next());
        start[k] = c % 2 == 0 ? guess.mean[k] + 0.1 * x : x;
      }
      chains[c] =
          elliptical_slice(likelihood, guess, std::move(start), effort.burn, effort.draws, effort.thin, std::ref(next));
    }
  });
  return chains;
}

LifeReading read_life(const std::vector<Observation>& seen, const Ask& ask, const YellowCurve& curve,
                      std::uint64_t seed, const Effort& effort) {
  const Chains chains = posterior_draws(seen, ask, curve, seed, effort);
  constexpr int prior_draws = 4000;
  std::vector<HistorySample> before(prior_draws);
  Stream next{Key{seed}.with("before")};
  for (HistorySample& p : before) {
    Vector z(coordinates(ask));
    for (double& v : z) {
      const double radius = std::sqrt(-2 * std::log(next()));
      v = radius * std::cos(2 * std::numbers::pi * next());
    }
    p = past_of(z, ask);
  }
  std::vector<std::vector<HistorySample>> pasts(chains.size());
  std::size_t count = 0;
  for (std::size_t c = 0; c < chains.size(); ++c)
    for (const Vector& z : chains[c]) pasts[c].push_back(past_of(z, ask)), ++count;

  LifeReading reading;
  const auto quantity_of = [&](const auto& of, double (*back)(double)) {
    Vector was, is;
    std::vector<Vector> by_chain;
    for (const HistorySample& p : before) was.push_back(of(p));
    for (const auto& chain : pasts) {
      by_chain.emplace_back();
      for (const HistorySample& p : chain) by_chain.back().push_back(of(p));
      is.insert(is.end(), by_chain.back().begin(), by_chain.back().end());
    }
    reading.scale_reduction = std::max(reading.scale_reduction, potential_scale_reduction(by_chain));
    return known(std::move(is), was, back);
  };
  const std::array<LifeQuantity*, life_count> all{&reading.age_s,       &reading.light_lx_s, &reading.play_s,
                                                  &reading.shocks,      &reading.coldest_K,  &reading.humidity_swing,
                                                  &reading.cased_share, &reading.grime_kg_m2};
  for (std::size_t i = 0; i < life_count; ++i) *all[i] = quantity_of(scales[i].of, scales[i].back);
  for (std::size_t t = 0; t < touch_count; ++t)
    reading.touch_s[t] = quantity_of([t](const HistorySample& p) { return std::log(p.touch_s[t]); }, exp_of);
  for (const HistorySample& p : before)
    reading.usual_play_chance[static_cast<std::size_t>(play_of(p.play_s))] += 1.0 / prior_draws;
  for (const auto& chain : pasts)
    for (const HistorySample& p : chain)
      reading.play_chance[static_cast<std::size_t>(play_of(p.play_s))] += 1 / static_cast<double>(count);

  reading.conflicts = conflicts_of(seen, chains, ask, curve, seed, effort);
  if (seen.empty())
    reading.notes.push_back(
        {Severity::caution, "Nothing was looked at: all of this is what any instrument of its age may have had.", ""});
  if (!reading.conflicts.empty())
    reading.notes.push_back(
        {Severity::caution,
         "The evidence contradicts itself. Settle that first: until then the bands hold both readings.", ""});
  if (reading.scale_reduction > converged_below)
    reading.notes.push_back(
        {Severity::caution,
         fmt::format("Worked out four times over the bands differ ({:.2f}; up to {} is good): take them as rough.",
                     reading.scale_reduction, converged_below),
         ""});
  return reading;
}

bool LifeReading::play_known() const {
  constexpr double moved_enough = 0.25;  // ESTIMATE: of the chances
  double moved = 0;
  for (std::size_t i = 0; i < play_chance.size(); ++i) moved += 0.5 * std::abs(play_chance[i] - usual_play_chance[i]);
  return play_s.prior_share < nothing_known || moved >= moved_enough;
}

Life LifeReading::life(const std::string& id, bool strap) const {
  Life life;
  life.id = id;
  if (strap) life.held = Hold::strap;
  life.age_s = age_s.middle, life.light_lx_s = light_lx_s.middle;
  life.cold_shocks = static_cast<int>(std::lround(shocks.middle));
  life.coldest_K = coldest_K.middle, life.humidity_swing = humidity_swing.middle;
  life.cased_share = cased_share.middle, life.grime_kg_m2 = grime_kg_m2.middle;
  if (!play_known() || play_of(play_s.middle) == Play::none) return life;
  for (std::size_t t = 0; t < touch_count; ++t) {
    const Touch by = static_cast<Touch>(t);
    const bool of_strap = by == Touch::buckle || by == Touch::strap_tail || by == Touch::strap_neck;
    const bool usual = of_strap ? strap : by != Touch::thigh || !strap;
    if (usual) life.touches.push_back({by, touch_s[t].middle});
  }
  return life;
}

}  // namespace witnessline::history
