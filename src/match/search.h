// The shares that bring every subset of a shelf nearest to an aim.
#pragma once

#include <vector>

#include "match/colour_gap.h"
#include "match/mixture_kernel.h"

namespace witnessline::match {

/// What the views' differences are made into one number by.
enum class Closeness { worst, weighted };
constexpr auto words(const Closeness*) { return std::array{"worst", "weighted"}; }

/// Shares are by mass as weighed; they sum to 1.
struct SearchProblem {
  MixtureKernel kernel;
  std::vector<Lab> aim;       ///< a view of the kernel
  std::vector<float> weight;  ///< a view; they sum to 1
  Closeness closeness = Closeness::worst;
  std::vector<float> bulk;             ///< a colorant: dry film a unit of mass leaves, in any unit
  std::vector<float> lowest, highest;  ///< a colorant: bounds of its share
};

/// A mixture, its colorants in the shelf's order.
struct Candidate {
  int count = 0;
  std::array<std::uint8_t, most_in_recipe> which{};
  std::array<float, most_in_recipe> share{};
  float worst = 0;     ///< Delta E 2000 of the view that comes out worst
  float weighted = 0;  ///< root of the weighted mean of squares over the views
  float closeness(Closeness how) const { return how == Closeness::worst ? worst : weighted; }
};

/// The best mixtures of up to `most` colorants, one a subset, nearest first: `keep` of them, and where that leaves any
/// out the best dozen of each number of colorants.
/// Law: damped Gauss-Newton steps (levenberg1944) on Delta E 2000 in bounded shares for every subset, each from the
/// best subset with one colorant fewer; the nearest thousand once more, for the worst view by weights that follow the
/// differences (lawson1961). Valid: convex enough that no better mixture of a subset lies apart from its smaller ones';
/// against exhaustive search within 0.05 (benchmarks/match.cpp).
std::vector<Candidate> search(const SearchProblem&, int most, std::size_t keep);

/// Brings one mixture as near as it comes, from where it stands.
Candidate approached(const SearchProblem&, Candidate start);

/// The nearest mixture of the whole shelf at once, with no limit to how many colorants.
struct WholeShelf {
  std::vector<float> share;
  float worst = 0, weighted = 0;
  float closeness(Closeness how) const { return how == Closeness::worst ? worst : weighted; }
};
WholeShelf nearest_of_all(const SearchProblem&, std::vector<float> start);

/// Delta E 2000 under every view of shares by mass.
std::vector<float> differences(const SearchProblem&, const Candidate&);

}  // namespace witnessline::match
