// Damped Gauss-Newton steps in bounded shares that sum to 1.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>

#include "match/search.h"

namespace witnessline::match {

/// Up to `most` colorants of a problem on their way to the aim.
template <int most>
class Approach {
 public:
  using Shares = std::array<float, most>;

  /// `which`: places on the shelf; for the whole shelf its order.
  Approach(const SearchProblem& problem, const std::uint8_t* which, int count) : problem_(problem), count_(count) {
    which_.fill(which[0]);
    for (int j = 0; j < count; ++j) {
      which_[at(j)] = which[j];
      low_[at(j)] = problem.lowest[which[j]], high_[at(j)] = problem.highest[which[j]];
      bulk_[at(j)] = problem.bulk[which[j]];
    }
    for (std::size_t v = 0; v < problem.weight.size(); ++v) weight_[v] = problem.weight[v];
  }

  /// Starts at feasible shares.
  void start(const Shares& share) {
    here_.share = share;
    evaluate(here_);
  }

  /// From now on the slopes of Delta E 2000 itself, three times as dear: far from the aim its weights move as well.
  void use_exact_slopes() { exact_slopes_ = true; }

  /// Up to `steps` steps, until they gain less than a thousandth. True: that was reached.
  bool minimise(int steps) {
    float damping = 1e-3f;
    for (int i = 0; i < steps; ++i) {
      if (here_.squared < 1e-6f) return true;
      State& next = there_;
      if (!step(damping, next.share)) return true;
      evaluate(next);
      if (next.squared < here_.squared) {
        const float gain = here_.squared - next.squared;
        const bool settled = gain < 2e-3f * here_.squared;
        std::swap(here_, there_);
        damping = std::max(damping * 0.1f, 1e-7f);
        if (settled) return true;
      } else {
        damping *= 30;
        if (damping > 1e4f) return true;
      }
    }
    return false;
  }

  /// Towards the least worst view: the views' weights follow their differences (lawson1961).
  void minimise_worst(int rounds) {
    const int views = static_cast<int>(problem_.aim.size());
    Shares best = here_.share;
    float least = worst();
    for (int round = 0; round < rounds && views > 1; ++round) {
      float sum = 0;
      for (int v = 0; v < views; ++v) sum += weight_[at(v)] *= std::sqrt(here_.view_squared[at(v)]) + 1e-4f;
      for (int v = 0; v < views; ++v) weight_[at(v)] /= sum;
      evaluate(here_);
      minimise(3);
      if (worst() < least) least = worst(), best = here_.share;
    }
    for (int v = 0; v < views; ++v) weight_[at(v)] = problem_.weight[at(v)];
    start(best);
  }

  const Shares& share() const { return here_.share; }
  float squared() const { return here_.squared; }
  float worst() const {
    float most_squared = 0;
    for (std::size_t v = 0; v < problem_.aim.size(); ++v) most_squared = std::max(most_squared, here_.view_squared[v]);
    return std::sqrt(most_squared);
  }
  const std::array<float, 2 * most_lamps>& view_squared() const { return here_.view_squared; }

 private:
  static constexpr std::size_t at(int i) { return static_cast<std::size_t>(i); }
  using Row = std::array<float, most>;
  struct State {
    Shares share{};
    float squared = 0;
    std::array<float, 2 * most_lamps> view_squared{};
    std::array<Row, most> curvature;
    Row slope;
  };

  static std::array<std::array<float, 3>, 3> exact_slopes(const Lab& aim, float l, float a, float b) {
    constexpr float h = 0.02f;
    std::array<std::array<float, 3>, 3> slopes;
    for (std::size_t c = 0; c < 3; ++c) {
      const float dl = c == 0 ? h : 0, da = c == 1 ? h : 0, db = c == 2 ? h : 0;
      const ColourGap up = colour_gap(aim, l + dl, a + da, b + db), down = colour_gap(aim, l - dl, a - da, b - db);
      for (std::size_t p = 0; p < 3; ++p) slopes[p][c] = (up.part[p] - down.part[p]) / (2 * h);
    }
    return slopes;
  }

