// Material: a substance made of Datums. Mixture: mass fractions of materials that sum to 1.
#pragma once

#include <array>
#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "base/figure.h"
#include "base/result.h"
#include "colour/spectrum.h"

namespace witnessline::materials {

enum class Role { wood, clear, colorant, toner, primer, sealer, filler, solvent, cleaner, compound };
constexpr auto words(const Role*) {
  return std::array{"wood",   "clear",  "colorant", "toner",   "primer",
                    "sealer", "filler", "solvent",  "cleaner", "compound"};
}

/// What binds a coat; decides what may be laid over what and what lifts it. `polyurethane` is the oil-modified varnish
/// of one pack.
enum class Binder {
  none,
  nitrocellulose,
  acrylic,
  shellac,
  spirit_varnish,
  oil_varnish,
  alkyd,
  polyurethane,
  polyester,
  catalysed,
  water_borne,
  vinyl,
  two_pack_polyurethane
};
constexpr auto words(const Binder*) {
  return std::array{
      "none",         "nitrocellulose", "acrylic",   "shellac",     "spirit_varnish", "oil_varnish",          "alkyd",
      "polyurethane", "polyester",      "catalysed", "water_borne", "vinyl",          "two_pack_polyurethane"};
}

/// Every property a material file may give. properties.cpp holds key, unit, bounds and meaning of each.
enum class Property {
  // liquid and film
  density,
  dry_density,
  volume_solids,
  viscosity,
  refractive_index,
  surface_tension,
  glass_transition,
  modulus,
  expansion,
  fracture_energy,
  cure_shrinkage,
  transfer_efficiency,
  drawdown_thickness,
  // solvent
  molar_mass,
  molar_volume,
  boiling_point,
  antoine_a,
  antoine_b,
  antoine_c,
  heat_of_vaporisation,
  diffusion_volume,
  evaporation_rate,
  hansen_d,
  hansen_p,
  hansen_h,
  hansen_radius,
  flash_point,
  lower_explosive_limit,
  upper_explosive_limit,
  autoignition,
  exposure_limit,
  danger_limit,
  // wood
  modulus_along,
  modulus_across,
  expansion_along,
  expansion_across,
  shrinkage_radial,
  shrinkage_tangential,
  specific_gravity,
};

/// Reflectance of one drawdown over a black and a white card, with the bare card beside each.
struct Drawdown {
  Reflectance over_black, over_white, card_black, card_white;
  bool specular_included = true;
  double thickness_m = 0;  ///< dry; when it was not recorded this is the stated assumption
  bool thickness_assumed = true;
  std::string source;
};

struct Material {
  std::string id;    ///< word used in files: "nitrocellulose_lacquer"
  std::string name;  ///< as said at the bench
  Role role{};
  Binder binder = Binder::none;
  std::map<Property, Datum> data;
  std::multimap<Property, Datum> overruled;  ///< other published values of a property, kept beside the one used
  std::optional<Drawdown> drawdown;          ///< opaque and tinting colours
  std::optional<Reflectance> reflectance;    ///< woods: bare surface
  std::optional<Spectrum> absorption_per_m;  ///< toners, dyes, clears as new: K of the dry film
  std::optional<Spectrum> yellowing_per_m;   ///< K added by one unit of yellowing (see optics/yellowing.h)
  std::string source;                        ///< of the spectra
  Kind kind = Kind::estimate;                ///< of the spectra
  bool contains_lead = false, contains_chromate = false;
  bool metallic = false;  ///< holds flakes: cutting it tears them out of their lie
  std::vector<std::string> cautions;
  bool invented = false;  ///< only in demo data

  const Datum* find(Property p) const {
    const auto it = data.find(p);
    return it == data.end() ? nullptr : &it->second;
  }
};

/// Mass fractions of materials that sum to 1: a paint as laid, thinner not counted.
struct Part {
  std::string material;
  double mass_fraction = 0;
};
struct Mixture {
  std::string id;
  std::string name;
  std::vector<Part> parts;
};

/// Everything that can be on the shelf, found by id; immutable.
class Library {
 public:
  Library(std::vector<Material>, std::vector<Source>, std::uint64_t hash);
  const Material* find(const std::string& id) const;
  const std::vector<Material>& all() const { return materials_; }
  const Source* source(const std::string& key) const;
  std::vector<std::string> ids() const;
  std::uint64_t hash() const { return hash_; }
  /// A library in which every Datum is one seeded draw from its uncertainty: draw(seed, i) for i = 0, 1, ...
  /// Law: normal with the datum's sd, drawn again while outside the bounds of its property; data are independent.
  Library draw(std::uint64_t seed, std::uint64_t i) const;

 private:
  std::vector<Material> materials_;
  std::vector<Source> sources_;
  std::uint64_t hash_ = 0;
};

/// Reads materials/*.toml, spectra/*.csv and sources.bib below `folder`.
/// Errors: every fault of every file in one go, with file, line and key: unknown keys, a datum without unit, kind or
/// source, a source that is not in sources.bib, a role's property that is missing.
Result<Library> read_library(const std::string& folder);

}  // namespace witnessline::materials
