// What a tin holds as a liquid, its own facts over the library's.
#pragma once

#include <memory>
#include <string>
#include <vector>

#include "bench/paint.h"
#include "bench/paint_tin.h"
#include "drying/wet_coat.h"

namespace witnessline::bench {

/// Viscosity of the paint in the cup [m2/s]. Errors: no such cup, outside its range; keys begin with `key`.
Result<double> cup_viscosity_m2_s(const CupReading&, const std::string& key);

/// What a mixture is as a liquid, without a bench. Errors and law: as paint_of().
Result<Paint> paint_of(const std::shared_ptr<const Mixture>&, const Library&, const std::string& key);

/// What is in a tin: its parts, or the material it is named by; its own solids over the library's. Errors: as
/// paint_of(), at `key`.material or `key`.parts.
Result<Paint> paint_of(const PaintTin&, const Library&, const std::string& key);

/// Uncertainty of its volume solids [1, of the liquid]. Law: a hundredth where a data sheet gives them, else that of
/// the library's datum of what binds it. Source: ESTIMATE (docs/estimates.md).
double solids_sd_of(const PaintTin&, const Paint&);

/// What a tin holds as a liquid, its own facts over the library's.
struct TinFacts {
  Paint paint;
  TinMakeup makeup;  ///< solids and density; thinner as usual
  double solids_sd_frac = 0;
  CarrierBlend own;  ///< its solvents
  /// Its cup readings, or the library's one figure for such a paint; none: nothing says how thick it is.
  std::vector<TinReading> readings;
  bool own_solvents_given = false, readings_given = false;
};
/// Keys of errors and Notes begin with `key` ("tin"). `temperature_K`: at which the library's viscosity is taken.
/// Errors: nothing of that name, a paint without solids or density, no such cup, solvents that do not sum to 100 %.
Result<TinFacts> facts_of(const PaintTin&, const Library&, double temperature_K, const std::string& key,
                          std::vector<Note>&);
/// The same where what is in it is known already: a mixture of the job.
Result<TinFacts> facts_of(const PaintTin&, Paint, const Library&, double temperature_K, const std::string& key,
                          std::vector<Note>&);

}  // namespace witnessline::bench
