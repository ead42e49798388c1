// A coat as it leaves the gun and as it lies wet in the air of a shop: one computation for `thin`, `lay`, `compatible`
// and the steps of a plan.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "drying/carrier.h"
#include "drying/laying.h"
#include "solvents/blush.h"
#include "solvents/viscosity.h"

namespace witnessline::drying {

/// A paint thinned for the gun.
struct GunMix {
  const Material* binds = nullptr;  ///< what binds it
  CarrierBlend own, thinner;        ///< of the tin, and stirred in; no solvents in the thinner: as supplied
  double tin_solids_fraction = 0;   ///< by volume, before thinning
  double thinning = 0;              ///< parts thinner to one of the tin, by volume
  CarrierBlend carrier;             ///< all of its solvents
  std::vector<Volatile> solvents;   ///< the same, as they leave a film

  double solids_fraction() const { return tin_solids_fraction / (1 + thinning); }
};
/// `key`: of what its solvents were given by; Notes there what stands in for missing data. Errors: a solvent too little
/// is known of.
Result<GunMix> gun_mix(const Material& binds, CarrierBlend own, double tin_solids_fraction, CarrierBlend thinner,
                       double thinning, const std::string& key, std::vector<Note>&);

struct Weather {
  double temperature_K = 294.15, relative_humidity = 0.5, air_speed_m_s = 0.3;
};

/// Water of the air on a drying film: none; some, which leaves again before the film sets; some that is still there.
enum class Blush { none, clears, stays };
constexpr auto words(const Blush*) { return std::array{"none", "clears", "stays"}; }

/// A coat lying wet, from the gun until nothing moves in it any more.
struct WetCoat {
  Solution solution;
  WetFilm film;
  Airflow air;
  EvaporationRun run;
  std::optional<Solubility> solubility;  ///< none: what binds it has no sphere, or dries by its own recipe
  double dew_point_K = 0;
  HumidityLimits limits;
  Blush blush = Blush::none;
};
/// Laws: evaporate() in the shop's air, solubility_along(), moisture_of(), humidity_limits().
WetCoat wet_coat(const GunMix&, double wet_m, const Weather&);

/// Whether it blushes, and from which humidity on, for a person at the gun; a water-borne coat: how the damp slows it.
std::string blush_in_words(const WetCoat&, BenchUnits = BenchUnits::metric);

/// What is known of a tin's liquid from what binds it and what carries it: density of the thinner, viscosity of all its
/// solvents, and how far its resin reaches: long chains (lacquers) or short ones (all others).
void take_solvents(TinMakeup&, Binder, const CarrierBlend& thinner, const CarrierBlend& all);

/// Viscosity of a tin through its cup readings, carried on past the solids of the tin as its solvent leaves.
/// Errors: those of fit_viscosity().
Result<SolutionViscosity> viscosity_law(const TinMakeup&, std::span<const TinReading>);

/// Share of its solvent that a mix loses between gun and work, by its viscosity as sprayed [1].
/// Law: 0.20 (viscosity / 55 mPa.s)^-0.51, from 0.10 to 0.40: drops of a mixed-through liquid lose as their width^-1.6
/// (docs/models/laying.md), their width goes with viscosity^0.32 (kim1971). ESTIMATE: 0.20 is conditioned on common
/// practice: at 26 to 33 s out of a Zahn 2 a wet film of 127 um is about to run on an upright panel and 152 um sags.
/// Departs: air pressure, distance and fan are not asked; a drop that is not mixed through loses less.
double usual_lost_in_flight(double viscosity_Pa_s);

/// How a coat sets on an upright face; `lost_in_flight` as in Setting, absent: usual_lost_in_flight().
Setting setting_of(const GunMix&, const WetCoat&, const SolutionViscosity&, std::optional<double> lost_in_flight = {});

/// Where a coat stays on an upright face: everywhere; on an open face, but not at edges and holes, where it begins;
/// nowhere.
enum class Holds { everywhere, open_faces, nowhere };
constexpr auto words(const Holds*) { return std::array{"everywhere", "open_faces", "nowhere"}; }
/// `visible_m`: run that shows at an edge; `open_m`: on an open face (run_until_ridges_m()).
/// Law: run_down_m() against both.
Holds holds_upright(const Setting&, double wet_m, double visible_m, double open_m);

/// Within this ratio of a limit nobody can tell whether a coat holds. ESTIMATE: the doubt in how much is lost in flight
/// alone is wider.
inline constexpr double told_apart_ratio = 1.1;

/// How far a film may run at an edge or a hole before it shows. ESTIMATE: 3 mm (1 to 6).
inline constexpr double usual_visible_run_m = 3e-3;

}  // namespace witnessline::drying
