#include "optics/reflectance.h"

#include <algorithm>
#include <cmath>

#include "base/result.h"
#include "optics/face.h"
#include "optics/kubelka_munk.h"

namespace witnessline::optics {

double wetting_out(double film_thickness_m) { return -std::expm1(-std::max(film_thickness_m, 0.0) / wood_texture_m); }

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
const Reflectance& packed_dirt() {
  static const Reflectance dirt = [] {
    Reflectance r;
    for (int band = 0; band < bands; ++band) r[band] = 0.07 + 0.10 * band / (bands - 1.0);
    return r;
  }();
  return dirt;
}
double dirt_hides(double mass_kg_m2) {
  constexpr int green = 17;  // 550 nm
  return -std::expm1(-2 * grime_optics().absorption_per_m[green] * std::max(mass_kg_m2, 0.0));
}

Reflectance reflectance(const Stack& stack, const Palette& palette, const Geometry& geometry) {
  expects(stack.wood != nullptr, "a column stands on wood");
  std::vector<ColumnCoat> coats;
  for (const Layer& layer : stack.layers) {
    expects(layer.mixture != nullptr, "a coat is made of something");
    coats.push_back({palette.of(*layer.mixture), layer.dry_m, layer.melted, yellowing(layer.light_lx_s)});
  }
  return reflectance(coats, palette.bare(stack.wood->id), stack.surface, geometry);
}

Reflectance reflectance(const std::vector<ColumnCoat>& coats, const Reflectance& bare_wood, const Surface& surface,
                        const Geometry& geometry) {
  double thickness_m = 0, index = wood_index;
  for (const ColumnCoat& coat : coats)
    if (coat.thickness_m > 0) {
      thickness_m += coat.thickness_m;
      index = coat.optics.refractive_index;
    }
  const double wet = wetting_out(thickness_m);
  const AirFace wood_face = air_face(wood_index, geometry.illumination_deg);
  const AirFace coat_face = air_face(index, geometry.illumination_deg);
  const AirFace face{std::lerp(wood_face.outside, coat_face.outside, wet),
                     std::lerp(wood_face.inside, coat_face.inside, wet)};
  const double face_share = std::lerp(bare_wood_face_share, 1.0, wet);

  Reflectance seen;
  for (int band = 0; band < bands; ++band) {
    double inside = body_of_bare_wood(bare_wood[band], wood_face);
    OpticalDepth from_below;
    for (std::size_t i = 0; i < coats.size(); ++i) {
      const ColumnCoat& coat = coats[i];
      const double dry_m = std::max(coat.thickness_m, 0.0);
      const double k = coat.optics.absorption_per_m[band] + coat.yellowing * coat.optics.yellowing_per_m[band];
      const OpticalDepth own{std::max(k, 0.0) * dry_m, coat.optics.scattering_per_m[band] * dry_m};
      const double up = i + 1 < coats.size() ? std::clamp(coat.melted, 0.0, 1.0) : 0.0;
      inside = over_ground(film_optics({own.absorption * (1 - up) + from_below.absorption,
                                        own.scattering * (1 - up) + from_below.scattering}),
                           inside);
      from_below = {own.absorption * up, own.scattering * up};
    }
    inside *= std::exp(-2 * grime_optics().absorption_per_m[band] * std::max(surface.grime_kg_m2, 0.0));
    const double specular_share =
        geometry.specular_included ? 1 : scattered_share(surface.roughness_m, geometry.illumination_deg, band_nm(band));
    seen[band] = (1 - face_share) * inside + face_share * seen_outside(inside, face, 0) +
                 std::lerp(bare_wood_face_share, specular_share, wet) * face.outside;
  }
  return seen;
}

}  // namespace witnessline::optics
