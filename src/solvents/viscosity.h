// How thick a lacquer is: against its solids and its temperature, out of cup readings of the tin at hand.
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "base/figure.h"
#include "base/result.h"

namespace witnessline::solvents {

/// One reading of the tin: as supplied, or with thinner stirred in.
struct TinReading {
  double viscosity_m2_s = 0;
  double temperature_K = 0;
  double thinner_per_part_ratio = 0;  ///< by volume
};

/// What the tin holds and is thinned with.
struct TinMakeup {
  double solids_frac = 0;  ///< by volume, as supplied
  double density_kg_m3 = 0;
  double thinner_density_kg_m3 = 0;
  /// Of the solvents alone. ESTIMATE 0.6 mPa.s (0.4 to 0.9): nitrocellulose thinners lie there.
  double solvent_viscosity_Pa_s = 0.6e-3;
  double solvent_sd_frac = 0.25;  ///< less where the thinner is known
  /// Intrinsic viscosity by volume, where no second dilution tells it [1]; known to a quarter.
  /// ESTIMATE 100 (60 to 150): half-second nitrocellulose about 60 mL/g (memory) of 1.6 g/mL. Short resins 10 (6 to
  /// 16).
  double usual_reach = 100;
};

/// Viscosity of a lacquer of any solids at any temperature of the shop.
/// Law: Martin, eta = eta_s (1 + x exp(k x)), x = B phi; Andrade for temperature, eta ~ exp(E/(R T)).
/// Source: martin1942; andrade1930. Valid: phi up to that of the tin; 10 to 35 degC; at rest or slow flow.
/// Departs: no thickening by pigment or flake, none by shear; a poor thinner raises it.
struct SolutionViscosity {
  double reach = 100;   ///< intrinsic viscosity by volume [1]: how far one part of solids reaches
  double crowding = 0;  ///< k
  /// ESTIMATE 22 kJ/mol (12 to 32): lacquers lose about 3 % a kelvin at 20 degC (common practice, no source).
  double flow_energy_J_mol = 22e3;
  double reference_K = 294.15;
  TinMakeup tin;
  bool reach_fitted = false, flow_energy_fitted = false;

  /// Of the tin with so much thinner [Pa.s].
  double viscosity_Pa_s(double thinner_per_part_ratio, double temperature_K) const;
  /// The same over its density: what a cup reads [m2/s].
  double kinematic_m2_s(double thinner_per_part_ratio, double temperature_K) const;
  double density_kg_m3(double thinner_per_part_ratio) const;
  /// Parts of thinner by volume to one part of the tin that bring it to a viscosity [1]; 0 when it is thin enough as it
  /// is; none when 20 parts do not.
  std::optional<double> thinning_ratio(double kinematic_m2_s, double temperature_K) const;
};

struct FittedViscosity {
  SolutionViscosity law;
  double misfit_frac = 0;         ///< root mean square of reading over law less 1; 0: no reading to spare
  std::size_t worst_reading = 0;  ///< the one farthest off
  std::vector<Note> notes;        ///< what had to be estimated, what the readings contradict
};

/// Fits the law to any number of readings, by least squares of ln eta (Gauss and Newton). Two dilutions give reach and
/// crowding, two temperatures of one dilution the flow energy; what the readings do not tell is estimated and said;
/// those to spare tell how well they agree (ESTIMATE: more than 12 % off is a caution, three times what cups repeat
/// in). Errors: no reading, readings that contradict each other (thicker when thinned), no solids.
Result<FittedViscosity> fit_viscosity(const TinMakeup&, std::span<const TinReading>);

/// Thinning ratio with its 95 % band [1], from the spread of what was estimated and of the readings.
/// Law: first-order spread: each input moved by its sd, the changes added as squares. sd: reading 4 % (memory: cups
/// repeat within 8 to 11 % between readings at 95 %) or as far as they lie off the law, solids as given, reach a
/// quarter and flow energy 5 kJ/mol where not fitted.
Result<Figure> thinning_figure(const TinMakeup&, double solids_sd_frac, std::span<const TinReading>, double target_m2_s,
                               double temperature_K);

}  // namespace witnessline::solvents
