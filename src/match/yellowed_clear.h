// Yellowed clear: what an aged clear absorbs, and the tint that makes fresh clear look like it.
#pragma once

#include <limits>
#include <string>
#include <vector>

#include "match/shade.h"

namespace witnessline::match {

/// An aged clear, as far as it could be found out.
struct AgedClear {
  Spectrum depth;     ///< K times thickness [1]
  Spectrum depth_sd;  ///< standard uncertainty
  double thickness_m = 0;
  double refractive_index = 1.5;
  double yellowing = std::numeric_limits<double>::quiet_NaN();  ///< units (optics/yellowing.h), where that was the way
  double yellowing_sd = 0;
  std::vector<Note> notes;

  ColumnCoat coat() const;  ///< the film as it lies there
};

/// The surviving clear read over a ground, and the same ground without it.
struct ClearOverGround {
  Reflectance ground, with_clear;
  bool ground_coated = false;  ///< the ground has a glossy face of its own; else bare wood
  double ground_index = 1.5;   ///< of that face
  double thickness_m = 0;
  double refractive_index = 1.5;
  double reading_sd = 0.003;  ///< of each reading, a band [1]
  Geometry geometry;
};

/// Law: with S = 0 a film over a body Rg shows Rg exp(-2 K X) behind its face (kubelka1948; beer1852), so
/// K X = ln(Rg / R) / 2; sd by first order. Source: saunderson1942 for the faces. Valid: a clear without haze.
/// Departs: bands where the clear reads lighter than its ground count as clear, with a Note. Errors: no thickness,
/// readings that cannot be, ground and clear changed over.
Result<AgedClear> clear_from_readings(const ClearOverGround&);

/// A part whose yellowness index is known, and what lies under its clear.
struct ClearByYellowness {
  double yellowness = 0, yellowness_sd = 1;  ///< ASTM E313 YI
  Lamp lamp = Lamp::D65;                     ///< C or D65
  Observer observer = Observer::deg10;
  Ground ground;     ///< under the clear
  CoatOptics clear;  ///< kind of clear, as new, and how it yellows
  double thickness_m = 0;
  double shape_sd = 0.3;  ///< of the yellowing's shape over the bands, as a share. ESTIMATE
  Geometry geometry;
};

/// Yellowing that gives the part its yellowness. Law: E313 of the column, solved for the units of yellowing.
/// Source: astm_e313. Valid: lamps C and D65. Departs: one number cannot tell a shape: the clear's own is taken.
/// Errors: a lamp without coefficients, a part less yellow than the clear as new.
Result<AgedClear> clear_from_yellowness(const ClearByYellowness&);

struct TintAsk {
  AgedClear aged;
  Ground ground;            ///< where the tinted clear will lie
  Carrier fresh;            ///< clear as new
  double fresh_film_m = 0;  ///< dry film of tinted clear that will lie there
  std::vector<Toner> toners;
  std::vector<Lamp> lamps{Lamp::D65, Lamp::A, Lamp::LED_B3};
  Observer observer = Observer::deg10;
  Geometry geometry;
  int most_toners = 2;
  double batch_m3 = 1e-3;       ///< of clear to tint
  double scale_step_kg = 1e-4;  ///< what the scale shows
  std::size_t recipes = 3;
};

struct TintPart {
  std::size_t toner = 0;
  double strength_kg_m3 = 0;  ///< as weighed
  double mass_kg = 0;         ///< into the batch
};

struct TintRecipe {
  std::vector<TintPart> parts;
  double clear_kg = 0;
  Reflectance over_ground, over_white;  ///< tinted
  std::vector<double> delta_e;          ///< tinted against aged: a lamp over the ground, then over white
  double mean_delta_e = 0, exact_delta_e = 0;
  double likely_delta_e = 0, delta_e_high = 0;  ///< over draws of the aged clear and the toners; 95 % lie below `high`
  Verdict verdict{};
};

struct Tint {
  std::vector<TintRecipe> recipes;
  Reflectance aged_over_ground, fresh_over_ground, aged_over_white, fresh_over_white;
  double fresh_delta_e = 0;  ///< fresh, untinted clear against aged, over the ground
  FilmEffect effect;         ///< of the aged clear, and so of the tinted one, on the ground
  std::vector<Note> notes;
};

/// Law: least mean Delta E 2000 over the ground and over a white one, under the lamps. Departs: as shade().
Result<Tint> tint_like(const TintAsk&);

/// A glossy white ground, L* about 95.
Ground white_ground();

}  // namespace witnessline::match
