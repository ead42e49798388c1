// A shelf of invented colorants, aims that some of them meet, and a search that leaves nothing out: for the tests and
// for benchmarks/match.cpp.
#pragma once

#include <algorithm>
#include <atomic>
#include <cmath>
#include <numeric>

#include "base/parallel.h"
#include "base/random.h"
#include "match/setting.h"

namespace witnessline::match {

/// Invented: whites, blacks and hues in turn, of the strength of paints 50 um thick.
inline std::vector<Tin> invented_shelf(std::size_t count) {
  std::vector<Tin> shelf;
  for (std::size_t i = 0; i < count; ++i) {
    const Key key = Key{77}.with(i);
    Tin tin;
    tin.name = "invented " + std::to_string(i + 1);
    const bool white = i % 8 == 0, black = i % 8 == 1;
    const double edge_nm = 430 + 250 * uniform(key.with(1)), width_nm = 12 + 25 * uniform(key.with(2));
    const double strength = std::exp(1.2 * normal(key.with(3)) + 0.8), body = std::exp(0.7 * normal(key.with(4)) - 0.3);
    const double peak_nm = 470 + 200 * uniform(key.with(5));
    const int kind = static_cast<int>(i % 3);
    for (int b = 0; b < bands; ++b) {
      const double nm = band_nm(b);
      // An edge (yellows to reds), a band (purples, blues) or the other edge (blues, greens).
      double hue = kind == 0   ? 1 / (1 + std::exp((nm - edge_nm) / width_nm))
                   : kind == 1 ? std::exp(-0.5 * std::pow((nm - peak_nm) / (2 * width_nm), 2))
                               : 1 / (1 + std::exp((peak_nm - nm) / width_nm));
      double k = 0.02 + strength * hue, s = body * std::pow(nm / 550, -0.5);
      if (white) k = 0.01 + 0.6 / (1 + std::exp((nm - 395) / 8)), s = 4 * std::pow(nm / 550, -0.8);
      if (black) k = 9 + 2 * uniform(key.with(6)) * (nm - 550) / 200, s = 0.15;
      tin.absorption_per_m[b] = k / 50e-6, tin.scattering_per_m[b] = s / 50e-6;
    }
    tin.dry_volume_m3_per_kg = (0.2 + 0.3 * uniform(key.with(7))) * 1e-3;
    tin.left_kg = 1;
    shelf.push_back(tin);
  }
  return shelf;
}

inline LaidFilm invented_laying(double film_m = 45e-6) {
  LaidFilm laying;
  for (int b = 0; b < bands; ++b) laying.ground[b] = 0.45 + 0.3 * b / 35.0;
  laying.film_m = film_m, laying.coat_m = 15e-6, laying.face = {0.04, 0.57};
  return laying;
}

inline Aim three_lamps(const Reflectance& target) {
  Aim aim;
  aim.reflectance = target;
  aim.lamps = {{Lamp::D65, 1}, {Lamp::A, 1}, {Lamp::LED_B3, 1}};
  return aim;
}

/// Target `i`: by turns a mixture of five of the shelf, the same bent by a few per cent, a curve of no mixture at all.
inline Aim invented_aim(const std::vector<Tin>& shelf, const LaidFilm& laying, std::uint64_t i) {
  const Key key = Key{78}.with(i);
  std::vector<double> mass_kg(shelf.size(), 0.0);
  for (std::uint64_t j = 0; j < 5; ++j)
    mass_kg[static_cast<std::size_t>(uniform(key.with(j)) * static_cast<double>(shelf.size()))] +=
        std::exp(1.5 * normal(key.with(10 + j)));
  mass_kg[0] += 2 * uniform(key.with(3));
  Reflectance target = laid(mixed_tins(shelf, mass_kg), laying, 1, false);
  if (i % 3 > 0) {
    const double size = i % 3 == 1 ? 0.04 : 0.5;
    for (int b = 0; b < bands; ++b) {
      double bend = 0;
      for (std::uint64_t w = 1; w < 4; ++w)
        bend +=
            normal(key.with(20 + w)) * std::cos(static_cast<double>(w) * (b / 35.0 + uniform(key.with(30 + w))) * 3.14);
      target[b] = std::clamp(target[b] * std::exp(size * bend / 1.7), 0.04, 0.95);
    }
  }
  return three_lamps(target);
}

/// The best of every subset of `k` by itself: a net of shares over the whole simplex, the best few points of it brought
/// as near as they come, then single shares moved against each other until nothing gains.
class Exhaustive {
 public:
  Exhaustive(const SearchProblem& problem, int k, int net_points) : problem_(problem), k_(k) {
    // Shares log-uniform over three decades: strong colorants matter at a thousandth.
    for (int p = 0; p < net_points; ++p) {
      std::array<float, most_in_recipe> share{};
      float sum = 0;
      for (int j = 0; j < k; ++j)
        sum += share[at(j)] = static_cast<float>(std::pow(
            10.0, -3 * uniform(Key{79}.with(static_cast<std::uint64_t>(p)).with(static_cast<std::uint64_t>(j)))));
      for (float& s : share) s /= sum;
      net_.push_back(share);
    }
  }

