// What a life leaves on a surface in light, sheen and dirt: the laws that ageing steps work in and history reads back.
// Every constant is an ESTIMATE unless a source is named; docs/estimates.md says what moves with each.
#pragma once

#include <algorithm>
#include <cmath>

#include "materials/life.h"

namespace witnessline::bench {

/// Share of the room's light that falls on a face, over that on a face turned to the room [1].
/// Law: (1 + cos b) / 2 of light from the whole half of space before it, b the angle between the two, and a floor of
/// what walls throw back. Source: liu1960 (sky of even brightness); the floor 0.15 is an ESTIMATE. Valid: -1 to 1.
/// Departs: no window, no shadow of hands, strings or stand.
inline double light_share(double cos_to_room) {
  constexpr double thrown_back = 0.15;
  return thrown_back + (1 - thrown_back) * 0.5 * (1 + cos_to_room);
}

/// Hours of hands, cloth and case against it, all together [s].
inline double touched_s(const Life& life) {
  double sum = 0;
  for (const TouchTime& t : life.touches) sum += t.time_s;
  return sum;
}

/// How a polished face dulls: squares of roughness gained, a year of age and an hour of handling.
struct Dulling {
  double aged_m = 45e-9;     ///< rms height that fifty years alone give (ESTIMATE: 60-degree gloss from 91 to 70)
  double handled_m = 60e-9;  ///< and five thousand hours of handling
};
/// Roughness of a face after it [m]. Law: heights of independent causes add as squares, each growing with its time.
/// Source: ESTIMATE. Valid: finishes that were polished. Departs: skin also polishes; no wax, no haze.
inline double dulled_roughness_m(double fresh_m, double age_s, double handled_s, const Dulling& by = {}) {
  constexpr double aged_for_s = 50 * 31557600.0, handled_for_s = 5000 * 3600.0;
  return std::sqrt(fresh_m * fresh_m + by.aged_m * by.aged_m * age_s / aged_for_s +
                   by.handled_m * by.handled_m * handled_s / handled_for_s);
}

/// Share of the most grime that a place holds, by how it is curved [1].
/// Law: smooth step of the mean of the principal curvatures: half on an edge of 3 mm, which is rubbed clean, one on the
/// flat, two in a hollow of 3 mm. Source: ESTIMATE.
inline double grime_hold(double curvature_min_per_m, double curvature_max_per_m) {
  constexpr double sharp_per_m = 1.0 / 0.003;
  const double hollow = std::clamp(-0.5 * (curvature_min_per_m + curvature_max_per_m) / (0.5 * sharp_per_m), -1.0, 1.0);
  return std::exp2(hollow);
}

/// Dirt in a check of this depth, over the area of its mouth [kg/m2].
/// Law: a check fills with packed dirt of 1000 kg/m3 to 0.6 of its depth as the grime about it grows past 0.3 g/m2.
/// Source: ESTIMATE. Valid: depth and grime at least 0.
inline double lodged_kg_m2(double depth_m, double grime_kg_m2) {
  return 600.0 * depth_m * -std::expm1(-grime_kg_m2 / 0.3e-3);
}

}  // namespace witnessline::bench
