#include "match/search.h"

#include <cmath>
#include <limits>
#include <numeric>

#include "base/parallel.h"
#include "base/result.h"
#include "match/gauss_newton.h"

namespace witnessline::match {

namespace {

constexpr float nowhere = std::numeric_limits<float>::infinity();
constexpr std::size_t polished = 1000;
constexpr std::size_t chunk = 512;
constexpr std::size_t of_each_number = 12;  // the best of each number of colorants come along, however many are nearer

using Which = std::array<std::uint8_t, most_in_recipe>;
using Shares = std::array<float, most_in_recipe>;

// Subsets of k of n in colexicographic order: rank = sum of C(which[i], i + 1).
struct Choose {
  std::array<std::array<std::uint32_t, most_in_recipe + 1>, most_on_shelf + 1> table{};
  Choose() {
    for (std::size_t n = 0; n <= most_on_shelf; ++n)
      for (std::size_t k = 0; k <= most_in_recipe; ++k)
        table[n][k] = k == 0 ? 1 : n == 0 ? 0 : table[n - 1][k - 1] + table[n - 1][k];
  }
  std::size_t operator()(std::size_t n, std::size_t k) const { return table[n][k]; }
};
const Choose choose;

Which subset_at(std::size_t rank, std::size_t k, std::size_t n) {
  Which which{};
  std::size_t above = n;
  for (std::size_t i = k; i > 0; --i) {
    do --above;
    while (choose(above, i) > rank);
    which[i - 1] = static_cast<std::uint8_t>(above);
    rank -= choose(above, i);
  }
  return which;
}

void next_subset(Which& which, std::size_t k) {
  std::size_t i = 0;
  while (i + 1 < k && which[i] + 1 == which[i + 1]) which[i] = static_cast<std::uint8_t>(i), ++i;
  ++which[i];
}

std::size_t rank_without(const Which& which, std::size_t k, std::size_t left_out) {
  std::size_t rank = 0;
  for (std::size_t i = 0; i < k; ++i)
    if (i != left_out) rank += choose(which[i], i < left_out ? i + 1 : i);
  return rank;
}

struct Found {
  Shares share{};
  float squared = nowhere;
};
using Level = std::vector<Found>;

class Levels {
 public:
  explicit Levels(const SearchProblem& problem, int most)
      : problem_(problem), n_(static_cast<std::size_t>(problem.kernel.colorants())) {
    for (std::size_t k = 1; k <= static_cast<std::size_t>(most) && k <= n_; ++k) {
      Level level(choose(n_, k));
      for_chunks(level.size(), chunk, [&](std::size_t begin, std::size_t end) {
        Which which = subset_at(begin, k, n_);
        for (std::size_t i = begin; i < end; ++i) {
          level[i] = best_of(which, k);
          if (i + 1 < end) next_subset(which, k);
        }
      });
      levels_.push_back(std::move(level));
    }
  }

  std::vector<Candidate> nearest(std::size_t count) const {
    struct Where {
      float squared;
      std::uint32_t level, rank;
    };
    std::vector<Where> all;
    for (std::size_t k = 0; k < levels_.size(); ++k)
      for (std::size_t i = 0; i < levels_[k].size(); ++i) {
        const Found& f = levels_[k][i];
        // With a share of nothing it is a smaller subset, which is there by itself.
        const bool whole =
            std::all_of(f.share.begin(), f.share.begin() + static_cast<int>(k) + 1, [](float s) { return s > 0; });
        if (whole && f.squared < nowhere)
          all.push_back({f.squared, static_cast<std::uint32_t>(k), static_cast<std::uint32_t>(i)});
      }
    const auto nearer = [](const Where& a, const Where& b) {
      return std::tie(a.squared, a.level, a.rank) < std::tie(b.squared, b.level, b.rank);
    };
    const auto sort_first = [&](auto begin, std::size_t n, auto end) {
      const auto middle = begin + static_cast<std::ptrdiff_t>(std::min(n, static_cast<std::size_t>(end - begin)));
      std::partial_sort(begin, middle, end, nearer);
      return middle;
    };
    auto taken = sort_first(all.begin(), count, all.end());
    for (std::uint32_t level = 0; level < levels_.size(); ++level) {
      const auto had =
          static_cast<std::size_t>(std::count_if(all.begin(), taken, [&](const Where& w) { return w.level == level; }));
      if (had >= of_each_number) continue;
      const auto others = std::partition(taken, all.end(), [&](const Where& w) { return w.level == level; });
      taken = sort_first(taken, of_each_number - had, others);
    }
    std::vector<Candidate> list;
    for (auto w = all.begin(); w != taken; ++w) {
      Candidate c;
      c.count = static_cast<int>(w->level) + 1;
      c.which = subset_at(w->rank, w->level + 1, n_);
      c.share = levels_[w->level][w->rank].share;
      list.push_back(c);
    }
    return list;
  }

