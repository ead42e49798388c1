#include "app/answer_parts.h"

namespace witnessline::app {

Swatch swatch_of(std::string name, const Reflectance& reflectance, Lamp lamp, Observer observer) {
  const Xyz xyz = to_xyz(reflectance, lamp, observer), white = white_point(lamp, observer);
  return {std::move(name), lamp, to_lab(xyz, white), to_srgb(xyz, white)};
}

std::vector<Swatch> swatches_of(const std::string& name, const Reflectance& reflectance, Observer observer) {
  std::vector<Swatch> all;
  for (const Lamp lamp : all_lamps) all.push_back(swatch_of(name, reflectance, lamp, observer));
  return all;
}

Curve spectrum_curve(std::string name, const Reflectance& reflectance) {
  Curve curve{std::move(name), "wavelength [nm]", "reflectance [1]", {}, {}};
  for (int band = 0; band < bands; ++band) {
    curve.x.push_back(band_nm(band));
    curve.y.push_back(reflectance[band]);
  }
  return curve;
}

}  // namespace witnessline::app
