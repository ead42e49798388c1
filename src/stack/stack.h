// Stack: a column of coats from wood to air at one place. No mesh here.
#pragma once

#include <algorithm>
#include <limits>
#include <memory>
#include <string>
#include <vector>

#include "materials/material.h"

namespace witnessline::stack {

/// Where a coat comes from.
enum class Origin { original, later, this_plan };
constexpr auto words(const Origin*) { return std::array{"original", "later", "this_plan"}; }
struct Provenance {
  Origin origin{};
  std::string laid_by;  ///< coat name in the job file, or id of the step that laid it
  friend bool operator==(const Provenance&, const Provenance&) = default;
};

/// A coat at one place.
struct Layer {
  std::shared_ptr<const Mixture> mixture;
  Provenance provenance;
  double dry_m = 0;       ///< dry solids volume per area [m]; negative: how far a cut passed below its bottom
  double solvent_m = 0;   ///< solvent volume per area [m]
  double melted = 0;      ///< fraction of this layer dissolved into the one above, 0..1
  double light_lx_s = 0;  ///< light received since it was laid [lx s]
  /// How long it has had to cure, as seconds at 25 degC.
  double cured_s = std::numeric_limits<double>::infinity();
  double thickness_m() const { return dry_m > 0 ? dry_m + solvent_m : 0.0; }
};

/// What the air side looks and feels like.
struct Surface {
  double roughness_m = 0;  ///< rms height of the air face [m]
  double scratch_m = 0;    ///< depth of the deepest scratches left by the last grit [m]
  double grime_kg_m2 = 0;
  double open_pore = 0;  ///< fraction of the area that is unfilled pore, 0..1
};

struct Stack {
  std::shared_ptr<const Material> wood;
  double wood_cut_m = 0;      ///< how far below the original wood surface the surface now is [m]
  std::vector<Layer> layers;  ///< wood side first
  Surface surface;

  double thickness_m() const;
};

/// What a cut took.
struct Cut {
  std::vector<double> dry_removed_m;  ///< a layer, same order
  std::vector<double> solvent_removed_m;
  double wood_removed_m = 0;
};

/// A cut of `depth_m` [m] arriving at the air side of one layer; returns the depth that goes on below it [m].
/// Law: a layer thicker than the cut keeps the rest, dry film and solvent in proportion; a thinner one is gone and
/// records, as a negative dry_m, how far the cut passed below its bottom; one already gone is passed further.
/// The melted part lies on the air side of the layer, so it goes first.
/// Source: geometry. Valid: depth_m >= 0. Departs: solvent is taken as evenly spread through the layer.
inline double cut_layer(double& dry_m, double& solvent_m, double& melted, double depth_m) {
  if (dry_m <= 0) {
    dry_m -= depth_m;
    return depth_m;
  }
  const double thickness_m = dry_m + solvent_m;
  if (depth_m < thickness_m) {
    const double kept = 1.0 - depth_m / thickness_m;
    const double melted_left = melted - (1.0 - kept);
    melted = melted_left > 0 ? std::min(1.0, melted_left / kept) : 0.0;
    dry_m *= kept;
    solvent_m *= kept;
    return 0.0;
  }
  const double passed_m = depth_m - thickness_m;
  dry_m = passed_m > 0 ? -passed_m : 0.0;
  solvent_m = 0;
  melted = 0;
  return passed_m;
}

/// Takes `depth_m` off the air side, layer by layer, into the wood when it must.
/// Remaining thickness is signed: a layer that is gone records how far the cut passed its bottom.
/// Valid: depth_m >= 0. Departs: solvent leaves in proportion to the dry film taken.
Cut cut(Stack&, double depth_m);

/// Index of the outermost layer still there, or -1 for bare wood.
int exposed_layer(const Stack&);

}  // namespace witnessline::stack
