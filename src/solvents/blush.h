// Will it stay clear: does the solvent left dissolve the film former to the end, does the cold film draw water.
#pragma once

#include <array>
#include <optional>
#include <span>
#include <vector>

#include "solvents/evaporation.h"
#include "solvents/tolerance.h"

namespace witnessline::solvents {

/// What a relative energy difference says: below 0.9 it dissolves, above 1.1 it does not; between lies a test.
enum class Staying { stays, unsure, falls_out };
constexpr auto words(const Staying*) { return std::array{"stays", "unsure", "falls_out"}; }
inline constexpr double surely_dissolves = 0.9, surely_not = 1.1;  ///< Source: hansen2007 (spheres are no sharper)
/// `border_sd`: doubt of the sphere itself, by which the outer border moves out before anything is said to fall out.
Staying staying_of(double difference, double border_sd = 0);

/// Once this share of the film is film former it has set: water or haze in it stays.
/// ESTIMATE 0.5 (0.4 to 0.65): a lacquer no longer levels at about half solids.
inline constexpr double set_fraction = 0.5;
/// Share of the solvent after whose loss nothing moves in the film any more: judged no further.
inline constexpr double judged_until_left = 0.05;
/// A run is followed a little further, so that the judged end lies in it.
inline constexpr double until_set_left = 0.8 * judged_until_left;

/// Whether a blend of solvents dissolves a film former.
struct Judged {
  double difference = 0;       ///< relative energy difference
  std::optional<double> load;  ///< Tolerance::load(): it decides where it is known
  Staying staying{};
  double strain = 0;  ///< load or difference over what surely dissolves: above 1 a test card decides, or it falls out
};
/// Made once for a set of solvents. Law: Tolerance::load() against load_limits(); where nothing is held of them Ra/R0
/// of the volume average. Source: astm_d1720, hansen2007, Eq. 1.9, 1.10. Departs: the film former is one sphere, which
/// cannot tell an ester from an alcohol at the same distance; a real resin and its plasticiser are a family of them.
class BlendJudge {
 public:
  BlendJudge(std::span<const Volatile>, const FilmFormer&);
  Judged of(std::span<const double> volume_fraction) const;
  /// Of a few of the set, by amounts of any sum.
  Judged of(std::span<const std::size_t> which, std::span<const double> amount) const;

 private:
  std::vector<Hansen> hansen_;
  FilmFormer former_;
  LoadLimits limits_;
  Tolerance tolerance_;
};

/// Solubility along a run.
struct Solubility {
  std::vector<double> difference;  ///< relative energy difference of the solvent left, a moment
  Judged first, worst;             ///< worst until the film has set and 95 % of the solvent has gone
  double worst_at_s = 0;
};
Solubility solubility_along(const EvaporationRun&, const Solution&);

/// Water out of the air on a film colder than the dew point, as a run in that air left it.
struct Moisture {
  double dew_point_K = 0;
  double least_margin_K = 0;        ///< coldest film less dew point; below 0 it mists
  double most_water_kg_m2 = 0;      ///< at any moment
  double water_when_set_kg_m2 = 0;  ///< still there when the film has set: that is blush
};
/// Read off a run that evaporate() made in this air: the water's own heat has warmed the film there.
/// Departs: the water does not mix in (acetone and alcohols drink some and carry it off: the water is an upper bound).
/// A film that is carried by water takes it up and leaves none to blush.
Moisture moisture_of(const EvaporationRun&, const Airflow&);

/// Humidities a drying film bears.
struct HumidityLimits {
  double no_mist = 1;   ///< below it the film never meets its dew point [1]
  double no_blush = 1;  ///< below it all water has gone when the film sets [1]; between the two: test it
};
/// Law: dew point of the air = coldest film in dry air; and the humidity at which the last water leaves as it sets, by
/// halving, each run in that air. `highest`: no limit is looked for above it. Water-borne films: none, both 1.
HumidityLimits humidity_limits(const Solution&, const WetFilm&, const Airflow&, double highest = 1);

/// Air that moves along a panel. ESTIMATE 10 W/m2/K (6 to 15) of other heat: radiation 5, the support's back 5; still
/// air brings 3 (2 to 5) by its own convection.
Airflow airflow_along(double air_temperature_K, double air_speed_m_s, double relative_humidity = 0);

}  // namespace witnessline::solvents
