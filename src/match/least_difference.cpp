#include "match/least_difference.h"

#include <algorithm>
#include <nlopt.hpp>

#include "base/result.h"

namespace witnessline::match {

double mean_difference(const std::vector<Lab>& colours, const std::vector<Lab>& targets) {
  expects(colours.size() == targets.size() && !targets.empty(), "colours and targets in pairs");
  double sum = 0;
  for (std::size_t i = 0; i < colours.size(); ++i) sum += delta_e_2000(colours[i], targets[i]);
  return sum / static_cast<double>(colours.size());
}

namespace {

struct Search {
  const ColoursOf& colours;
  const std::vector<Lab>& targets;
  const std::vector<double>& usual;
  std::vector<double> amounts(const std::vector<double>& x) const {
    std::vector<double> made(x.size());
    for (std::size_t i = 0; i < x.size(); ++i) made[i] = std::max(x[i], 0.0) * usual[i];
    return made;
  }
  double cost(const std::vector<double>& x) const {
    const std::vector<Lab> at = colours(amounts(x));
    double sum = 0;
    for (std::size_t i = 0; i < at.size(); ++i) {
      const double off = delta_e_2000(at[i], targets[i]);
      sum += off * off;
    }
    return sum;
  }
};

}  // namespace

std::vector<double> nearest_amounts(const ColoursOf& colours, const std::vector<Lab>& targets,
                                    const std::vector<double>& usual, const std::vector<double>& most) {
  const std::size_t n = usual.size();
  const Search search{colours, targets, usual};
  std::vector<double> best(n, 0.0);
  if (n == 0) return best;
  double least = search.cost(best);
  for (const double start : {0.2, 2.0}) {
    nlopt::opt fit(nlopt::LN_SBPLX, static_cast<unsigned>(n));
    std::vector<double> x(n), high(n);
    for (std::size_t i = 0; i < n; ++i) high[i] = most[i] / usual[i], x[i] = std::min(start, high[i]);
    fit.set_lower_bounds(0.0);
    fit.set_upper_bounds(high);
    fit.set_min_objective([](const std::vector<double>& at, std::vector<double>&,
                             void* data) { return static_cast<const Search*>(data)->cost(at); },
                          const_cast<Search*>(&search));
    fit.set_xtol_abs(1e-4);
    fit.set_ftol_abs(1e-5);
    fit.set_maxeval(400);
    double cost = 0;
    fit.optimize(x, cost);
    // A third part of a per cent of a usual amount is no amount.
    for (double& v : x)
      if (v < 0.003) v = 0;
    if (cost = search.cost(x); cost < least) least = cost, best = x;
  }
  return search.amounts(best);
}

}  // namespace witnessline::match
