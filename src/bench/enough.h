// Is there enough in the tin: what a job of spraying takes, with its band, and the chance that the tin holds out.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "base/figure.h"

namespace witnessline::bench {

/// A quantity known as a best value and a relative spread (one standard deviation of its logarithm).
struct Spread {
  double value = 0;
  double log_sd = 0;
};

/// What is to be covered, of one paint. All volumes are of paint as it stands in the tin, before thinning.
struct Covering {
  Spread area_m2;          ///< edges counted (see with_edges)
  Spread panels_m2;        ///< spray-out cards and test panels, same film
  Spread film_m;           ///< dry, of all coats together, before anything is flatted off
  Spread volume_solids;    ///< of the paint as in the tin
  Spread transfer;         ///< share of the solids that lands
  double fillings = 1;     ///< times the gun is filled and emptied
  double lost_m3 = 20e-6;  ///< each time: what stays in cup, hose and strainer
};

/// Area with the sprayed margin of edges: a fan does not stop at the edge. Law: area + run of edge x overshoot.
double with_edges_m2(double area_m2, double edge_m, double overshoot_m);

struct Need {
  double middle_m3 = 0;  ///< median
  Band band_m3;          ///< 95 %
  double log_sd = 0;     ///< of what is not fixed loss
  double fixed_m3 = 0;   ///< lost whatever is laid
};
/// Law: (area + panels) x film / (volume solids x transfer) + fillings x loss; the product of lognormals is one, the
/// sum of the two areas is taken as one with the same mean and variance (fenton1960). Source: geometry. Valid: spreads
/// below about 0.5. Departs: spreads are taken as independent.
Need needed(const Covering&);

/// Chance that what is in the tin is enough [1]. Law: normal distribution of the logarithm of (have - fixed)/need; the
/// tin's own spread joins in. Closed form of the same lognormals.
double chance_enough(const Covering&, const Spread& have_m3);
/// The same by keyed draws, which need none of the approximations.
double chance_enough_drawn(const Covering&, const Spread& have_m3, std::uint64_t seed, int draws = 20000);

/// What could be given up, in the order finishers give it up, and what each leaves as chance.
struct GivenUp {
  std::string what;
  double chance = 0;       ///< with this alone given up
  double chance_with = 0;  ///< with this and everything before it
};
/// Law: chance_enough with the change. Source: common_practice for the order: never the spray-out on scrap of this tin,
/// first waste, then what does not show, then build. `hidden_share`: of the area, that shows least (back, cavities).
std::vector<GivenUp> give_up(const Covering&, const Spread& have_m3, double hidden_share, double least_film_m);

}  // namespace witnessline::bench
