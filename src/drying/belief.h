// Belief: what is not known of a drying film, conditioned once on common practice (data/practice,
// tools/condition_drying).
#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "drying/cure.h"
#include "drying/resin.h"

namespace witnessline::drying {

/// What is not known beforehand. The first five and `hardness` are conditioned together on what practice says of
/// lacquer; `binder` is what practice says of the binder at hand: how hard it holds its solvent, or how fast it cures.
enum class Unknown {
  jump,
  wet_diffusivity,
  glass,
  solvent_transition,
  transfer,
  resin_transition,
  laid,
  binder,
  kept,
  hardness
};
inline constexpr std::size_t unknown_count = 10;
constexpr auto words(const Unknown*) {
  return std::array{"jump",     "wet_diffusivity",  "glass", "solvent_transition",
                    "transfer", "resin_transition", "laid",  "binder",
                    "kept",     "hardness"};
}

/// One value of everything unknown, as independent standard normals: 0 is the most likely. Physical values follow by
/// the root of the conditioned covariance, a lower triangle, so `hardness`, the last, moves nothing but itself.
using Draw = std::array<double, unknown_count>;

/// The physical values of a draw.
struct DrawnPhysics {
  FreeVolume how;
  double solvent_transition_K = 0;  ///< added to the solvent's
  double transfer = 1;              ///< factor on what the air takes up
  double resin_sds = 0;             ///< of the resin's glass transition, in its datum's own standard deviations
  double laid = 1;                  ///< factor on the film laid
  double binder_sds = 0;            ///< of the binder's own rate, in its standard deviations
  double harder_K = 0;              ///< asked of every use
};
DrawnPhysics physics_of(const Draw&);

/// Before practice and after it, in the unit of `unit`. ESTIMATE (data/practice/drying_unknowns.csv).
struct Conditioned {
  Unknown unknown{};
  double prior = 0, prior_sd = 0, mean = 0, sd = 0;
  const char* unit = "";
};
std::array<Conditioned, unknown_count> conditioned_unknowns();
inline double conditioned_sd(Unknown which) { return conditioned_unknowns()[static_cast<std::size_t>(which)].sd; }
/// The physical value of one unknown in a draw, in the unit of Conditioned.
double physical(const Draw&, Unknown);

/// What practice says of a binder. ESTIMATE (data/practice/drying_binders.csv).
struct BinderDrying {
  double hold = 1, hold_sd = 0;  ///< times the jump an alcohol needs; sd of ln(hold)
  /// Its glass transition: moved by practice, and then known to, in its datum's standard deviations; what ln(hold)
  /// gains where the transition lies one of those higher. sd 0: as a lacquer's.
  double transition_sds = 0, transition_sd = 0, hold_per_transition = 0;
  Cure cure;  ///< rate 0: it only dries
};
BinderDrying drying_of(Binder);
/// The same for a product. An oil paste filler is mostly quartz, with little oil and much drier, and cures faster than
/// the varnish that binds it: 0.09/h at 25 degC, sd of the logarithm 0.4.
/// Source: ESTIMATE, so that it is sanded after one to three days (common practice, no source); the wait falls as the
/// rate rises.
BinderDrying drying_of(const Material&);

/// What is held of the unknowns: the most likely draw, and equally likely draws around it.
struct Belief {
  Draw middle{};
  std::vector<Draw> draws;
  /// Standard deviation of one unknown over the draws, over what it is in common practice: about 1 before anything was
  /// weighed.
  double spread(Unknown) const;
};
/// Before anything was weighed: `count` seeded normal draws.
Belief usual_belief(int count = 80, std::uint64_t seed = 1);
/// What practice leaves of them for coats of a binder: draws that every row of its practice had a say in
/// (data/practice/drying_draws.csv), so that none of them never hardens. Its own rows for shellac and spirit varnish, a
/// lacquer's for all others.
Belief belief_of(Binder);

}  // namespace witnessline::drying
