// Columns for the tests of optics: a library of coats with stated K and S, and stacks of them.
#pragma once

#include <memory>
#include <random>
#include <vector>

#include "optics/face.h"
#include "optics/kubelka_munk.h"
#include "optics/reflectance.h"

namespace witnessline::optics {

inline Datum plain(double value) {
  Datum datum;
  datum.value = value;
  return datum;
}

/// A material whose dry film has this K and S at every band: S by way of a drawdown computed forwards.
inline Material coat_material(const std::string& id, double k_per_m, double s_per_m, double yellow_per_m,
                              double index = 1.5) {
  Material material;
  material.id = material.name = id;
  material.role = Role::colorant;
  material.data[Property::refractive_index] = plain(index);
  material.data[Property::dry_density] = plain(1200);
  Spectrum yellowing;
  for (int band = 0; band < bands; ++band) yellowing[band] = yellow_per_m * (1 - band / 36.0);
  if (yellow_per_m > 0) material.yellowing_per_m = yellowing;
  if (s_per_m > 0) {
    Drawdown drawdown;
    drawdown.specular_included = false;
    drawdown.thickness_m = 1 / (s_per_m + k_per_m);
    drawdown.thickness_assumed = false;
    const FilmOptics film = film_optics({k_per_m * drawdown.thickness_m, s_per_m * drawdown.thickness_m});
    const AirFace face = air_face(index, 8);
    drawdown.card_black = flat_reflectance(seen_outside(0.01, face, 0));
    drawdown.card_white = flat_reflectance(seen_outside(0.85, face, 0));
    drawdown.over_black = flat_reflectance(seen_outside(over_ground(film, 0.01), face, 0));
    drawdown.over_white = flat_reflectance(seen_outside(over_ground(film, 0.85), face, 0));
    material.drawdown = drawdown;
  } else {
    Spectrum absorption;
    absorption.at.fill(k_per_m);
    material.absorption_per_m = absorption;
  }
  return material;
}

inline Material wood_material(const std::string& id, double low, double high) {
  Material wood;
  wood.id = wood.name = id;
  wood.role = Role::wood;
  Reflectance reflectance;
  for (int band = 0; band < bands; ++band) reflectance[band] = low + (high - low) * band / (bands - 1);
  wood.reflectance = reflectance;
  return wood;
}

inline std::shared_ptr<const Mixture> alone(const std::string& material) {
  return std::make_shared<const Mixture>(Mixture{material, material, {{material, 1.0}}});
}

}  // namespace witnessline::optics
