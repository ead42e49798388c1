// Is there enough in the tin: what a job of spraying takes, with its band, and the chance that the tin holds out.
#pragma once

#include <array>
#include <cstdint>
#include <string>
#include <vector>

#include "base/chance.h"
#include "bench/tin.h"

namespace witnessline::bench {

/// What is usual where nobody says better. ESTIMATE (docs/estimates.md).
namespace usual {
inline constexpr double area_sd = 0.05, film_sd = 0.15, solids_sd = 0.15, transfer_sd = 0.15, tin_sd = 0.03;
inline constexpr double card_m2 = 0.031;  ///< one card of 148 x 210 mm a spraying, sprayed along with the work
}  // namespace usual

/// What a paint is put on with.
enum class Applicator { gun, small_gun, airbrush, brush };
constexpr auto words(const Applicator*) { return std::array{"gun", "small_gun", "airbrush", "brush"}; }
/// Its cup, and what stays in cup, hose and strainer at each filling. ESTIMATE (docs/estimates.md): 600 and 20 mL, 125
/// and 6 mL, 7 and 1 mL, 50 and 1 mL.
struct Filling {
  double cup_m3 = 0, lost_m3 = 0;
};
Filling filling_of(Applicator);
/// What so much paint is usually put on with: nobody fills a gun for a touch-up. ESTIMATE: an airbrush up to two of its
/// cups, a small gun up to two of its.
Applicator usual_applicator(double paint_m3);

/// A quantity known as a best value and a relative spread (one standard deviation of its logarithm).
struct Spread {
  double value = 0;
  double log_sd = 0;
};

/// What is to be covered, of one paint. All volumes are of paint as it stands in the tin, before thinning.
struct Covering {
  Spread area_m2;                                        ///< edges counted (see with_edges)
  Spread panels_m2;                                      ///< spray-out cards and test panels, same film
  Spread film_m;                                         ///< dry, of all coats together, before anything is flatted off
  Spread volume_solids;                                  ///< of the paint as in the tin
  Spread transfer;                                       ///< share of the solids that lands
  double fillings = 1;                                   ///< times the gun is filled and emptied
  double lost_m3 = filling_of(Applicator::gun).lost_m3;  ///< each time: what stays in cup, hose and strainer
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

/// Chance that a tin sprays and dries as it should [1]: tried and found good, not tried, to be proved on scrap,
/// refused. ESTIMATE: 98, 95, 80 and 2 in 100.
double chance_it_sprays(std::optional<TinVerdict>);

/// What could be given up, in the order finishers give it up, and what each leaves as chance.
struct GivenUp {
  std::string what;
  double chance = 0;       ///< with this alone given up
  double chance_with = 0;  ///< with this and everything before it
};
/// Law: chance_enough with the change. Source: common_practice for the order: never the spray-out on scrap of this tin,
/// first waste, then what does not show, then build. `hidden_share`: of the area, that shows least (back, cavities).
std::vector<GivenUp> give_up(const Covering&, const Spread& have_m3, double hidden_share, double least_film_m);

/// Whether a tin is enough, for one question or for a plan: both ask here.
struct Enough {
  Need need;
  double chance_there_is = 0;   ///< that there is enough of it
  double chance = 0;            ///< that there is, and that it sprays as it should; bounded
  bool plenty = false;          ///< there is enough of it, nine chances in ten
  std::vector<GivenUp> offers;  ///< chances bounded, spraying counted
};
/// Law: chance_enough x `sprays`, held by bounded_chance.
Enough enough_of(const Covering&, const Spread& have_m3, double sprays, double hidden_share = 0,
                 double least_film_m = 0);

}  // namespace witnessline::bench
