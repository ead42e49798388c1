// Channelling: what energy a crack through a stressed film releases as it runs, and how thick the film must be for it.
#pragma once

#include <optional>

#include "base/modules.h"

namespace witnessline::cracking {

/// An elastic solid, isotropic in the plane that counts.
struct Elastic {
  double modulus_Pa = 0;
  double poisson = 0;
  double plane_strain_Pa() const { return modulus_Pa / (1 - poisson * poisson); }
  double shear_Pa() const { return modulus_Pa / (2 * (1 + poisson)); }
};

/// How unlike film and ground are [1]; both 0: alike. alpha above 0: the film is the stiffer one.
struct Mismatch {
  double alpha = 0, beta = 0;
};
/// Law: Dundurs' parameters in plane strain. Source: hutchinson1992.
Mismatch mismatch(const Elastic& film, const Elastic& ground);

/// Energy number of a channelling crack down to the ground [1]: g of G = (pi/2) g sigma^2 h / E'.
/// Law: logarithm of g by cubics through finite-element values on beta = alpha/4, in ln(1 - alpha); off that line
/// 0.46 (beta - alpha/4) is added. Source: beuth1992 (definition); 1.1215^2 = 1.2578 at alpha = beta = 0, exact.
/// Valid: -0.99 <= alpha <= 0.99, |beta - alpha/4| <= 0.05; slope in beta ESTIMATE from two values at alpha -0.7 to
/// -0.8. Departs: isotropic ground; the wood's stiffness in the direction the crack opens stands for it.
double channel_g(const Mismatch&);

/// Largest energy a channelling crack releases per area of crack [J/m2]. Law: (pi/2) g sigma^2 h / E'.
/// Source: beuth1992; hutchinson1992 (Z = 1.976 without mismatch). A film that is pressed releases none.
/// Valid: crack longer than a few film thicknesses, on its own, through the whole film.
double channel_energy_J_m2(double stress_Pa, double thickness_m, const Elastic& film, const Mismatch&);

/// The same for the crack that first goes down, an edge crack of the film's depth, no mismatch [J/m2].
/// Law: 1.1215^2 pi sigma^2 h / E'. Source: hutchinson1992 (Z = 3.951).
double surface_crack_energy_J_m2(double stress_Pa, double thickness_m, const Elastic& film);

/// Energy a film holds per area of ground, and what a long loose place releases as it grows [J/m2].
/// Law: sigma^2 h / (2 E'). Source: hutchinson1992 (Z = 0.5).
double stored_energy_J_m2(double stress_Pa, double thickness_m, const Elastic& film);

/// Thickness from which a flaw can run on as a check [m]; none: the film is not in tension, no thickness checks.
/// Law: h = Gc E' / ((pi/2) g sigma^2). Source: hutchinson1992. Valid: a flaw as deep as the film is there to start
/// from.
std::optional<double> onset_thickness_m(double stress_Pa, double fracture_energy_J_m2, const Elastic& film,
                                        const Mismatch&);

/// How far a crack takes the stress off the film beside it [m]. Law: l = (pi/2) g h. Source: xia2000.
double shadow_length_m(double thickness_m, double g);

/// Energy of one of many cracks at a spacing, over that of a crack on its own [1]. Law: tanh(H / 2l). Source: xia2000.
double share_in_array(double spacing_ratio);

/// The same for a new crack midway between two, when the spacing after it is H [1]. Law: 2 tanh(H/2l) - tanh(H/l).
double share_midway(double spacing_ratio);

/// Spacing at which no new crack finds room [in shadow lengths]; none: not one crack runs. Law: the above equals Gc /
/// G. Source: xia2000. A lower bound only: starters, not shadows, set the spacing of checks on an instrument.
std::optional<double> closest_spacing(double energy_ratio);

}  // namespace witnessline::cracking
