// Forecast: coats laid one after the other, what they hold over time and when they may be used, with the full band of
// what is not known.
#pragma once

#include <array>
#include <cstdint>
#include <limits>
#include <span>
#include <vector>

#include "drying/column.h"
#include "drying/readiness.h"

namespace witnessline::drying {

/// A coat as it is laid.
struct LaidCoat {
  Resin resin;
  double glass_transition_sd_K = 12.0;
  double dry_m = 0, solvent_m = 0;
  double at_s = 0;  ///< since the first coat; never earlier than the one before
};

/// What is dried, where.
struct DryingCase {
  std::vector<LaidCoat> coats;  ///< wood side first
  FilmSolvent solvent;
  Draught air;
  bool on_wood = false;  ///< bare wood below takes solvent up; else sealed or a card
};

/// What is not known beforehand, in the order of Unknown; each in its own standard deviations.
enum class Unknown { jump, wet_diffusivity, transfer, resin_transition, solvent_transition, laid, hardness };
inline constexpr std::size_t unknown_count = 7;
using Draw = std::array<double, unknown_count>;

/// One standard deviation of each. All ESTIMATE: jump 0.08; wet diffusivity a factor 2; transfer to the air 30 %;
/// solvent's glass transition 8 K; film laid 10 %; hardness asked for 5 K. The resin's comes from its datum.
inline constexpr Draw unknown_sd{0.08, 0.69, 0.30, 1.0, 8.0, 0.10, 5.0};

/// What is held of the unknowns: the most likely draw, and equally likely draws around it.
struct Belief {
  Draw middle{};
  std::vector<Draw> draws;
  /// Standard deviation of one unknown over the draws, in its first ones: about 1 before anything was weighed.
  double spread(Unknown) const;
};
/// Before anything was weighed: `count` seeded normal draws.
Belief usual_belief(int count = 80, std::uint64_t seed = 1);

/// How a column stands at one moment.
struct DriedMoment {
  double at_s = 0;
  std::vector<double> solvent_m;  ///< a coat; 0 before it is laid
  double outer_fraction = 0;      ///< volume fraction of solvent in the outer 20 um of dry film
  double wood_m = 0;              ///< solvent in the wood
};

/// One run of a case.
struct Dried {
  std::vector<DriedMoment> moments;  ///< at the times asked for
  std::array<double, 7> ready_s;     ///< a Use: since the last coat was laid; infinity: not by the end
  std::vector<bool> soft_below;      ///< a coat: the one below was not yet ready for it
  double laid_m = 0, gone_m = 0, left_m = 0, wood_m = 0;  ///< solvent: laid, into the air, in the coats, in the wood
  bool finished = true;                                   ///< false: the solver stopped short
};

/// Works a case out with one draw of what is not known. `times_s` rise, since the first coat.
Dried dried(const DryingCase&, const Draw&, std::span<const double> times_s, double until_s, ColumnAccuracy = {});

/// A case with bands: 2.5 and 97.5 % over the belief's draws.
struct Forecast {
  Dried middle;                 ///< with the middle of the belief
  std::array<Band, 7> ready_s;  ///< a Use; infinity: not by the end
  std::vector<Band> left_m;     ///< all solvent in the coats at the times asked for
};
/// Runs in parallel; the same at any thread count.
Forecast forecast(const DryingCase&, const Belief&, std::span<const double> times_s, double until_s);

}  // namespace witnessline::drying
