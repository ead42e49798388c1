// Whether what lies above a coat hides it.
#pragma once

#include <array>

#include "colour/colour.h"
#include "optics/reflectance.h"

namespace witnessline::optics {

/// A stack of later coats hides when less than this share of the light gets through (ESTIMATE: at a half the eye still
/// reads the shade below as the finish's own; moves "visible" against "buried", never their sum).
inline constexpr double hiding_transmission = 0.5;

/// Luminous optical density of one coat by thickness, tabulated.
class HidingPower {
 public:
  /// `most_m`: the thickest film asked for; `yellow`: units of yellowing of the coat.
  HidingPower(const CoatOptics&, double yellow, double most_m, const Weights&);

  /// -ln of the luminous transmittance of a film of `thickness_m` [1].
  /// Law: T = sum(ybar E tau) / sum(ybar E), tau of the film by kubelka1948; densities of coats add.
  /// Source: kubelka1948; CIE 15 for the weights. Valid: thickness_m >= 0.
  /// Departs: neither light thrown back and forth between coats nor the change of its colour from coat to coat.
  double optical_depth(double thickness_m) const;

 private:
  static constexpr int steps_ = 64;
  double most_m_;
  std::array<double, steps_ + 1> tabulated_{};
};

}  // namespace witnessline::optics
