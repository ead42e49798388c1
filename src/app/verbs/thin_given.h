// What a request to thin a tin gives, understood: its readings as viscosities, its blends as solvents, its shelf.
#pragma once

#include <optional>

#include "app/verbs/thin.h"
#include "drying/carrier.h"
#include "solvents/thinner.h"
#include "solvents/viscosity.h"

namespace witnessline::app {

/// Keeps faults together while the good parts are taken.
struct Gathered {
  std::vector<Error> list;
  template <class T>
  std::optional<T> good(const Result<T>& result) {
    if (result) return *result;
    list.insert(list.end(), result.errors().begin(), result.errors().end());
    return std::nullopt;
  }
};

Error at_key(Error, const std::string& key);

/// Solvents and shares of a blend, as they leave a film; shares sum to 1.
struct GivenBlend {
  CarrierBlend of;
  std::vector<Volatile> solvents;
};
/// Shares that do not sum to 100 % are a fault: nothing is scaled.
GivenBlend blend_at(const std::vector<SolventPart>&, const std::string& key, const Library&, std::vector<Note>&,
                    Gathered&);
/// A single solvent.
Result<Volatile> solvent_at(const std::string& id, const std::string& key, const Library&);

/// The tin, its readings and its target.
struct GivenTin {
  const Material* material = nullptr;  ///< what binds it
  FilmFormer film_former;
  TinMakeup makeup;  ///< thinner and solvents still as usual
  double solids_sd_frac = 0;
  std::vector<TinReading> readings;
  GivenBlend own;  ///< its solvents: as given, or the usual ones
  CupWanted wanted;
  double wanted_m2_s = 0;
};
GivenTin tin_at(const ThinRequest&, const Library&, std::vector<Note>&, Gathered&);

/// Shelf to design from: of each no more than what is in stock. `thinner_m3`: what the tin takes.
std::vector<ShelfSolvent> shelf_at(const ThinRequest&, double thinner_m3, const Library&, std::vector<Note>&,
                                   Gathered&);

}  // namespace witnessline::app
