#include "solvents/blush.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "materials/air.h"

namespace witnessline::solvents {

namespace {
bool has_set(const EvaporationMoment& moment) {
  return moment.film_former_fraction >= set_fraction || moment.left_fraction <= judged_until_left;
}
}  // namespace

Staying staying_of(double difference, double border_sd) {
  return difference < surely_dissolves         ? Staying::stays
         : difference > surely_not + border_sd ? Staying::falls_out
                                               : Staying::unsure;
}

BlendJudge::BlendJudge(std::span<const Volatile> solvents, const FilmFormer& former)
    : former_(former), limits_(load_limits(former.binder)), tolerance_(former.binder, solvents) {
  for (const Volatile& one : solvents) hansen_.push_back(one.hansen);
}

Judged BlendJudge::of(std::span<const std::size_t> which, std::span<const double> amount) const {
  Hansen blend;
  double sum = 0;
  for (std::size_t n = 0; n < which.size(); ++n) {
    const Hansen& one = hansen_[which[n]];
    blend.d += amount[n] * one.d, blend.p += amount[n] * one.p, blend.h += amount[n] * one.h;
    sum += amount[n];
  }
  if (sum > 0) blend.d /= sum, blend.p /= sum, blend.h /= sum;
  Judged found;
  found.difference = hansen_distance(former_.hansen, blend) / former_.r0;
  found.load = tolerance_.load(which, amount);
  if (!found.load) {
    found.staying = staying_of(found.difference, former_.border_sd);
    found.strain = found.difference / surely_dissolves;
    return found;
  }
  found.strain = *found.load / limits_.stays;
  found.staying = *found.load <= limits_.stays       ? Staying::stays
                  : *found.load <= limits_.falls_out ? Staying::unsure
                                                     : Staying::falls_out;
  return found;
}

Judged BlendJudge::of(std::span<const double> volume_fraction) const {
  std::vector<std::size_t> all(hansen_.size());
  std::iota(all.begin(), all.end(), std::size_t{0});
  return of(all, volume_fraction);
}

Solubility solubility_along(const EvaporationRun& run, const Solution& solution) {
  expects(solution.film_former().has_value(), "a film former to stay in solution");
  Solubility found;
  const BlendJudge judge(solution.solvents(), *solution.film_former());
  bool judged = false;
  for (const EvaporationMoment& moment : run.moments) {
    const Judged now = judge.of(moment.volume_fraction);
    found.difference.push_back(now.difference);
    if (found.difference.size() == 1) found.first = found.worst = now;
    if (!judged && now.strain > found.worst.strain) found.worst = now, found.worst_at_s = moment.time_s;
    judged = moment.film_former_fraction >= set_fraction && moment.left_fraction <= judged_until_left;
  }
  return found;
}

Moisture moisture_of(const EvaporationRun& run, const Airflow& air) {
  expects(air.relative_humidity > 0 && air.relative_humidity <= 1, "a relative humidity");
  Moisture found;
  found.dew_point_K = dew_point_K(air.temperature_K, air.relative_humidity);
  found.least_margin_K = run.coldest_K() - found.dew_point_K;
  bool set = false;
  for (const EvaporationMoment& moment : run.moments) {
    found.most_water_kg_m2 = std::max(found.most_water_kg_m2, moment.water_kg_m2);
    if (!set) found.water_when_set_kg_m2 = moment.water_kg_m2;
    set = set || has_set(moment);
  }
  return found;
}

HumidityLimits humidity_limits(const Solution& solution, const WetFilm& film, const Airflow& air, double highest) {
  const auto dried = [&](double relative_humidity) {
    Airflow damp = air;
    damp.relative_humidity = relative_humidity;
    return evaporate(solution, film, damp, until_set_left);
  };
  HumidityLimits limits;
  for (const Volatile& solvent : solution.solvents())
    if (solvent.family == SolventFamily::water) return limits;
  const double coldest_K = std::min(dried(0).coldest_K(), air.temperature_K);
  limits.no_mist = std::min(1.0, saturation_pressure_Pa(coldest_K) / saturation_pressure_Pa(air.temperature_K));
  const auto blushes = [&](double relative_humidity) {
    Airflow damp = air;
    damp.relative_humidity = relative_humidity;
    return moisture_of(dried(relative_humidity), damp).water_when_set_kg_m2 > 0;
  };
  double low = std::min(limits.no_mist, highest),
         high = highest;  // more water in the air never leaves less on the film
  if (!blushes(high)) low = high;
  while (high - low > 2e-3) {
    const double middle = 0.5 * (low + high);
    (blushes(middle) ? high : low) = middle;
  }
  limits.no_blush = low;
  return limits;
}

Airflow airflow_along(double air_temperature_K, double air_speed_m_s, double relative_humidity) {
  constexpr double other_heat_W_m2K = 10, still_W_m2K = 3, panel_length_m = 0.3;
  const double forced = air_speed_m_s > 0 ? heat_coefficient_W_m2K(air_speed_m_s, panel_length_m) : 0;
  Airflow air;
  air.temperature_K = air_temperature_K, air.relative_humidity = relative_humidity;
  // Forced and own convection add as cubes. Source: bird2002, ch. 14
  air.heat_coefficient_W_m2K = std::cbrt(forced * forced * forced + still_W_m2K * still_W_m2K * still_W_m2K);
  air.heat_ratio = 1 + other_heat_W_m2K / air.heat_coefficient_W_m2K;
  return air;
}

}  // namespace witnessline::solvents
