// Colour of a column of coats: the adding method on Kubelka-Munk films, with the air face outside.
#pragma once

#include <array>
#include <cstdint>
#include <map>
#include <string>
#include <vector>

#include "colour/colour.h"
#include "optics/yellowing.h"
#include "stack/stack.h"

namespace witnessline::optics {

/// Illumination and viewing. Diffuse paint ignores the viewing angle; metallics will not.
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
  /// Bare reflectance of a wood (any material that gives one).
  const Reflectance& bare(const std::string& material_id) const;
  const std::vector<Note>& notes() const { return notes_; }  ///< assumed thicknesses, clamped inverses, fallbacks

 private:
  struct Entry {
    CoatOptics coat;
    Reflectance bare;
    double dry_volume_per_kg = 0;  ///< of the liquid as bought [m3/kg]
  };
  const Entry& entry(const std::string& material_id) const;
  std::map<std::string, Entry> entries_;
  std::vector<Note> notes_;
};

/// Grime as an absorbing film on the air side; its "thickness" is mass per area [kg/m2], so K is in m2/kg.
const CoatOptics& grime_optics();
/// Dirt packed into a check, a scratch or a chip: what it reflects by itself, and the share of the place it hides by
/// its mass per area [kg/m2]. Dry brown dust and grease, paler than black and darker than all that is light. Law:
/// hidden = 1 - exp(-2 K m), K of grime at 550 nm. ESTIMATE: 0.07 at 380 nm to 0.17 at 730 nm (`grime_optics`)
const Reflectance& packed_dirt();
double dirt_hides(double mass_kg_m2);

/// One coat of a column, as optics sees it.
struct ColumnCoat {
  CoatOptics optics;
  double thickness_m = 0;  ///< dry film; below zero counts as zero
  double melted = 0;       ///< fraction dissolved into the coat above
  double yellowing = 0;    ///< units of yellowing()
};

/// Reference: one column, double precision.
/// Law: a film over a ground (kubelka1948), coat by coat from wood to air; Saunderson 1942 at the air face; a melted
/// fraction counts to the coat above. A film thinner than the wood's texture has no whole air face (see wetting_out).
/// Departs: no grain, no open pores; the wood's body is the same bare and wetted (body_of_bare_wood).
Reflectance reflectance(const std::vector<ColumnCoat>& wood_side_first, const Reflectance& bare_wood, const Surface&,
                        const Geometry& = {});
Reflectance reflectance(const Stack&, const Palette&, const Geometry& = {});

/// Refractive index of a wood's fibres, whose face bare wood has in part.
inline constexpr double wood_index = 1.55;  // memory: cell wall 1.53 to 1.56

/// Share of the area on which a film over bare wood has an air face of its own [1].
/// Law: 1 - exp(-thickness / wood_texture_m). Source: ESTIMATE (docs/estimates.md, Wetting out).
double wetting_out(double film_thickness_m);
inline constexpr double wood_texture_m = 2e-6;  ///< ESTIMATE: a film this thin follows the fibres, bridging none

/// 64 columns at a time, for surfaces.
inline constexpr int block = 64;
using Lane = std::array<float, block>;         ///< one value a column
using BlockSpectra = std::array<Lane, bands>;  ///< [band][column]

/// The coats (wood side first) and woods that the columns of a film are made of, prepared once.
class CoatSequence {
 public:
  CoatSequence(const std::vector<CoatOptics>& coats, const std::vector<Reflectance>& bare_grounds,
               const Geometry& = {});
  std::size_t coat_count() const { return coats_.size(); }

  struct Coat {  ///< constants of the kernel, see reflectance_block.cpp
    std::array<float, bands> absorption, scattering, yellowing;
    std::array<float, bands> decay, gain, thick;  ///< 2 sqrt(K(K+2S)), c / decay, S / c with c = S+K+sqrt(K(K+2S))
    bool scatters = false, yellows = false;
    float face_outside = 0, face_inside = 0;
  };
  const std::vector<Coat>& coats() const { return coats_; }
  const std::vector<std::array<float, bands>>& grounds() const { return grounds_; }  ///< bodies, without the face
  float bare_face_outside() const { return bare_face_outside_; }
  float bare_face_inside() const { return bare_face_inside_; }
  const Geometry& geometry() const { return geometry_; }

 private:
  std::vector<Coat> coats_;
  std::vector<std::array<float, bands>> grounds_;
  float bare_face_outside_ = 0, bare_face_inside_ = 0;
  Geometry geometry_;
};

/// What differs from column to column. Thickness below zero counts as zero.
struct ColumnBlock {
  explicit ColumnBlock(std::size_t coat_count) : thickness_m(coat_count), yellowing(coat_count), melted(coat_count) {}
  std::vector<Lane> thickness_m;  ///< a coat: dry film
  std::vector<Lane> yellowing;    ///< a coat: units of yellowing()
  std::vector<Lane> melted;       ///< a coat: fraction dissolved into the coat above
  Lane roughness_m{}, grime_kg_m2{};
  std::array<std::uint8_t, block> ground_of{};  ///< index into the sequence's grounds
};

/// out[band][column]: reflectance factor, within 5e-6 of the reference.
void reflectance(const CoatSequence&, const ColumnBlock&, BlockSpectra& out);

/// The 64 spectra under one lamp.
struct BlockXyz {
  Lane x, y, z;
};
BlockXyz to_xyz(const BlockSpectra&, Lamp, Observer);
std::array<Lab, block> to_lab(const BlockSpectra&, Lamp, Observer);
std::array<std::array<std::uint8_t, 3>, block> to_srgb_bytes(const BlockSpectra&, Lamp, Observer);

}  // namespace witnessline::optics
