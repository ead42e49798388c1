// The small laws steps are made of: what paper takes, how edges behave, how solvent leaves, how long work takes.
// Every constant is an ESTIMATE unless a source is named; docs/estimates.md says what moves with each.
#pragma once

#include <algorithm>
#include <cmath>

#include "materials/material.h"

namespace witnessline::bench {

/// Median grain of FEPA P paper [m] for a P number.
/// Law: table, interpolated in the logarithm of both. Source: fepa_43_1, ISO 6344. Valid: P12 to P2500;
/// beyond them the end of the table.
double grain_size_m(int grit);

/// Depth that keying with a paper takes off a lacquer film [m].
/// Law: a quarter of the median grain (ESTIMATE, so that P220 takes 10-25 um: common practice, no source).
inline double keying_depth_m(int grit) { return 0.25 * grain_size_m(grit); }

/// Deepest scratches left by a paper [m].
/// Law: a tenth of the median grain. Source: ESTIMATE, confidence low.
inline double scratch_depth_m(int grit) { return 0.1 * grain_size_m(grit); }

/// Share 0..1 to which a place is an edge for a block or wheel.
/// Law: smooth step of the larger principal curvature from 1/30 mm (an arch: none) to 1/3 mm (an edge: all). ESTIMATE.
inline double edge_share(double curvature_max_per_m) {
  constexpr double none_per_m = 1.0 / 0.030, all_per_m = 1.0 / 0.003;
  const double x = std::clamp((curvature_max_per_m - none_per_m) / (all_per_m - none_per_m), 0.0, 1.0);
  return x * x * (3.0 - 2.0 * x);
}

/// Share of a wet coat that stays on a convex edge [1].
/// Law: capillary pressure gamma/r drives flow off the edge, dh/dt = -gamma h^3 / (3 mu r^3), so
/// h/h0 = 1/sqrt(1 + 2 tau) with tau = gamma h0^2 / (3 r^3) * integral dt/mu.
/// Source: orchard1963 (lubrication flow of a thin film; it gives the same driving term for levelling).
/// Valid: h0 < r. Departs: one radius, one mobility for the whole time the coat flows.
/// ESTIMATE: gamma 0.028 N/m; integral dt/mu 20 1/Pa (50 mPa s for one second, before the coat sets).
inline double edge_pull(double wet_m, double curvature_max_per_m) {
  if (curvature_max_per_m <= 0) return 1.0;
  constexpr double surface_tension_N_m = 0.028, mobility_per_Pa = 20.0;
  const double k = curvature_max_per_m;
  return 1.0 / std::sqrt(1.0 + 2.0 * surface_tension_N_m * wet_m * wet_m * k * k * k * mobility_per_Pa / 3.0);
}

/// Solvent leaving one layer.
struct Evaporation {
  /// Law: butyl acetate, 0.63 mL from 63.6 cm2 in 470 s (the form of ASTM D3539, from memory), times sqrt of the air
  /// speed over 0.3 m/s and Clausius-Clapeyron with 40 kJ/mol from 294 K. ESTIMATE until blends are followed.
  Evaporation(double temperature_K, double air_speed_m_s);

  double free_m_s;  ///< while solvent is free at the surface [m/s]

  /// Dry film above which a share of solvent is free: a tenth (ESTIMATE).
  static constexpr double bound_fraction = 0.10;
  /// What a film keeps for good as far as a plan goes: a fiftieth (ESTIMATE).
  static constexpr double kept_fraction = 0.02;

  /// Seconds until the free solvent of a layer has gone.
  double free_time_s(double dry_m, double solvent_m) const {
    return std::max(0.0, solvent_m - bound_fraction * dry_m) / free_m_s;
  }
  /// Solvent left in a layer after `free_s` seconds at the surface-limited rate and `bound_s` seconds after that.
  /// Law: linear loss of what is free, then exponential loss of the bound share with time 3 d (dry/25 um)^2 (diffusion
  /// goes with thickness squared; ESTIMATE). Two waits make one wait of their sum.
  double left_m(double dry_m, double solvent_m, double free_s, double bound_s) const {
    const double bound_m = bound_fraction * dry_m;
    double s = solvent_m;
    if (bound_s > 0)
      s = std::min(s, bound_m);
    else
      s = std::max(std::min(s, bound_m), s - free_m_s * free_s);
    const double kept_m = kept_fraction * dry_m;
    if (bound_s <= 0 || s <= kept_m) return s;
    const double tau_s = 3.0 * 86400.0 * (dry_m / 25e-6) * (dry_m / 25e-6);
    if (tau_s <= 0) return 0;
    return kept_m + (s - kept_m) * std::exp(-bound_s / tau_s);
  }
};

/// Grime left of what was there after a number of fresh cloths [1].
/// Law: each cloth leaves three tenths; without a dry one after it most of what was dissolved dries back on, and it
/// leaves eight tenths. ESTIMATE.
inline double grime_left(int cloths, bool dry_off) { return std::pow(dry_off ? 0.3 : 0.8, cloths); }
/// Above this a finish is not sprayed [kg/m2]: 0.1 g/m2, about 0.1 um of wax (ESTIMATE).
inline constexpr double grime_limit_kg_m2 = 1e-4;

}  // namespace witnessline::bench
