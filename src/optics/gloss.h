// Specular gloss of a film's face, as a glossmeter shows it, and the roughness that gives it.
#pragma once

#include <optional>

#include "base/modules.h"

namespace witnessline::optics {

/// Gloss [gloss units] at an angle: 100 is polished black glass of index 1.567.
/// Law: 100 R(n) / R(1.567) x (1 - scattered_share) at 555 nm. Source: astm_d523 (scale, angles); bennett1961
/// (roughness). Valid: 20, 60 or 85 degrees; roughness slopes small. Departs: the meter's aperture takes in light
/// scattered by a degree or two; colour of the film below adds none.
double specular_gloss(double refractive_index, double roughness_m, double angle_deg);

/// Roughness of a face that shows this gloss [m]; none: a smooth film of that index does not reach it.
/// Law: inverse of specular_gloss. Valid: gloss above 0.
std::optional<double> roughness_of_gloss(double refractive_index, double gloss, double angle_deg);

}  // namespace witnessline::optics