  void evaluate(State& s) {
    float whole = 0;
    for (int j = 0; j < count_; ++j) whole += s.share[at(j)] * bulk_[at(j)];
    Shares x{};
    for (int j = 0; j < count_; ++j) x[at(j)] = s.share[at(j)] * bulk_[at(j)] / whole;
    if constexpr (most == most_in_recipe)
      problem_.kernel.slopes(which_, x, seen_);
    else
      problem_.kernel.slopes_of_all(x, seen_);

    // From shares by whole, free of each other, to shares by mass: x_j = m_j v_j / sum(m v).
    constexpr int outs = MixtureKernel::outputs;
    for (std::size_t a = 0; a < 2; ++a) {
      MixtureKernel::Outputs mean{};
      for (int j = 0; j < count_; ++j)
        for (int o = 0; o < outs; ++o) mean.at[o] += x[at(j)] * seen_.on_share[a][at(j)].at[o];
      for (int j = 0; j < count_; ++j) {
        const float scale = bulk_[at(j)] / whole;
        for (int o = 0; o < outs; ++o)
          seen_.on_share[a][at(j)].at[o] = scale * (seen_.on_share[a][at(j)].at[o] - mean.at[o]);
      }
    }

    s.squared = 0, s.slope = {};
    for (int i = 0; i < count_; ++i) s.curvature[at(i)] = {};
    const auto& places = problem_.kernel.places();
    for (std::size_t v = 0; v < places.size(); ++v) {
      const auto a = static_cast<std::size_t>(places[v].aged);
      const int o = places[v].first;
      const float* f = seen_.root[a].at + o;
      const float l = 116 * f[1] - 16, lab_a = 500 * (f[0] - f[1]), lab_b = 200 * (f[1] - f[2]);
      ColourGap gap = colour_gap(problem_.aim[v], l, lab_a, lab_b);
      if (exact_slopes_) gap.on_lab = exact_slopes(problem_.aim[v], l, lab_a, lab_b);
      s.view_squared[v] = gap.squared();
      s.squared += weight_[v] * s.view_squared[v];
      for (std::size_t p = 0; p < 3; ++p) {
        const float on_x = 500 * gap.on_lab[p][1], on_z = -200 * gap.on_lab[p][2];
        const float on_y = 116 * gap.on_lab[p][0] - on_x - on_z;
        Row row{};
        for (int j = 0; j < count_; ++j) {
          const float* d = seen_.on_share[a][at(j)].at + o;
          row[at(j)] = on_x * d[0] + on_y * d[1] + on_z * d[2];
        }
        for (int i = 0; i < count_; ++i) {
          const float weighted = weight_[v] * row[at(i)];
          s.slope[at(i)] += weighted * gap.part[p];
          for (int j = 0; j <= i; ++j) s.curvature[at(i)][at(j)] += weighted * row[at(j)];
        }
      }
    }
  }

  /// Next shares: the damped step that keeps the sum, cut at the bounds. False: no step is left.
  bool step(float damping, Shares& next) const {
    constexpr float edge = 1e-7f;
    std::array<bool, most> held{};
    next = here_.share;
    for (int round = 0; round < 2 * count_; ++round) {
      Row d;
      if (!free_step(damping, held, next, d)) break;
      // A colorant on its bound that would go out stays there; then the step is worked out again.
      bool leaves = false;
      for (int j = 0; j < count_; ++j) {
        if (held[at(j)]) continue;
        const bool below = next[at(j)] <= low_[at(j)] + edge && d[at(j)] < 0;
        const bool above = next[at(j)] >= high_[at(j)] - edge && d[at(j)] > 0;
        if (below || above) held[at(j)] = leaves = true;
      }
      if (leaves) continue;
      float reach = 1;
      int first = -1;
      for (int j = 0; j < count_; ++j) {
        if (held[at(j)] || d[at(j)] == 0) continue;
        const float room =
            d[at(j)] < 0 ? (low_[at(j)] - next[at(j)]) / d[at(j)] : (high_[at(j)] - next[at(j)]) / d[at(j)];
        if (room < reach) reach = std::max(room, 0.0f), first = j;
      }
      for (int j = 0; j < count_; ++j)
        if (!held[at(j)]) next[at(j)] = std::clamp(next[at(j)] + reach * d[at(j)], low_[at(j)], high_[at(j)]);
      if (first < 0) break;
      next[at(first)] = d[at(first)] < 0 ? low_[at(first)] : high_[at(first)];
      held[at(first)] = true;
    }
    float moved = 0, sum = 0;
    for (int j = 0; j < count_; ++j) moved += std::abs(next[at(j)] - here_.share[at(j)]), sum += next[at(j)];
    // Rounding alone moves the sum; the share with most room takes it up.
    const auto room = [&](int j) { return std::min(next[at(j)] - low_[at(j)], high_[at(j)] - next[at(j)]); };
    int roomy = 0;
    for (int j = 1; j < count_; ++j)
      if (room(j) > room(roomy)) roomy = j;
    next[at(roomy)] += 1 - sum;
    return moved > 1e-7f;
  }

