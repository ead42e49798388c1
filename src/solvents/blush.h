// Will it stay clear: does the solvent left dissolve the film former to the end, does the cold film draw water.
#pragma once

#include <array>
#include <vector>

#include "solvents/evaporation.h"

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

/// Solubility along a run.
struct Solubility {
  std::vector<double> difference;  ///< relative energy difference of the solvent left, a moment
  double first = 0, worst = 0;     ///< worst until the film has set and 95 % of the solvent has gone
  double worst_at_s = 0;
  Staying staying{};
};
/// Law: Ra/R0 of the volume average of the solvents left. Source: hansen2007, Eq. 1.9, 1.10.
/// Departs: the film former is one sphere; a real resin and its plasticiser are a family of them.
Solubility solubility_along(const EvaporationRun&, const Solution&);

/// Water that condenses on a film colder than the dew point.
struct Moisture {
  double dew_point_K = 0;
  double least_margin_K = 0;        ///< coldest film less dew point; below 0 it mists
  double most_water_kg_m2 = 0;      ///< at any moment
  double water_when_set_kg_m2 = 0;  ///< still there when the film has set: that is blush
  std::vector<double> water_kg_m2;  ///< a moment
};
/// Law: water comes and goes through the same air as the solvents, dw/dt = g (y_air - p_water(T)/P), w >= 0.
/// Source: bird2002, ch. 22. Departs: the water does not mix in (acetone and alcohols drink some and carry it off: the
/// water is an upper bound); its heat does not warm the film.
Moisture moisture_along(const EvaporationRun&, const Draught&, double relative_humidity);

/// Humidities a drying run bears.
struct HumidityLimits {
  double no_mist = 0;   ///< below it the film never meets its dew point [1]
  double no_blush = 0;  ///< below it all water has gone when the film sets [1]; between the two: test it
};
/// Law: dew point of the air = coldest film temperature; and the humidity at which the last water leaves as it sets.
HumidityLimits humidity_limits(const EvaporationRun&, const Draught&);

/// Air that moves along a panel. ESTIMATE 10 W/m2/K (6 to 15) of other heat: radiation 5, the support's back 5; still
/// air brings 3 (2 to 5) by its own convection.
Draught draught_along(double air_temperature_K, double air_speed_m_s, double panel_length_m = 0.3);

}  // namespace witnessline::solvents
