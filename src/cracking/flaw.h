// A flaw in a stressed film: what it releases as it goes deeper, before it can run on as a check.
#pragma once

#include "cracking/channelling.h"

namespace witnessline::cracking {

/// Power s of r^-s with which stress grows towards the tip of a crack that ends square on the ground [1]; 0.5: alike.
/// Law: cos(s pi) - 2 (alpha - beta)/(1 - beta) (1 - s)^2 + (alpha - beta^2)/(1 - beta^2) = 0.
/// Source: zak1963, in Dundurs' parameters as beuth1992 has it. Valid: -1 < alpha < 1, beta between (alpha +- 1)/4.
double tip_power(const Mismatch&);

/// Energy of a flaw as it goes deeper, over depth; how it feels the ground it is coming to.
class FlawEnergy {
 public:
  explicit FlawEnergy(const Mismatch&);
  /// Energy over sigma^2 h / E' of a flaw of this share of the film's depth [1].
  /// Law: 1.1215^2 pi x (1 - x)^(1 - 2s) (1 + k x)^2, k such that its mean over the depth is the (pi/2) g of a channel.
  /// Source: beuth1992 (form); energy balance (k). Valid: 0 <= x < 1; a flaw long beside its depth. Departs: a round
  /// flaw releases 0.41 of it (memory: penny-shaped edge crack), so a speck must be deeper than a scratch.
  double at(double depth_share) const;
  /// Mean of that over the depth down to there: what it releases where it runs on at its own depth.
  double mean_to(double depth_share) const;
  /// What it releases where it has got down to the ground and runs: (pi/2) g.
  double channel() const { return channel_; }
  /// What decides whether it becomes a check, over channel() [1]: it deepens first, or runs as deep as it is.
  /// Law: the greater of mean_to and the lesser of at and channel, over channel.
  double share_of_channel(double depth_share) const;

 private:
  double power_ = 0, slope_ = 0, channel_ = 0;
};

}  // namespace witnessline::cracking
