// Colour of a column of coats: the adding method on Kubelka-Munk films, with the air face outside.
#pragma once

#include <memory>
#include <span>
#include <string>
#include <unordered_map>
#include <vector>

#include "colour/colour.h"
#include "stack/stack.h"

namespace witnessline {

/// Illumination and viewing. Diffuse paint ignores the angles; metallics will not.
struct Geometry {
  double illumination_deg = 45, viewing_deg = 0;
  bool specular_included = false;
};

/// Optical constants of a coat's dry film. K and S per metre of dry film, mixed by volume fraction.
struct CoatOptics {
  Spectrum absorption_per_m;  ///< K as new
  Spectrum scattering_per_m;  ///< S
  Spectrum yellowing_per_m;   ///< K added by one unit of yellowing
  double refractive_index = 1.5;
};

/// Optical constants of the library's materials, worked out once (drawdowns inverted).
class Palette {
 public:
  explicit Palette(const Library&);
  const CoatOptics& of(const std::string& material_id) const;
  CoatOptics of(const Mixture&) const;
  const std::vector<Note>& notes() const;  ///< assumed thicknesses, clamped inverses

 private:
  std::unordered_map<std::string, CoatOptics> coats_;
  std::unordered_map<std::string, double> dry_density_;
  std::vector<Note> notes_;
};

/// Units of yellowing a clear has after a light dose since it was laid (see yellowing.h for law and source).
double yellowing(double light_lx_s);

/// Reference: one column, double precision.
/// Law: Kubelka 1948 eq. for a film over a ground, coat by coat from wood to air; Saunderson 1942 at the air face.
Reflectance reflectance(const Stack&, const Palette&, const Geometry& = {});

/// 64 columns of one layer sequence at a time, for surfaces. Thickness below zero counts as zero.
inline constexpr int block = 64;
struct ColumnBlock {
  std::vector<CoatOptics> coats;                      ///< wood side first
  std::vector<std::array<float, block>> thickness_m;  ///< a coat
  std::vector<std::array<float, block>> yellowing;    ///< a coat: units of yellowing()
  std::vector<Reflectance> grounds;                   ///< woods
  std::array<std::uint8_t, block> ground_of{};        ///< index into grounds
};
/// out[band][column]: reflectance factor seen at `geometry`.
void reflectance(const ColumnBlock&, const Geometry&, std::array<std::array<float, block>, bands>& out);

}  // namespace witnessline
