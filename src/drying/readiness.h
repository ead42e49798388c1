// When a drying film may be touched, flatted, buffed, loaded: how hard it must be for each, and what that means in
// solvent left.
#pragma once

#include <array>
#include <span>
#include <string_view>

#include "drying/resin.h"

namespace witnessline::drying {

/// What one may do with a film, in the usual order.
enum class Use { handle, recoat, flat, buff, hang_on_stand, close_in_case, fit_plates };
constexpr auto words(const Use*) {
  return std::array{"handle", "recoat", "flat", "buff", "hang_on_stand", "close_in_case", "fit_plates"};
}

/// How hard a film must be for a use. It creeps under `pressure` for `time` and may not give more than `strain`; and
/// what still shrinks may not sink a filled hollow deeper than shows. Every figure here is an ESTIMATE
/// (docs/estimates.md).
struct Criterion {
  Use use{};
  std::string_view sentence;  ///< what is asked of the film
  double pressure_Pa = 0, time_s = 0, strain = 0;
  double warmer_K = 0;  ///< of the film over the shop, by rubbing or a warm case
  double depth_m = 0;   ///< of dry film below the face that must be so
  double hollow_m = 0;  ///< depth of a scratch or pore filled by the coat; 0: does not matter
  double sink_m = 0;    ///< what it may still sink
};
std::span<const Criterion> criteria();
const Criterion& criterion_of(Use);

/// Viscosity a film must have [Pa s]. Law: strain = p t / (3 viscosity), a film squeezed like a liquid.
/// Source: ferry1980, ch. 1 (Trouton's factor 3). Departs: a real film also springs back and is held by its support.
double needed_viscosity_Pa_s(const Criterion&);

/// Most solvent the outer film may hold [volume fraction], 0 where not even a dry film is hard enough.
/// Law: the viscosity above gives how far over its glass transition the film may be, Fox gives the solvent for that;
/// what sinks is hollow x volume fraction. Source: williams1955, fox1956. `harder_K`: asks for so much more.
double solvent_allowed(const Criterion&, const Resin&, const FilmSolvent&, double temperature_K, double harder_K = 0);

/// How far a filled hollow still sinks when all solvent leaves [m]. Law: depth x volume fraction, solids stand still.
/// Source: geometry. Departs: as dry in the hollow as beside it; deeper film dries later, so it sinks a little more.
inline double sink_m(double hollow_m, double volume_fraction) { return hollow_m * volume_fraction; }

}  // namespace witnessline::drying
