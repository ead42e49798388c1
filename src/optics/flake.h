// Metallic coats: mirror flakes tilted in a binder under a smooth face, seen at several angles.
#pragma once

#include <array>

#include "base/modules.h"
#include "optics/kubelka_munk.h"

namespace witnessline::optics {

/// Angles from the mirror direction at which a metallic is read, lit at 45 degrees. Source: astm_e2194; din_6175_2.
inline constexpr std::array aspecular_angles_deg{15.0, 25.0, 45.0, 75.0, 110.0};

/// How the tilts of flakes are distributed.
enum class TiltLaw {
  gaussian_slope,  ///< exp(-m^2 / s^2) / (pi s^2)
  gaussian_angle,  ///< exp(-t^2 / s^2) / (pi s^2) t / sin t a solid angle
  long_tailed,     ///< (1 + m^2 / s^2)^-k (k - 1) / (pi s^2)
};
/// Exponent k of the long tail. ESTIMATE: docs/models/flake.md compares exponents on seven paints.
inline constexpr double tail_exponent = 2.0;

/// Distribution of flake tilt, the same in all azimuths. `spread` is s: a slope, or for gaussian_angle an angle [rad];
/// sqrt(2) times the standard deviation of one component of a Gaussian.
struct FlakeTilt {
  TiltLaw law = TiltLaw::long_tailed;
  double spread = 0.2;
};
/// Spread of the Gaussian in slope (or in angle) whose one component has this standard deviation [1 or rad].
double slope_spread(double component_sd_deg);
double angle_spread_rad(double component_sd_deg);

/// Density of flake slopes over the slope plane; its integral over the plane is 1 (gaussian_angle: but for tilts past
/// upright) [1].
/// Law: see TiltLaw. Source: germer2004 (slope distributions). Valid: slope >= 0, spread > 0.
double slope_density(FlakeTilt, double slope);

/// Where light comes from and where it is looked at, outside the film. `azimuth_deg`: of the view from the plane of
/// incidence, 0 on the mirror side, 180 on the side of the lamp.
struct FlakeView {
  double illumination_deg = 45, viewing_deg = 0, azimuth_deg = 0;
};
/// The view in the plane of incidence this far from the mirror direction, towards the lamp.
FlakeView view_at(double aspecular_deg, double illumination_deg = 45);

/// The one tilt of a flake that mirrors the lamp into the view.
struct FlakeAngles {
  double illumination_inside_deg = 0, viewing_inside_deg = 0;  ///< from the normal, in the binder
  double tilt_deg = 0, slope = 0, incidence_deg = 0;           ///< of that flake, and on it
  double passed_in = 0, passed_out = 0;                        ///< of the air face
  double prefactor = 0;                                        ///< BRDF / (flake reflectance x slope density)
};
/// Law: refraction at a smooth face, half vector inside; prefactor T T' (1 + m^2)^2 / (4 n^2 cos cos').
/// Source: germer2004. Valid: n >= 1, angles below 90 degrees. Departs: polarisation is averaged at each face (0.5 %).
FlakeAngles flake_angles(double refractive_index, const FlakeView&);

/// Radiance factor of a carpet of flakes: all light meets one flake, none meets two [1].
/// Law: pi x reflectance x prefactor x slope_density. Source: germer2004. Valid: tilts to about 20 degrees. Departs:
/// one bounce only; no shadowing, so not for grazing light.
double carpet_factor(double refractive_index, double flake_reflectance, FlakeTilt, const FlakeView&);

/// Luminance factor of a coat over all angles as three readings determine it.
struct FlakeCurve {
  double refractive_index = 1.5;
  double brightness = 1;  ///< of a carpet of perfect flakes; a panel's own, see FlakeCoat
  FlakeTilt tilt;
  double diffuse = 0;  ///< the same at every angle
  double factor(const FlakeView&) const;
};
/// The curve through luminance factors read at aspecular 15, 45 and 110 degrees, lit at 45 degrees.
/// Law: brightness x carpet_factor + diffuse; 15 and 110 are met (where 110 is darker than the lobe's own tail, only
/// 15), and 45 as nearly as a spread from 0.01 to 1 allows. Source: germer2004 (the lobe). Valid: readings above 0.
/// Departs: misses 25 degrees by 1.9 and 75 by 1.2 in L*, the mean of seven paints (docs/models/flake.md).
FlakeCurve curve_through(double factor_15, double factor_45, double factor_110, TiltLaw = TiltLaw::long_tailed,
                         double refractive_index = 1.5);

/// Fall of lightness with angle; 0 for a solid colour, about 15 for a strong metallic [1].
/// Law: 2.69 (L15 - L110)^1.11 / L45^0.86. Source: alman1987 (from memory). Valid: L45 > 0. Departs: a coat lighter at
/// 110 than at 15 counts as 0.
double flop_index(double lightness_15, double lightness_45, double lightness_110);

/// A coat of flakes scattered through its binder at one wavelength, under clears and over a ground.
/// Law: what one flake mirrors out, attenuated by the flakes and the film on the way in and out (`lobe`); all other
/// light becomes diffuse and is carried by Kubelka-Munk films, each flake layer reflecting R and absorbing 1 - R. Its
/// shape outside is that of what the lobe leaves over, G(angle) = entered - lobe of perfect flakes, so that
///     R = R_lobe + G(in) G(out) / mean(G) x (1 - K2) B / (1 - K2 B),
/// B the diffuse reflectance of all below the face, K2 the face inside. Perfect flakes over a perfect ground return all
/// light at every angle, and lamp and eye can change places.
/// Source: germer2004 (one mirror); kubelka1948, kubelka1954 (diffuse part); saunderson1942 (face); the closing by G is
/// ours. Valid: 1 <= n <= 3, layers >= 0. Departs: light that meets several flakes is spread as if diffuse at
/// once, though in well-laid flakes it stays near the mirror direction. Against a tracer: within 3 % at 15 and 25
/// degrees for a tilt sd of 8, but several times too bright at 75 and 110 (docs/models/flake.md). Take flop from a
/// panel.
class FlakeCoat {
 public:
  struct Shape {
    double refractive_index = 1.5;
    FlakeTilt tilt;
    double layers = 3;            ///< flake area over film area
    double scattering_in = 0;     ///< S times thickness of the binder's pigments
    double scattering_above = 0;  ///< of all coats above
  };
  explicit FlakeCoat(const Shape&);

  struct Absorbing {
    double flake_reflectance = 0.88;  ///< aluminium in a binder of index 1.5
    double in = 0, above = 0;         ///< K times thickness, of the flake coat and of all coats above
    double ground = 0;                ///< diffuse reflectance of what is below, as the flake coat sees it
  };
  /// Radiance factor; the face's own mirror reflection is not seen [1].
  double factor(const Absorbing&, const FlakeView&) const;
  /// Everything reflected of light from one side, the face's own reflection included [1].
  double total(const Absorbing&, double illumination_deg) const;
  /// Radiance factor of what a single flake mirrored [1].
  double lobe(const Absorbing&, const FlakeView&) const;

 private:
  struct Ray {  ///< one direction, inside the film
    double sine = 0, cosine = 1, passed = 1, projected = 1;
  };
  Ray ray(double outside_deg) const;
  double mirrored(const Ray&, const Ray&, double azimuth, double in, double above) const;
  double lobe_total(const Ray&, double in, double above) const;
  double left_over(const Ray&) const;
  double diffuse(const Absorbing&) const;

  Shape shape_;
  double mean_left_over_ = 1, face_inside_ = 0;
};

}  // namespace witnessline::optics