 private:
  Found best_of(const Which& which, std::size_t k) const {
    Found best;
    if (k > 1)
      for (std::size_t out = 0; out < k; ++out) {
        const Found& parent = levels_[k - 2][rank_without(which, k, out)];
        if (!(parent.squared < best.squared)) continue;
        best.squared = parent.squared;
        for (std::size_t i = 0, j = 0; i < k; ++i) best.share[i] = i == out ? 0 : parent.share[j++];
      }
    if (!(best.squared < nowhere) && !feasible(which, k, best.share)) return {};
    Approach<most_in_recipe> approach(problem_, which.data(), static_cast<int>(k));
    if (k == 2) best.share = best_pair(approach, which, best.share);
    approach.start(best.share);
    approach.minimise(k < 4 ? 12 : 6);
    return {approach.share(), approach.squared()};
  }

  // Any shares within the bounds. False: there is not enough on the shelf.
  bool feasible(const Which& which, std::size_t k, Shares& share) const {
    float sum = 0;
    for (std::size_t i = 0; i < k; ++i) sum += problem_.highest[which[i]];
    if (sum < 1) return false;
    for (std::size_t i = 0; i < k; ++i) share[i] = problem_.highest[which[i]] / sum;
    return true;
  }

  // Two colorants may have two valleys, so the whole line is looked at.
  Shares best_pair(Approach<most_in_recipe>& approach, const Which& which, Shares best) const {
    const auto squared_at = [&](const Shares& share) {
      approach.start(share);
      return approach.squared();
    };
    float least = squared_at(best);
    for (const float first : {0.001f, 0.004f, 0.015f, 0.05f, 0.15f, 0.4f, 0.7f, 0.9f, 0.97f, 0.99f, 0.997f, 0.9993f}) {
      const Shares share{first, 1 - first};
      if (first > problem_.highest[which[0]] || 1 - first > problem_.highest[which[1]]) continue;
      const float squared = squared_at(share);
      if (squared < least) least = squared, best = share;
    }
    return best;
  }

