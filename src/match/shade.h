// Shading: what films that only darken bring a ground to, in which coats, and how far they cannot.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/result.h"
#include "match/in_words.h"
#include "optics/reflectance.h"

namespace witnessline::match {

/// What the new films will lie on.
struct Ground {
  Reflectance bare;               ///< wood without a coat
  std::vector<ColumnCoat> coats;  ///< wood side first
};

/// A ground known by a reading of it as it is. Bare wood: the reading itself. A coated one (filler, amber, an earlier
/// coat, glossy) has its air face taken off first; what lies behind stays as it was read.
/// Law: saunderson1942 inverted. Valid: readings above the face's own reflection; a darker one counts as black behind.
Ground ground_of_reading(const Reflectance& seen, bool coated, double refractive_index, const Geometry&);

/// A toner, dye or shader colour as bought, and how well it is known.
struct Toner {
  std::string id;
  CoatOptics dry;                     ///< K and S per metre of its own dry film
  double density_kg_m3 = 0;           ///< of the liquid
  double volume_solids_fraction = 0;  ///< of the liquid
  double strength_log_sd = 0.2;       ///< of its K and S together. ESTIMATE where nothing better is known
};

/// The clear that carries the toner.
struct Carrier {
  std::string id;
  CoatOptics dry;
  double density_kg_m3 = 0, volume_solids_fraction = 0;
};

/// How a coat is laid.
struct Laying {
  double wet_m = 45e-6;          ///< liquid that lands, a coat
  double landing_log_sd = 0.15;  ///< ESTIMATE: one hand's coat to the next
  double thinner_per_part = 1;   ///< by volume
};

/// A clear with toners in it. `strength_kg_m3`: mass of liquid toner to a volume of carrier; g/L is the same number.
struct Tinting {
  const Toner* toner = nullptr;
  double strength_kg_m3 = 0;
};
/// Dry film of a tinted clear and the liquid's volume solids.
/// Law: volumes add; K and S by dry volume. Source: duncan1940. Departs: dye that separates or fades.
struct TintedClear {
  CoatOptics dry;
  double volume_solids_fraction = 0;
};
TintedClear tinted(const Carrier&, const std::vector<Tinting>&);

/// One coat of toner in its carrier. Law: solids keep their volume (dry_film_m). Source: astm_d2697.
ColumnCoat toned_coat(const Toner&, const Carrier&, const Laying&, double strength_kg_m3);

struct ShadeAsk {
  Ground ground;
  Reflectance target;            ///< as the neighbour reads, or will once the clear lies on both
  std::vector<ColumnCoat> over;  ///< clear that will lie on the shading; may be empty
  std::vector<Toner> toners;     ///< to choose from
  Carrier carrier;
  Laying laying;
  std::vector<Lamp> lamps{Lamp::D65, Lamp::A, Lamp::LED_B3};
  Observer observer = Observer::deg10;
  Geometry geometry;
  double reading_sd = 0.005;         ///< of ground and target, over all bands at once [1]
  int most_toners = 3;               ///< in one recipe
  int most_coats = 12;               ///< of one toner
  double coat_delta_e = 4;           ///< a coat moves no further than this. ESTIMATE: what an eye can still steer
  double strength_step_kg_m3 = 1;    ///< what the scale can weigh into a litre
  double most_strength_kg_m3 = 800;  ///< more is toner thinned with clear
  std::size_t recipes = 3;           ///< answered
};

/// Coats of one toner.
struct ShadeStep {
  std::size_t toner = 0;  ///< index into the ask's toners
  double strength_kg_m3 = 0;
  int coats = 0;
  double dry_m = 0;  ///< a coat
};

/// Where the work stands after a coat.
struct AfterCoat {
  std::size_t toner = 0;
  int coat = 0;                  ///< of this toner, from 1
  Reflectance now, under_clear;  ///< as it lies there dry, and with the clear over it
  double delta_e = 0;            ///< to the target once the clear is on, mean over the lamps
};

struct ShadeRecipe {
  std::vector<ShadeStep> steps;  ///< weakest darkening first
  std::vector<AfterCoat> after;
  std::vector<double> delta_e;  ///< to the target, a lamp
  double mean_delta_e = 0;
  double exact_delta_e = 0;                  ///< mean, with strengths not rounded to the scale
  double likely_delta_e = 0;                 ///< mean over draws of ground, target, toners and coats
  double delta_e_low = 0, delta_e_high = 0;  ///< of 95 % of the draws
  double within_1 = 0, within_2 = 0;         ///< share of the draws
  Verdict verdict{};                         ///< by likely_delta_e
  bool out_of_reach = false;                 ///< as worked out it stays over 2, so no panel of it can pass
};

/// How far films that darken can go on this ground.
struct ShadeReach {
  Reflectance lightest;          ///< the ground under the planned clear, without a toner
  Reflectance perfect;           ///< the ground darkened to the target in every band that allows it
  double ground_delta_e = 0;     ///< ground under the clear to target, mean over the lamps
  double perfect_delta_e = 0;    ///< what no toner whatever gets under, band by band
  std::vector<Excess> wanting;   ///< where the target is lighter than the ground allows
  std::string obstacle;          ///< "too dark", "too yellow": what the ground is for the target; empty: nothing
  std::vector<std::string> why;  ///< plain sentences
};

struct Shading {
  std::vector<ShadeRecipe> recipes;  ///< nearest first; a further toner must earn 0.1 Delta E
  ShadeReach reach;
  std::vector<Note> notes;
};

/// Recipes in coats x strength for a target over a ground. Errors: no toner, figures that cannot be.
/// Law: films over films (kubelka1954), least Delta E 2000 over the lamps among all sets of up to `most_toners`.
/// Departs: even coats; toner and clear keep their own K and S; no bleeding of dye into the clear.
Result<Shading> shade(const ShadeAsk&);

/// What these steps lay, wood side first, one film a step.
std::vector<ColumnCoat> toner_films(const ShadeAsk&, const std::vector<ShadeStep>&);

/// Under each lamp asked.
std::vector<Lab> colours(const Reflectance&, const ShadeAsk&);

/// Whether films hide what lies below.
struct Hiding {
  double through = 1;                  ///< of the light that a white ground gives back, by luminance
  double film_m = 0;                   ///< all films together
  std::optional<double> hides_from_m;  ///< all films in proportion; absent: not by 0.3 mm, so never
  bool hides() const { return hides_from_m && film_m >= *hides_from_m; }
};
/// Law: reflectance over white (0.8) less that over black, over the white's own; at 2 % it hides, as a contrast ratio
/// of 98 % does for a pale film (iso6504_3). Source: kubelka1954. Valid: films without texture. Departs: a film that
/// thick in one piece; dye does not bleed.
Hiding hiding_of(const std::vector<ColumnCoat>& films, const Geometry&);

/// How it reads with these steps laid, under `over`.
Reflectance shaded(const ShadeAsk&, const std::vector<ShadeStep>&);

/// How far the ground lets any darkening film come to the target.
ShadeReach reach_of(const ShadeAsk&);

/// What a film does to a ground, in words, said before it is laid: "blue turns green".
struct FilmEffect {
  Lab before, after;  ///< under the first lamp asked
  double delta_e = 0;
  std::string says;  ///< one plain sentence
  bool hue_turns = false;
};
FilmEffect effect_of(const Ground&, const std::vector<ColumnCoat>& film, const std::string& film_name, Lamp, Observer,
                     const Geometry&);

}  // namespace witnessline::match
