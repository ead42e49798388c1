#include "optics/reflectance.h"

#include <algorithm>
#include <cmath>

#include "base/result.h"
#include "optics/face.h"
#include "optics/kubelka_munk.h"

namespace witnessline {

double wetting_out(double film_thickness_m) {
  constexpr double texture_m = 2e-6;  // ESTIMATE: a film this thin follows the fibres instead of bridging them
  return -std::expm1(-std::max(film_thickness_m, 0.0) / texture_m);
}

const CoatOptics& grime_optics() {
  // ESTIMATE: soot, skin grease and dust absorb like brown soot, as the inverse square of the wavelength; 1 g/m2, a
  // visibly dirty surface, absorbs a fifth of one pass of green light.
  static const CoatOptics grime = [] {
    CoatOptics made;
    for (int band = 0; band < bands; ++band) made.absorption_per_m[band] = 200 * std::pow(550 / band_nm(band), 2);
    return made;
  }();
  return grime;
}

Reflectance reflectance(const Stack& stack, const Palette& palette, const Geometry& geometry) {
  expects(stack.wood != nullptr, "a column stands on wood");
  struct Coat {
    CoatOptics optics;
    double thickness_m, carried, yellowing;
  };
  std::vector<Coat> coats;
  double thickness_m = 0, index = 0;
  for (std::size_t i = 0; i < stack.layers.size(); ++i) {
    const Layer& layer = stack.layers[i];
    expects(layer.mixture != nullptr, "a coat is made of something");
    const bool has_coat_above = i + 1 < stack.layers.size();
    coats.push_back({palette.of(*layer.mixture), std::max(layer.dry_m, 0.0),
                     has_coat_above ? std::clamp(layer.melted, 0.0, 1.0) : 0.0, yellowing(layer.light_lx_s)});
    thickness_m += coats.back().thickness_m;
    if (layer.dry_m > 0) index = coats.back().optics.refractive_index;
  }
  const Reflectance& bare = palette.bare(stack.wood->id);
  const double wet = wetting_out(thickness_m);
  const AirFace wood_face = air_face(wood_index, geometry.illumination_deg);
  const AirFace coat_face = thickness_m > 0 ? air_face(index, geometry.illumination_deg) : wood_face;
  const AirFace face{std::lerp(wood_face.outside, coat_face.outside, wet),
                     std::lerp(wood_face.inside, coat_face.inside, wet)};
  const double face_share = std::lerp(bare_wood_face_share, 1.0, wet);

  Reflectance seen;
  for (int band = 0; band < bands; ++band) {
    double inside = body_of_bare_wood(bare[band], wood_face);
    OpticalDepth from_below;
    for (const Coat& coat : coats) {
      const double k = coat.optics.absorption_per_m[band] + coat.yellowing * coat.optics.yellowing_per_m[band];
      const OpticalDepth own{std::max(k, 0.0) * coat.thickness_m,
                             coat.optics.scattering_per_m[band] * coat.thickness_m};
      const double kept = 1 - coat.carried;
      inside = over_ground(
          film_optics({own.absorption * kept + from_below.absorption, own.scattering * kept + from_below.scattering}),
          inside);
      from_below = {own.absorption * coat.carried, own.scattering * coat.carried};
    }
    const double grime = grime_optics().absorption_per_m[band] * std::max(stack.surface.grime_kg_m2, 0.0);
    inside *= std::exp(-2 * grime);
    const double specular_share =
        geometry.specular_included
            ? 1
            : scattered_share(stack.surface.roughness_m, geometry.illumination_deg, band_nm(band));
    seen[band] = (1 - face_share) * inside + face_share * seen_outside(inside, face, 0) +
                 std::lerp(bare_wood_face_share, specular_share, wet) * face.outside;
  }
  return seen;
}

}  // namespace witnessline
