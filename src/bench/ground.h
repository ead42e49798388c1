// Ground: what a fresh coat comes to lie on, what carries it there, and how the two will live together.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "bench/step_context.h"
#include "drying/wet_coat.h"

namespace witnessline::bench {

/// A paint as it leaves the gun.
struct Liquid {
  Paint paint;
  const Material* thinner = nullptr;  ///< none: as supplied
  double solids_fraction = 0;         ///< by volume
  /// What leaves the gun. None: the library lacks what its solvents need, and only common practice is left.
  std::optional<GunMix> mix;
  std::optional<SolutionViscosity> viscosity;  ///< none: nothing says how thick the paint is
};

/// Errors: a paint, a thinner that is not there; a thinner that throws the binder out (solvency_of()), water in a
/// solvent-borne paint, anything but water, glycol ether and the low alcohols in a water-borne one (common practice).
/// Notes what is doubtful.
Result<Liquid> liquid_of(const std::string& mixture, const std::string& thinner, double thinning, StepContext&);

/// A coat that lay outermost where a fresh one goes.
struct Ground {
  std::size_t layer = 0;
  double area_m2 = 0, thickness_m = 0;  ///< thickness: mean over that area
  Meeting meeting = Meeting::unknown;
  bool melts = false;  ///< the fresh coat's solvents soften it: the two join
};

/// The grounds of a fresh coat, judged by compatibility() or, where it lacks a figure, by common practice. Notes each
/// pair: danger or caution with the test and the rescue where it may lift, information where it bites or sits.
/// ESTIMATE: coats found are 30 years old, coats of the plan a month; one below a square centimetre is not told.
std::vector<Ground> grounds_under(const Liquid&, double wet_m, int coats, const Reach&, const std::vector<Paint>& below,
                                  StepContext&);

}  // namespace witnessline::bench
