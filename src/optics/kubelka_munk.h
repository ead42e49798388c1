// Kubelka-Munk: one film with light going up and down.
#pragma once

#include "base/modules.h"

namespace witnessline::optics {

/// A film's optical depths, K and S times its thickness [1].
struct OpticalDepth {
  double absorption = 0, scattering = 0;
};

/// Reflectance over black and transmittance of a film without faces [1].
struct FilmOptics {
  double reflectance = 0, transmittance = 1;
};

/// Law: R0 = S' q / ((K' + S') q + cosh t), T = 1 / ((K' + S') q + cosh t), t = sqrt(K' (K' + 2 S')), q = sinh(t) / t.
/// Source: kubelka1948 eqs. for R0 and T, written so that K = 0, S = 0 and no thickness need no case of their own.
/// Valid: depths >= 0. Departs: diffuse light only; no change of index inside.
FilmOptics film_optics(OpticalDepth);

/// Film over a ground, which may be another film over its own ground.
/// Law: R = R0 + T^2 Rg / (1 - R0 Rg). Source: kubelka1948; kubelka1954 for films upon films.
double over_ground(FilmOptics, double ground);

/// Film so thick that nothing of the ground shows. Source: kubelka1948: 1 + K/S - sqrt((K/S)^2 + 2 K/S).
double thick_reflectance(double k_over_s);
/// Inverse of thick_reflectance: (1 - R)^2 / (2 R).
double k_over_s(double thick_reflectance);

/// Depths of the film from its reflectance over a dark and a light ground (all internal).
/// Law: a = [(Rw - Rb)(1 + Gw Gb) - (Gw - Gb)(1 + Rw Rb)] / (2 [Rw Gb - Rb Gw]),
///      S' = [arcoth((a - Rb)/b) - arcoth((a - Gb)/b)] / b, K' = (a - 1) S', b = sqrt(a^2 - 1).
/// Source: kubelka1948. Valid: 0 <= dark < light ground. Departs: where noise leaves no such film (absorption or
/// scattering below zero, or a film that hides the ground) the nearest film that can be is returned and `clamped` says
/// so.
struct InverseFilm {
  OpticalDepth depth;
  bool clamped = false;
};
InverseFilm film_from_two_grounds(double over_dark, double over_light, double dark, double light);

}  // namespace witnessline::optics
