// Cure: binders that harden by becoming one molecule, by oxygen, hardener, acid or heat.
#pragma once

#include "materials/material.h"

namespace witnessline::drying {

/// How fast a coat cures. Nothing cures at rate 0.
struct Cure {
  double rate_per_s = 0;  ///< at 25 degC, of a coat 30 um dry
  double rate_sd = 0;     ///< one standard deviation of ln(rate)
  double begun = 0;       ///< degree of cure there is as soon as it is laid [1]
  bool by_air = false;    ///< oxygen has to come in through the face
};

/// Where FilmLayer::cured_s counts, and the coat the rates of the table are of.
inline constexpr double cured_at_K = 298.15, usual_cured_coat_m = 30e-6;

/// Times as fast as at 25 degC [1]. Law: Arrhenius, 60 kJ/mol. Source: ESTIMATE, see degree_of_cure().
double cure_pace(double temperature_K);

/// Degree of cure after a time [1]. Law: da/dt = k (1 - a)^2.5, k by Arrhenius with 60 kJ/mol (2.2 times for 10 K);
/// where oxygen comes in through the face, k falls as 2 / (1 + (coat / 30 um)^2). Source: ESTIMATE: a reaction slowed
/// by its own hardening; order and warmth so that practice's ratios come out (docs/models/drying.md). Valid: 5 to 45
/// degC. Departs: no induction time, no humidity (moisture cure, water), no stop by vitrification.
double degree_of_cure(const Cure&, double time_s, double temperature_K, double coat_m);
/// The inverse: seconds until a degree of cure; infinity where nothing cures.
double cure_time_s(const Cure&, double degree, double temperature_K, double coat_m);

}  // namespace witnessline::drying
