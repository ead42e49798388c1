// Solvents as sums of groups: how strongly each wishes to leave a mixture (UNIFAC).
#pragma once

#include <span>
#include <vector>

#include "materials/material.h"

namespace witnessline::solvents {

inline constexpr std::size_t main_groups = 8;

/// A molecule as the group model sees it.
struct Groups {
  double size = 0, surface = 0;      ///< r and q: sums over its groups [1]
  double surface_of[main_groups]{};  ///< share of q that each main group holds [1]
  bool known() const { return size > 0; }
};

/// Groups of a solvent from its data; unknown when it gives none (turpentine, mineral spirits, blends).
/// Errors: a group that the model does not hold.
Result<Groups> groups_of(const Material&);

/// Activity coefficients of solvents in each other.
/// Law: UNIFAC, combinatorial part of Staverman and Guggenheim, residual part from group interactions.
/// Source: fredenslund1975; parameters hansen1991. Valid: 0 to 150 degC. Departs: made for boiling mixtures; 10 to 20 %
/// near room temperature, more for a trace of alcohol in a hydrocarbon; isomers look alike.
class GroupMixing {
 public:
  GroupMixing(std::span<const Groups>, double temperature_K);
  /// ln of the coefficients from mole fractions that sum to 1 [1].
  void ln_coefficients(std::span<const double> mole_fraction, std::span<double> ln_coefficient) const;

 private:
  using Row = double[main_groups];
  void residuals(const Row& surface_share, Row& residual) const;

  std::vector<Groups> molecules_;
  std::vector<std::vector<double>> alone_;  ///< residual of each group in the pure solvent
  Row interaction_[main_groups];
  std::vector<std::size_t> present_;
};

}  // namespace witnessline::solvents
