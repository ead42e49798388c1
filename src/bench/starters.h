// Starters: the flaws checks start from. Sampled by area, so a finer mesh has the same ones in the same places.
#pragma once

#include <string>
#include <vector>

#include "base/random.h"
#include "bench/run.h"
#include "bench/step.h"

namespace witnessline::bench {

enum class StarterKind : std::uint8_t { flaw, edge, texture, seam, ding };

struct Starter {
  SurfacePoint at;
  StarterKind kind{};
  double depth_share = 0;  ///< of the film that may check; or, where it comes from the wood,
  double depth_m = 0;      ///< how far it reaches up into the film
  double line_m = 0;       ///< a line along the grain leads its check so far each way, and no further; 0: a spot
  Key key;
};

// ESTIMATE, all of them: no count was found. docs/estimates.md says what moves.
inline constexpr double flaws_per_m2 = 3000;       ///< bubbles, dust, specks: one on 3.3 cm2
inline constexpr double flaw_depth_share = 0.15;   ///< mean of an exponential
inline constexpr double edge_crowding_factor = 4;  ///< at edges, rims of holes and cavities, and
inline constexpr double edge_depth_share = 0.3;    ///< deeper there
inline constexpr double ridges_per_m2 = 1000;      ///< places where late wood of spruce stands up under the film
inline constexpr double ridge_depth_m = 15e-6;     ///< mean of an exponential
inline constexpr double pores_per_m2 = 3000;       ///< where every pore is open
inline constexpr double pore_depth_m = 80e-6;      ///< mean of an exponential

inline constexpr double texture_line_m = 0.03;  ///< mean of an exponential, each way
inline constexpr double seam_line_m = 0.06;     ///< the same

/// Law: where straight lines in space, isotropic and keyed by their number, meet the surface; such points are even over
/// any area (Cauchy and Crofton). Thinned by place: edges, ridges, open pores. Beside them the given seams, the dings
/// of the film and the dents of the survey. Source: santalo1976.
/// `woods`: by Body::wood_of; conifers have ridges.
std::vector<Starter> starters_on(const Body&, const Film&, const std::vector<std::shared_ptr<const Material>>& woods,
                                 const std::vector<Seam>&, Key);

}  // namespace witnessline::bench
