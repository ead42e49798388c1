// From reflectance to numbers a person can compare: XYZ, Lab, Delta E 2000, sRGB.
#pragma once

#include <array>
#include <span>

#include "base/describe.h"
#include "colour/spectrum.h"

namespace witnessline::colour {

enum class Lamp { A, D50, D65, LED_B3, C };
constexpr auto words(const Lamp*) { return std::array{"A", "D50", "D65", "LED-B3", "C"}; }
/// The lamps every reading is given under (C is for old tables only).
inline constexpr std::array all_lamps{Lamp::A, Lamp::D50, Lamp::D65, Lamp::LED_B3};

enum class Observer { deg2, deg10 };
constexpr auto words(const Observer*) { return std::array{"2 deg", "10 deg"}; }

struct Xyz {
  double x = 0, y = 0, z = 0;
};  ///< Y = 100 for the perfect diffuser
struct Lab {
  double l = 0, a = 0, b = 0;
};  ///< CIE 1976 L*a*b*
template <class V>
void describe(V& v, Lab& c) {
  v(member("l", "L*"), c.l);
  v(member("a", "a*"), c.a);
  v(member("b", "b*"), c.b);
}
struct Rgb {
  double r = 0, g = 0, b = 0;
};  ///< sRGB, encoded, 0..1 (out-of-gamut values clipped last)
template <class V>
void describe(V& v, Rgb& c) {
  v(member("r", "red, encoded, 0..1"), c.r);
  v(member("g", "green, encoded, 0..1"), c.g);
  v(member("b", "blue, encoded, 0..1"), c.b);
}

/// Tristimulus weights for reflectance at the project's bands.
/// Law: ASTM E2022 weights of the 1 nm products, ends folded onto the first and last band (ASTM E308).
struct Weights {
  std::array<double, bands> x{}, y{}, z{};
};
const Weights& weights(Lamp, Observer);

Xyz white_point(Lamp, Observer);
Xyz to_xyz(const Reflectance&, Lamp, Observer);

/// CIE 1976 L*a*b*. Source: cie15_2018 (ISO/CIE 11664-4).
Lab to_lab(const Xyz&, const Xyz& white);
Xyz to_xyz(const Lab&, const Xyz& white);
Lab to_lab(const Reflectance&, Lamp, Observer);

/// CIEDE2000 with kL = kC = kH = 1. Source: sharma2005, eqs. 2-22; CIE 142-2001.
double delta_e_2000(const Lab&, const Lab&);

/// CIE 1976 difference: plain distance. Source: cie15_2018.
double delta_e_76(const Lab&, const Lab&);

/// sRGB for the screen, adapted from the lamp to D65 (Bradford). Source: iec61966_2_1.
Rgb to_srgb(const Xyz&, const Xyz& white);

/// Linear sRGB, not clipped: XYZ adapted from `white` to D65. Rows of a matrix, for loops over many colours.
std::array<std::array<double, 3>, 3> linear_srgb_from_xyz(const Xyz& white);
/// sRGB's curve, linear 0..1 to encoded 0..1, and back. Source: iec61966_2_1.
double srgb_encode(double linear);
double srgb_decode(double encoded);

/// Yellowness index YI = 100 (Cx X - Cz Z) / Y. Source: astm_e313 table 1. Valid: lamps C and D65.
double yellowness_e313(const Xyz&, Observer, Lamp = Lamp::D65);

/// Readings from 400 to 700 nm by 10 put on the project's grid: the ends are held, which gives the same XYZ as adding
/// the weights beyond the ends to the first and last one measured. Source: astm_e308 7.2.
Reflectance widened(std::span<const double, 31> from_400_to_700);

}  // namespace witnessline::colour