  const SearchProblem& problem_;
  std::size_t n_;
  std::vector<Level> levels_;
};

void take(const Approach<most_in_recipe>& approach, const SearchProblem& problem, Candidate& candidate) {
  candidate.share = approach.share();
  candidate.worst = approach.worst();
  float weighted = 0;
  for (std::size_t v = 0; v < problem.weight.size(); ++v) weighted += problem.weight[v] * approach.view_squared()[v];
  candidate.weighted = std::sqrt(weighted);
}

void polish(const SearchProblem& problem, std::vector<Candidate>& list) {
  for_chunks(list.size(), 32, [&](std::size_t begin, std::size_t end) {
    for (std::size_t i = begin; i < end; ++i) list[i] = approached(problem, list[i]);
  });
}

bool same_colorants(const Candidate& a, const Candidate& b) {
  return a.count == b.count && std::equal(a.which.begin(), a.which.begin() + a.count, b.which.begin());
}

// Nearest first, each subset once. A colorant of which next to nothing is left is taken out.
void sort(const SearchProblem& problem, std::vector<Candidate>& list) {
  constexpr float nothing = 1e-5f;
  for (Candidate& c : list) {
    int kept = 0;
    for (std::size_t j = 0; j < static_cast<std::size_t>(c.count); ++j) {
      if (c.share[j] < nothing) continue;
      const auto k = static_cast<std::size_t>(kept++);
      c.which[k] = c.which[j], c.share[k] = c.share[j];
    }
    for (auto j = static_cast<std::size_t>(kept); j < most_in_recipe; ++j) c.which[j] = 0, c.share[j] = 0;
    c.count = kept;
  }
  std::stable_sort(list.begin(), list.end(), [&](const Candidate& a, const Candidate& b) {
    return std::pair{a.closeness(problem.closeness), a.count} < std::pair{b.closeness(problem.closeness), b.count};
  });
  std::vector<Candidate> once;
  for (const Candidate& c : list)
    if (std::none_of(once.begin(), once.end(), [&](const Candidate& o) { return same_colorants(o, c); }))
      once.push_back(c);
  list = std::move(once);
}

// Far from the aim the slopes of the levels lean, and a colorant that would gain a little may have been left at
// nothing: the nearest mixtures are tried once more with every further colorant.
void add_left_out(const SearchProblem& problem, int most, std::vector<Candidate>& list) {
  constexpr std::size_t tried = 20;
  constexpr float near_enough = 0.3f;
  for (int round = 0; round < most && list[0].closeness(problem.closeness) > near_enough; ++round) {
    std::vector<Candidate> larger;
    for (std::size_t i = 0; i < std::min(tried, list.size()); ++i) {
      const Candidate& c = list[i];
      if (c.count >= most) continue;
      for (int extra = 0; extra < problem.kernel.colorants(); ++extra) {
        const auto end = c.which.begin() + c.count;
        if (problem.highest[static_cast<std::size_t>(extra)] <= 0 || std::find(c.which.begin(), end, extra) != end)
          continue;
        Candidate more = c;
        more.which[static_cast<std::size_t>(more.count++)] = static_cast<std::uint8_t>(extra);
        larger.push_back(more);
      }
    }
    polish(problem, larger);
    const float before = list[0].closeness(problem.closeness);
    for (Candidate& more : larger) {
      // In the shelf's order, as all others are.
      for (auto i = static_cast<std::size_t>(more.count - 1); i > 0 && more.which[i - 1] > more.which[i]; --i)
        std::swap(more.which[i - 1], more.which[i]), std::swap(more.share[i - 1], more.share[i]);
      list.push_back(more);
    }
    sort(problem, list);
    if (list[0].closeness(problem.closeness) > before - 0.002f) break;
  }
}

}  // namespace

std::vector<Candidate> search(const SearchProblem& problem, int most, std::size_t keep) {
  expects(most >= 1 && most <= most_in_recipe, "one to five colorants");
  std::vector<Candidate> list = Levels(problem, most).nearest(std::max(keep, polished));
  if (list.empty()) return list;
  polish(problem, list);
  sort(problem, list);
  add_left_out(problem, most, list);
  std::array<std::size_t, most_in_recipe + 1> had{};
  std::vector<Candidate> kept;
  for (const Candidate& c : list)
    if (had[static_cast<std::size_t>(c.count)]++ < of_each_number || kept.size() < keep) kept.push_back(c);
  return kept;
}

Candidate approached(const SearchProblem& problem, Candidate candidate) {
  Approach<most_in_recipe> approach(problem, candidate.which.data(), candidate.count);
  approach.use_exact_slopes();
  approach.start(candidate.share);
  approach.minimise(20);
  if (problem.closeness == Closeness::worst) approach.minimise_worst(16);
  take(approach, problem, candidate);
  return candidate;
}

WholeShelf nearest_of_all(const SearchProblem& problem, std::vector<float> start) {
  const int n = problem.kernel.colorants();
  expects(static_cast<int>(start.size()) == n, "one share a colorant");
  std::array<std::uint8_t, most_on_shelf> which;
  std::iota(which.begin(), which.end(), std::uint8_t{0});
  Approach<most_on_shelf> approach(problem, which.data(), n);
  approach.use_exact_slopes();
  std::array<float, most_on_shelf> share{};
  std::copy(start.begin(), start.end(), share.begin());
  approach.start(share);
  approach.minimise(60);
  if (problem.closeness == Closeness::worst) approach.minimise_worst(16);
  WholeShelf found;
  found.share.assign(approach.share().begin(), approach.share().begin() + n);
  found.worst = approach.worst();
  float weighted = 0;
  for (std::size_t v = 0; v < problem.weight.size(); ++v) weighted += problem.weight[v] * approach.view_squared()[v];
  found.weighted = std::sqrt(weighted);
  return found;
}

std::vector<float> differences(const SearchProblem& problem, const Candidate& candidate) {
  float volume = 0;
  Shares x{};
  for (std::size_t j = 0; j < static_cast<std::size_t>(candidate.count); ++j)
    volume += x[j] = candidate.share[j] * problem.bulk[candidate.which[j]];
  for (float& share : x) share /= volume;
  std::array<MixtureKernel::Outputs, 2> root;
  problem.kernel.colour(candidate.which, x, root);
  std::vector<float> delta_e;
  const auto& places = problem.kernel.places();
  for (std::size_t v = 0; v < places.size(); ++v) {
    const float* f = root[static_cast<std::size_t>(places[v].aged)].at + places[v].first;
    delta_e.push_back(
        std::sqrt(colour_gap(problem.aim[v], 116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])).squared()));
  }
  return delta_e;
}

}  // namespace witnessline::match