  Candidate best() const {
    std::vector<Candidate> subsets;
    std::vector<int> which(static_cast<std::size_t>(k_));
    std::iota(which.begin(), which.end(), 0);
    const int n = problem_.kernel.colorants();
    while (true) {
      Candidate c;
      c.count = k_;
      for (int j = 0; j < k_; ++j) c.which[at(j)] = static_cast<std::uint8_t>(which[at(j)]);
      subsets.push_back(c);
      int j = k_ - 1;
      while (j >= 0 && which[at(j)] == n - k_ + j) --j;
      if (j < 0) break;
      ++which[at(j)];
      for (int i = j + 1; i < k_; ++i) which[at(i)] = which[at(i - 1)] + 1;
    }
    for_chunks(subsets.size(), 16, [&](std::size_t begin, std::size_t end) {
      for (std::size_t i = begin; i < end; ++i) subsets[i] = best_of(subsets[i]);
    });
    return *std::min_element(subsets.begin(), subsets.end(), [&](const Candidate& a, const Candidate& b) {
      return a.closeness(problem_.closeness) < b.closeness(problem_.closeness);
    });
  }

  /// The most that moving about gained on any subset: well below `hopeless`, or a subset may have been given up too
  /// soon.
  float most_gained() const { return most_gained_; }
  static constexpr float hopeless = 3;  ///< Delta E behind the nearest so far: such a subset is not moved about

  /// Shares moved against each other, by ever smaller factors, while the worst view gains.
  Candidate moved_about(Candidate c) const {
    float least = worst(c);
    for (float step = 0.3f; step > 1e-4f;) {
      bool gained = false;
      for (int i = 0; i < c.count; ++i)
        for (int j = 0; j < c.count; ++j) {
          if (i == j) continue;
          Candidate next = c;
          const float moved = step * std::min(std::max(c.share[at(i)], 1e-4f), c.share[at(j)]);
          next.share[at(i)] += moved, next.share[at(j)] -= moved;
          const float now = worst(next);
          if (now < least) least = now, c = next, gained = true;
        }
      if (!gained) step *= 0.5f;
    }
    c.worst = least;
    return c;
  }

 private:
  static std::size_t at(int i) { return static_cast<std::size_t>(i); }
  static void lower(std::atomic<float>& to, float value) {
    for (float now = to; value < now && !to.compare_exchange_weak(now, value);) {}
  }
  static void raise(std::atomic<float>& to, float value) {
    for (float now = to; value > now && !to.compare_exchange_weak(now, value);) {}
  }
  float worst(const Candidate& c) const {
    const std::vector<float> d = differences(problem_, c);
    return *std::max_element(d.begin(), d.end());
  }
  Candidate best_of(Candidate subset) const {
    std::vector<std::pair<float, std::size_t>> points;
    for (std::size_t p = 0; p < net_.size(); ++p) {
      subset.share = net_[p];
      points.push_back({worst(subset), p});
    }
    const std::size_t starts = std::min<std::size_t>(4, points.size());
    std::partial_sort(points.begin(), points.begin() + static_cast<std::ptrdiff_t>(starts), points.end());
    Candidate best;
    for (std::size_t p = 0; p < starts; ++p) {
      subset.share = net_[points[p].second];
      Candidate c = approached(problem_, subset);
      const float before = worst(c);
      c.worst = before;
      if (before < nearest_ + hopeless) {
        c = moved_about(c);
        raise(most_gained_, before - c.worst);
      }
      if (p == 0 || c.worst < best.worst) best = c;
    }
    lower(nearest_, best.worst);
    return best;
  }

  const SearchProblem& problem_;
  int k_;
  std::vector<std::array<float, most_in_recipe>> net_;
  mutable std::atomic<float> nearest_ = 1e9f, most_gained_ = 0;
};

}  // namespace witnessline::match
