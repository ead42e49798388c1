// Hansen solubility parameters: will this solvent dissolve, swell or leave that film alone.
#pragma once

#include <optional>
#include <span>

#include "materials/material.h"

namespace witnessline::solvents {

/// Dispersion, polar and hydrogen-bonding parameters [Pa^0.5].
struct Hansen {
  double d = 0, p = 0, h = 0;
};

/// Those of a material, when it has all three.
std::optional<Hansen> hansen_of(const Material&);

/// Distance between two substances [Pa^0.5]. Law: Ra^2 = 4 (dd)^2 + (dp)^2 + (dh)^2. Source: hansen2007, Eq. 1.9.
double hansen_distance(const Hansen&, const Hansen&);

/// Relative energy difference Ra/R0 of a solvent and a film former with its radius [1]: below 1 dissolves.
/// Source: hansen2007, Eq. 1.10. Departs: not a verdict between 0.9 and 1.1; cross-linked films swell at most.
std::optional<double> relative_energy_difference(const Material& film_former, const Hansen& solvent);

/// One solvent and its share of a blend by volume.
struct HansenPart {
  Hansen parameters;
  double volume_fraction = 0;
};

/// Parameters of a blend [Pa^0.5]. Law: average by volume fraction. Source: hansen2007, ch. 1.
Hansen hansen_of_blend(std::span<const HansenPart>);

}  // namespace witnessline::solvents
