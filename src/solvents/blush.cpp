#include "solvents/blush.h"

#include <algorithm>
#include <cmath>

#include "materials/air.h"

namespace witnessline::solvents {

namespace {
bool has_set(const EvaporationMoment& moment) {
  return moment.film_former_fraction >= set_fraction || moment.left_fraction <= judged_until_left;
}

/// Moles of water that pass per area, time and mole fraction [mol/m2/s].
double water_conductance_mol_m2s(const Draught& air) {
  Volatile water;
  water.molar_mass_kg_mol = 0.018015;
  water.diffusion_volume_cm3_mol = 12.7;  // Source: fuller1966
  water.density_kg_m3 = 997;
  water.antoine = {10.19621, 1730.63, -39.724};  // Source: water_antoine
  const double trace[]{1e-6};
  double flux[1];
  Draught held = air;
  held.heat_ratio = isothermal;
  OpenFace({&water, 1}, held).flux_mol_m2s(trace, air.temperature_K, flux);
  return flux[0] / (trace[0] * vapour_pressure_Pa(water.antoine, air.temperature_K) / air.pressure_Pa);
}
constexpr double water_molar_mass_kg_mol = 0.018015;  // Source: iupac2021
}  // namespace

Staying staying_of(double difference, double border_sd) {
  return difference < surely_dissolves         ? Staying::stays
         : difference > surely_not + border_sd ? Staying::falls_out
                                               : Staying::unsure;
}

Solubility solubility_along(const EvaporationRun& run, const Solution& solution) {
  expects(solution.film_former().has_value(), "a film former to stay in solution");
  const FilmFormer& former = *solution.film_former();
  Solubility found;
  bool judged = false;
  for (const EvaporationMoment& moment : run.moments) {
    Hansen blend;
    for (std::size_t i = 0; i < moment.volume_fraction.size(); ++i) {
      const Hansen& one = solution.solvents()[i].hansen;
      blend.d += moment.volume_fraction[i] * one.d;
      blend.p += moment.volume_fraction[i] * one.p;
      blend.h += moment.volume_fraction[i] * one.h;
    }
    found.difference.push_back(hansen_distance(former.hansen, blend) / former.r0);
    const double now = found.difference.back();
    if (found.difference.size() == 1) found.first = now;
    if (!judged && now > found.worst) found.worst = now, found.worst_at_s = moment.time_s;
    judged = moment.film_former_fraction >= set_fraction && moment.left_fraction <= judged_until_left;
  }
  found.staying = staying_of(found.worst);
  return found;
}

Moisture moisture_along(const EvaporationRun& run, const Draught& air, double relative_humidity) {
  expects(relative_humidity > 0 && relative_humidity <= 1, "a relative humidity");
  Moisture found;
  found.dew_point_K = dew_point_K(air.temperature_K, relative_humidity);
  found.least_margin_K = run.coldest_K() - found.dew_point_K;
  const double conductance = water_conductance_mol_m2s(air) * water_molar_mass_kg_mol;
  const double in_air = relative_humidity * saturation_pressure_Pa(air.temperature_K) / air.pressure_Pa;
  double water_kg_m2 = 0;
  bool set = false;
  for (std::size_t k = 0; k < run.moments.size(); ++k) {
    const EvaporationMoment& moment = run.moments[k];
    if (k > 0) {
      const double mean_K = 0.5 * (moment.film_temperature_K + run.moments[k - 1].film_temperature_K);
      const double arriving = conductance * (in_air - saturation_pressure_Pa(mean_K) / air.pressure_Pa);
      water_kg_m2 = std::max(0.0, water_kg_m2 + arriving * (moment.time_s - run.moments[k - 1].time_s));
    }
    found.water_kg_m2.push_back(water_kg_m2);
    found.most_water_kg_m2 = std::max(found.most_water_kg_m2, water_kg_m2);
    if (!set && has_set(moment)) {
      set = true;
      found.water_when_set_kg_m2 = water_kg_m2;
    }
  }
  if (!set) found.water_when_set_kg_m2 = water_kg_m2;
  return found;
}

HumidityLimits humidity_limits(const EvaporationRun& run, const Draught& air) {
  HumidityLimits limits;
  const double coldest_K = std::min(run.coldest_K(), air.temperature_K);
  limits.no_mist = std::min(1.0, saturation_pressure_Pa(coldest_K) / saturation_pressure_Pa(air.temperature_K));
  double low = limits.no_mist, high = 1;  // more water in the air never leaves less on the film
  if (moisture_along(run, air, 1).water_when_set_kg_m2 <= 0) low = 1;
  while (high - low > 1e-3) {
    const double middle = 0.5 * (low + high);
    (moisture_along(run, air, middle).water_when_set_kg_m2 > 0 ? high : low) = middle;
  }
  limits.no_blush = low;
  return limits;
}

Draught draught_along(double air_temperature_K, double air_speed_m_s, double panel_length_m) {
  constexpr double other_heat_W_m2K = 10, still_W_m2K = 3;
  const double forced = air_speed_m_s > 0 ? heat_coefficient_W_m2K(air_speed_m_s, panel_length_m) : 0;
  Draught air;
  air.temperature_K = air_temperature_K;
  // Forced and own convection add as cubes. Source: bird2002, ch. 14
  air.heat_coefficient_W_m2K = std::cbrt(forced * forced * forced + still_W_m2K * still_W_m2K * still_W_m2K);
  air.heat_ratio = 1 + other_heat_W_m2K / air.heat_coefficient_W_m2K;
  return air;
}

}  // namespace witnessline::solvents
