// When a drying film may be touched, sanded, buffed, loaded: how hard it must be for each, and what that means in
// solvent left.
#pragma once

#include <array>
#include <span>
#include <string_view>

#include "drying/resin.h"

namespace witnessline::drying {

/// What one may do with a film, in the order of practice: none before the one ahead of it.
enum class Use { touch, handle, recoat, scuff, level, buff, fit_plates, hang_on_stand, close_in_case };
inline constexpr std::size_t use_count = 9;
constexpr auto words(const Use*) {
  return std::array{"touch", "handle",     "recoat",        "scuff",        "level",
                    "buff",  "fit_plates", "hang_on_stand", "close_in_case"};
}

/// How hard a film must be for a use: it creeps under `pressure` for `time` and may not give more than `strain`; a film
/// that cures must also have gone so far. Every figure here is an ESTIMATE (docs/estimates.md); how hard all of them
/// are together is conditioned on common practice (Unknown::hardness).
struct Criterion {
  Use use{};
  std::string_view sentence;  ///< what is asked of the film
  double pressure_Pa = 0, time_s = 0, strain = 0;
  double warmer_K = 0;  ///< of the film over the room, by rubbing or a warm case
  double depth_m = 0;   ///< of dry film below the face that must be so
  double cured = 0;     ///< degree of cure that a binder which cures must have reached [1]
};
/// One a use, in their order.
std::span<const Criterion> criteria();
const Criterion& criterion_of(Use);

/// Viscosity a film must have [Pa s]. Law: strain = p t / (3 viscosity), a film squeezed like a liquid.
/// Source: ferry1980, ch. 1 (Trouton's factor 3). Departs: a real film also springs back and is held by its support.
double needed_viscosity_Pa_s(const Criterion&);

/// Most solvent the outer film may hold [volume fraction], 0 where not even a dry film is hard enough.
/// Law: the viscosity above gives how far over its glass transition the film may be, Fox gives the solvent for that; a
/// use also asks all that the uses before it ask, so allowances never rise along Use. Source: williams1955, fox1956.
/// What the glass keeps in holes (kept_in_glass()) does not soften it and comes on top.
/// `temperature_K` is that of the film in use, not of the shop it dried in; `harder_K` asks for so much more.
/// A film that cures into a network is held by that and not by its glass: it only has to have let its solvent go
/// (15 %, ESTIMATE).
double solvent_allowed(Use, const Resin&, const FilmSolvent&, double temperature_K, double harder_K = 0,
                       double glass_keeps = 0);

/// Solvent by volume of film at which a film is just its glass transition below a temperature [volume fraction]: what
/// leaves later leaves over years. Law: Fox turned round. Source: fox1956.
double solvent_at_transition(double glass_transition_K, const Resin&, const FilmSolvent&);

/// How far a filled hollow still sinks when solvent leaves down to what the glass keeps [m].
/// Law: depth x (volume fraction - what is kept), solids stand still. Source: geometry; `kept`: kept_in_glass().
/// Departs: as dry in the hollow as beside it; deeper film dries later, so it sinks a little more.
double sink_m(double hollow_m, double volume_fraction, double kept);

}  // namespace witnessline::drying
