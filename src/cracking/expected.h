// How many checks to expect in a film of one kind, without a mesh: for asking before anything is cooled.
#pragma once

#include "cracking/driving.h"

namespace witnessline::cracking {

/// Flaws of a film and how its toughness varies.
struct Flawed {
  double flaws_per_m2 = 0, depth_share = 0;  ///< mean depth, of an exponential
  double toughness_log_sd = 0, toughness_length_m = 0;
  double longest_m = 0.3;  ///< the way from edge to edge
};

struct ExpectedChecks {
  double per_m2 = 0;           ///< that start
  double length_m_per_m2 = 0;  ///< of checks [m/m2]
  /// Area over length: mean distance from one to the next [m]; infinite without checks.
  double spacing_m() const;
};

/// Law: a flaw starts a check square to the greatest pull where its drive over the toughness there is above 1; it runs
/// from one patch of toughness to the next as long as its drive is above 1 there: a geometric series, up to the edges.
/// Source: geometry. Departs: checks do not meet; spots only, no seams, ridges or pores.
ExpectedChecks expected_checks(const CheckDrive&, const Flawed&);

}  // namespace witnessline::cracking
