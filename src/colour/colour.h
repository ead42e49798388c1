// From reflectance to numbers a person can compare: XYZ, Lab, Delta E 2000, sRGB.
#pragma once

#include <array>

#include "colour/spectrum.h"

namespace witnessline {

enum class Lamp { A, D50, D65, LED_B3 };
constexpr auto words(const Lamp*) { return std::array{"A", "D50", "D65", "LED-B3"}; }
inline constexpr std::array all_lamps{Lamp::A, Lamp::D50, Lamp::D65, Lamp::LED_B3};

enum class Observer { deg2, deg10 };
constexpr auto words(const Observer*) { return std::array{"2 deg", "10 deg"}; }

struct Xyz {
  double x = 0, y = 0, z = 0;
};  ///< Y = 100 for the perfect diffuser
struct Lab {
  double l = 0, a = 0, b = 0;
};  ///< CIE 1976 L*a*b*
struct Rgb {
  double r = 0, g = 0, b = 0;
};  ///< sRGB, encoded, 0..1 (out-of-gamut values clipped last)

/// Tristimulus weights for reflectance at the project's bands.
/// Law: ASTM E2022 weights of the 1 nm products, ends folded onto the first and last band (ASTM E308).
struct Weights {
  std::array<double, bands> x{}, y{}, z{};
};
const Weights& weights(Lamp, Observer);

Xyz white_point(Lamp, Observer);
Xyz to_xyz(const Reflectance&, Lamp, Observer);
Lab to_lab(const Xyz&, const Xyz& white);
Xyz to_xyz(const Lab&, const Xyz& white);
Lab to_lab(const Reflectance&, Lamp, Observer);

/// CIEDE2000 with kL = kC = kH = 1. Source: sharma2005, eqs. 2-22; CIE 142-2001.
double delta_e_2000(const Lab&, const Lab&);

/// sRGB for the screen, adapted from the lamp to D65 (Bradford). Source: IEC 61966-2-1.
Rgb to_srgb(const Xyz&, const Xyz& white);

/// ASTM E313 yellowness index (C/2, D65/2, C/10, D65/10 have coefficients; here D65 only).
double yellowness_e313(const Xyz&, Observer);

}  // namespace witnessline
