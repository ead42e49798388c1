// Material: a substance made of Datums. Mixture: mass fractions of materials that sum to 1.
#pragma once

#include <algorithm>
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

/// What a material holds that can hurt, beside the vapour of its solvents.
enum class Harmful {
  lead,
  chromate,
  arsenic,
  mercury,
  isocyanate,
  peroxide,
  styrene,
  formaldehyde,
  nitrocellulose,  ///< dry residues burn fiercely
  drying_oil       ///< rags and residues heat by themselves
};
constexpr auto words(const Harmful*) {
  return std::array{"lead",     "chromate", "arsenic",      "mercury",        "isocyanate",
                    "peroxide", "styrene",  "formaldehyde", "nitrocellulose", "drying_oil"};
}
/// What every coat of a binder holds, whether or not its file names it.
std::vector<Harmful> always_in(Binder);

/// What a solvent is, as far as that decides what it dissolves.
enum class SolventFamily { unknown, aromatic, aliphatic, alcohol, glycol_ether, ester, ketone, keto_alcohol, water };
constexpr auto words(const SolventFamily*) {
  return std::array{"unknown", "aromatic", "aliphatic",    "alcohol", "glycol_ether",
                    "ester",   "ketone",   "keto_alcohol", "water"};
}

/// So many of one UNIFAC group in a molecule: "CH3", 2.
struct GroupCount {
  std::string group;
  int count = 0;
};

/// A solvent of a blend that is sold as one: "acetone", 0.25.
struct BlendShare {
  std::string material;
  double volume_fraction = 0;
};

/// One solvent of what usually carries paints of a binder. ESTIMATE: the safety data sheet of the tin says more.
struct UsualCarrier {
  Binder binder = Binder::none;
  std::string solvent;
  double volume_fraction = 0;
  bool leaves_last = false;  ///< stands for all of the carrier in the last weeks
};

/// How a wood's growth lines are drawn in pictures: decoration that no reading sees. Every number is an ESTIMATE for
/// the eye (docs/estimates.md).
struct GrowthLines {
  double ring_mm = 3.4;       ///< usual width of a year's growth
  double contrast = 0.12;     ///< how much darker the darkest is drawn than the palest, over the mean
  double late_share = 0.25;   ///< of a year's growth that ends it sharply
  double pores = 0.15;        ///< 0..1: how much of the contrast stands in pores drawn as short dark streaks
  double curl = 0;            ///< contrast of the bands across the fibres
  bool quarter_sawn = false;  ///< upright rings, matched at the middle, in place of a board cut through the rings
};

/// How long a tin keeps, by what binds it. Sources differ: the two ages span them.
struct ShelfLife {
  Binder binder = Binder::none;
  bool hardener = false;        ///< of the second pack; false: of the paint itself
  bool opened = false;          ///< since it was opened; false: sealed, since it was filled
  double doubtful_s = 0;        ///< past this age prove it first
  std::optional<double> bad_s;  ///< past this age it is not used; none: tests decide at any age
  Kind kind = Kind::memory;
  std::string source, locator;
};

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
  // solvent of nitrocellulose
  dilution_ratio_aromatic,
  dilution_ratio_aliphatic,
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
  std::multimap<Property, Datum> overruled;        ///< other published values of a property, kept beside the one used
  std::optional<Drawdown> drawdown;                ///< opaque and tinting colours
  std::optional<Reflectance> reflectance;          ///< woods: bare surface
  std::optional<Spectrum> absorption_per_m;        ///< toners, dyes, clears as new: K of the dry film
  std::optional<Spectrum> yellowing_per_m;         ///< K added by one unit of yellowing (see optics/yellowing.h)
  std::string source;                              ///< of the spectra
  Kind kind = Kind::estimate;                      ///< of the spectra
  std::vector<Harmful> holds;                      ///< by its file and by its binder, in the order of the enum
  std::map<Property, std::string> none_published;  ///< looked up in the source named, which gives no value
  std::string skin_notation;  ///< source that says it goes through the skin in amounts that count; empty: none known
  std::string
      passes_cartridges;  ///< source that says an organic-vapour cartridge does not hold it; empty: by boiling point
  bool harmless_vapour = false;  ///< what evaporates is water
  SolventFamily family = SolventFamily::unknown;
  std::vector<GroupCount> unifac_groups;  ///< empty: it mixes by its Hansen parameters alone
  std::vector<BlendShare> blend;          ///< of a thinner sold as one; empty: a pure solvent, or not known
  bool conifer = false;                   ///< of a wood: its late wood stands up in ridges, tops are quarter sawn
  GrowthLines growth_lines;               ///< of a wood
  bool thins_water_borne = false;         ///< may go into water-borne paint without curdling it
  bool metallic = false;                  ///< holds flakes: cutting it tears them out of their lie
  std::vector<std::string> cautions;
  bool invented = false;  ///< only in demo data

  const Datum* find(Property p) const {
    const auto it = data.find(p);
    return it == data.end() ? nullptr : &it->second;
  }
  bool contains(Harmful what) const { return std::find(holds.begin(), holds.end(), what) != holds.end(); }
  /// Holds pigment that hides: old paint of this kind counts as leaded until a test says otherwise.
  bool opaque() const { return role == Role::colorant || role == Role::primer; }
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
  Library(std::vector<Material>, std::vector<Source>, std::uint64_t hash, std::vector<ShelfLife> = {},
          std::vector<UsualCarrier> = {});
  const Material* find(const std::string& id) const;
  const std::vector<Material>& all() const { return materials_; }
  const Source* source(const std::string& key) const;
  const std::vector<ShelfLife>& shelf_lives() const { return shelf_lives_; }
  const std::vector<UsualCarrier>& usual_carriers() const { return usual_carriers_; }
  std::vector<std::string> ids() const;
  std::uint64_t hash() const { return hash_; }
  /// A library in which every Datum is one seeded draw from its uncertainty: draw(seed, i) for i = 0, 1, ...
  /// Law: normal with the datum's sd, drawn again while outside the bounds of its property; data are independent.
  Library draw(std::uint64_t seed, std::uint64_t i) const;

 private:
  std::vector<Material> materials_;
  std::vector<Source> sources_;
  std::uint64_t hash_ = 0;
  std::vector<ShelfLife> shelf_lives_;
  std::vector<UsualCarrier> usual_carriers_;
};

/// Reads materials/*.toml, spectra/*.csv, shelf_life.csv, usual_carriers.csv and sources.bib below `folder`.
/// Errors: every fault of every file in one go, with file, line and key: unknown keys, a datum without unit, kind or
/// source, a source that is not in sources.bib, a role's property that is missing.
Result<Library> read_library(const std::string& folder);

}  // namespace witnessline::materials