  /// The step of the free colorants from `from`, with the sum kept. False: fewer than two are free.
  bool free_step(float damping, const std::array<bool, most>& held, const Shares& from, Row& d) const {
    std::array<int, most> of;
    int n = 0;
    for (int j = 0; j < count_; ++j)
      if (!held[at(j)]) of[at(n++)] = j;
    d = {};
    if (n < 2) return false;
    std::array<Row, most> l;
    Row y, z;
    const auto curvature = [&](int i, int j) {
      return i >= j ? here_.curvature[at(i)][at(j)] : here_.curvature[at(j)][at(i)];
    };
    bool away = false;
    for (int j = 0; j < count_; ++j) away = away || from[at(j)] != here_.share[at(j)];
    for (int i = 0; i < n; ++i) {
      const int row = of[at(i)];
      float slope = here_.slope[at(row)];
      if (away)
        for (int j = 0; j < count_; ++j) slope += curvature(row, j) * (from[at(j)] - here_.share[at(j)]);
      y[at(i)] = -slope, z[at(i)] = 1;
    }
    // Cholesky, both right sides carried along.
    for (int i = 0; i < n; ++i) {
      for (int j = 0; j <= i; ++j) {
        float sum = curvature(of[at(i)], of[at(j)]);
        if (i == j) sum += damping * sum + 1e-9f;
        for (int k = 0; k < j; ++k) sum -= l[at(i)][at(k)] * l[at(j)][at(k)];
        if (i != j)
          l[at(i)][at(j)] = sum / l[at(j)][at(j)];
        else
          l[at(i)][at(i)] = std::sqrt(std::max(sum, 1e-9f + 1e-6f * curvature(of[at(i)], of[at(i)])));
      }
      for (int k = 0; k < i; ++k) y[at(i)] -= l[at(i)][at(k)] * y[at(k)], z[at(i)] -= l[at(i)][at(k)] * z[at(k)];
      y[at(i)] /= l[at(i)][at(i)], z[at(i)] /= l[at(i)][at(i)];
    }
    float sum_y = 0, sum_z = 0;
    for (int i = n - 1; i >= 0; --i) {
      for (int k = i + 1; k < n; ++k) y[at(i)] -= l[at(k)][at(i)] * y[at(k)], z[at(i)] -= l[at(k)][at(i)] * z[at(k)];
      y[at(i)] /= l[at(i)][at(i)], z[at(i)] /= l[at(i)][at(i)];
      sum_y += y[at(i)], sum_z += z[at(i)];
    }
    const float turn = sum_y / sum_z;
    for (int i = 0; i < n; ++i) d[at(of[at(i)])] = y[at(i)] - turn * z[at(i)];
    return true;
  }

  const SearchProblem& problem_;
  int count_;
  bool exact_slopes_ = false;
  std::array<std::uint8_t, most> which_{};
  Shares low_{}, high_{}, bulk_{};
  std::array<float, 2 * most_lamps> weight_{};
  State here_, there_;
  MixtureKernel::Slopes<most> seen_{};
};

}  // namespace witnessline::match
