// The air face of a smooth film: what it reflects outside and inside.
#pragma once

#include "base/modules.h"

namespace witnessline::optics {

/// Reflectance of a smooth face from air into index n, unpolarised [1].
/// Law: Fresnel's equations, mean of s and p. Source: born1999 1.5.2. Valid: n >= 1, 0 <= angle <= 90 degrees.
double fresnel_reflectance(double n, double angle_deg);

/// The same for perfectly diffuse light from air [1].
/// Law: integral of R(theta) sin(2 theta). Source: judd1942. Valid: 1 <= n <= 3.
double diffuse_reflectance_outside(double n);

/// Reflectance of the face for perfectly diffuse light that comes from inside the film [1].
/// Law: 1 - (1 - r_outside) / n^2. Source: judd1942; saunderson1942. Valid: 1 <= n <= 3.
double diffuse_reflectance_inside(double n);

/// Air face of a film under one illumination.
struct AirFace {
  double outside = 0;  ///< Saunderson's K1
  double inside = 0;   ///< Saunderson's K2
};
AirFace air_face(double n, double illumination_deg);

/// What is measured outside when the film's body reflects `internal` [1].
/// Law: R = s K1 + (1 - K1)(1 - K2) Ri / (1 - K2 Ri), s the share of the face's own reflection that is seen.
/// Source: saunderson1942. Valid: 0 <= internal <= 1. Departs: light inside is taken as perfectly diffuse.
double seen_outside(double internal, AirFace, double specular_share);

/// Inverse of seen_outside. A reading below the face's own reflection comes back negative.
double inside_of(double seen, AirFace, double specular_share);

/// Reflectance of bare wood's body, as a film that touches it sees it [1].
/// Law: bare wood is taken to have an air face over half of its fibres, whose own reflection is scattered and seen:
/// R = (1 - h) Ri + h seen_outside(Ri), h = 0.5. That is why a clear darkens wood, as water does (lekner1988), but
/// less. Source: h is an ESTIMATE (docs/estimates.md, Wetting out). Valid: bare above h K1; below, a black body comes
/// back.
double body_of_bare_wood(double bare, AirFace);
inline constexpr double bare_wood_face_share = 0.5;

/// Share of the face's reflection that a roughness turns from specular into scattered light [1].
/// Law: 1 - exp(-(4 pi sigma cos(theta) / lambda)^2). Source: bennett1961 eq. 5.
/// Valid: roughness slopes small. Departs: the scattered light is taken as spread evenly.
double scattered_share(double roughness_m, double illumination_deg, double wavelength_nm);

}  // namespace witnessline::optics
