#include "drying/wet_coat.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "drying/solvency.h"
#include "materials/air.h"

namespace witnessline::drying {

namespace {

bool spirit(const std::optional<FilmFormer>& former) {
  return former && (former->binder == Binder::shellac || former->binder == Binder::spirit_varnish);
}
/// Humidity above which shellac blushes. Source: common_practice (read once, 70 %). The runs alone say less: they leave
/// out that alcohol takes the water up and carries it off.
constexpr double spirit_blushes_above = 0.70;

/// Viscosity at rest over that in a cup: paints thickened so that they hold. ESTIMATE, water-borne 4 (2 to 10), so that
/// the 100 to 150 um wet of their data sheets hold on an open face (common practice); the others are plain liquids.
double thickened_at_rest(Binder binder) { return binder == Binder::water_borne ? 4 : 1; }

}  // namespace

Result<GunMix> gun_mix(const Material& binds, CarrierBlend own, double tin_solids_fraction, CarrierBlend thinner,
                       double thinning, const std::string& key, std::vector<Note>& notes) {
  GunMix mix;
  mix.binds = &binds, mix.tin_solids_fraction = tin_solids_fraction;
  mix.thinning = thinner.solvents.empty() ? 0 : thinning;
  mix.carrier = mix.thinning > 0 ? thinned(own, tin_solids_fraction, thinner, thinning) : own;
  mix.own = std::move(own), mix.thinner = std::move(thinner);
  Result<std::vector<Volatile>> leaving = volatiles_of(mix.carrier, key, notes);
  if (!leaving) return leaving.errors();
  mix.solvents = std::move(*leaving);
  return mix;
}

WetCoat wet_coat(const GunMix& mix, double wet_m, const Weather& weather) {
  const double film_m = wet_m * mix.solids_fraction();
  WetFilm film{{}, film_m};
  for (const double share : mix.carrier.volume_fraction) film.solvent_m.push_back(share * (wet_m - film_m));
  Solution solution(mix.solvents, film_former_of(*mix.binds), weather.temperature_K);
  const Airflow air = airflow_along(weather.temperature_K, weather.air_speed_m_s, weather.relative_humidity);
  EvaporationRun run = evaporate(solution, film, air, until_set_left);
  WetCoat coat{std::move(solution), std::move(film), air, std::move(run), std::nullopt, 0, {}, Blush::none};
  if (coat.solution.film_former() && !makers_thinner_only(mix.binds->binder))
    coat.solubility = solubility_along(coat.run, coat.solution);
  coat.dew_point_K = dew_point_K(weather.temperature_K, weather.relative_humidity);
  coat.limits = humidity_limits(coat.solution, coat.film, air);
  if (spirit(coat.solution.film_former())) coat.limits.no_blush = std::max(coat.limits.no_blush, spirit_blushes_above);
  coat.blush = weather.relative_humidity <= coat.limits.no_mist    ? Blush::none
               : weather.relative_humidity <= coat.limits.no_blush ? Blush::clears
                                                                   : Blush::stays;
  return coat;
}

std::string blush_in_words(const WetCoat& coat, BenchUnits units) {
  const double humidity = coat.air.relative_humidity;
  const bool water_borne = std::any_of(coat.solution.solvents().begin(), coat.solution.solvents().end(),
                                       [](const Volatile& one) { return one.family == SolventFamily::water; });
  if (water_borne) {
    const std::optional<double> half_s = coat.run.time_to_lose_s(0.5);
    if (!half_s)
      return fmt::format("At {:.0f} % humidity its water does not leave: dry the air of the shop first.",
                         100 * humidity);
    Airflow usual = coat.air;
    usual.relative_humidity = 0.5;
    const std::optional<double> usual_s =
        evaporate(coat.solution, coat.film, usual, until_set_left).time_to_lose_s(0.5);
    std::string text = fmt::format("Its water leaves into the air: half of it in {:.0f} min at {:.0f} % humidity",
                                   std::max(1.0, *half_s / 60), 100 * humidity);
    constexpr double slower = 1.3;
    if (usual_s && *half_s > slower * *usual_s)
      text += fmt::format(" ({:.1f} times as long as at 50 %: warm or dry the air)", *half_s / *usual_s);
    return text + ". It does not blush from dew.";
  }
  const auto degrees = [&](double temperature_K) { return show(temperature_K, Quantity::temperature, units); };
  const std::string cold = fmt::format("the film cools to {}, the dew point is {}", degrees(coat.run.coldest_K()),
                                       degrees(coat.dew_point_K));
  const bool bench_rule = spirit(coat.solution.film_former()) && coat.limits.no_blush <= spirit_blushes_above;
  const std::string limit =
      coat.limits.no_blush >= 0.95
          ? "it clears at any humidity of a shop"
          : fmt::format(
                "blush begins at about {:.0f} % humidity{}", 100 * coat.limits.no_blush,
                bench_rule ? ", by the rule of the bench (alcohol takes water up, which the figures leave out)" : "");
  constexpr double close = 0.1;
  switch (coat.blush) {
    case Blush::none:
      return fmt::format("No blush today: {}; {}.", cold, limit);
    case Blush::clears:
      if (coat.limits.no_blush - humidity > close)
        return fmt::format(
            "No blush today: a little water may settle as it cools and leaves again before the film sets "
            "({}); {}.",
            cold, limit);
      return fmt::format(
          "Close to blushing: water settles on it and only just leaves before the film sets ({}); {}. "
          "Spray a card first, or add a tenth of retarder.",
          cold, limit);
    case Blush::stays:
      break;
  }
  return fmt::format(
      "It blushes today: {}, and water is still in it when it sets; {}. Wait for drier air, warm the shop, "
      "or add retarder and spray a card.",
      cold, limit);
}

void take_solvents(TinMakeup& tin, Binder binder, const CarrierBlend& thinner, const CarrierBlend& all) {
  constexpr double short_resin = 10;
  const bool lacquer = binder == Binder::nitrocellulose || binder == Binder::acrylic || binder == Binder::vinyl;
  if (!lacquer) tin.usual_reach = short_resin;
  tin.thinner_density_kg_m3 = density_kg_m3(thinner);
  const std::optional<double> viscosity = viscosity_Pa_s(all);
  if (viscosity) tin.solvent_viscosity_Pa_s = *viscosity, tin.solvent_sd_frac = 0.1;
}

Result<SolutionViscosity> viscosity_law(const TinMakeup& tin, std::span<const TinReading> readings) {
  Result<FittedViscosity> fit = fit_viscosity(tin, readings);
  if (!fit) return fit.errors();
  SolutionViscosity law = fit->law;
  if (law.crowding < 0) {  // thinner than usual for its solids: short chains that do not crowd
    const double ratio = readings.front().thinner_per_part_ratio;
    law.reach *= std::exp(law.crowding * law.reach * tin.solids_frac / (1 + ratio));
    law.crowding = 0;
  }
  return law;
}

double usual_lost_in_flight(double viscosity_Pa_s) {
  constexpr double usual = 0.20, at_Pa_s = 55e-3, width_to_loss = 1.6, viscosity_to_width = 0.32;
  return std::clamp(usual * std::pow(viscosity_Pa_s / at_Pa_s, -width_to_loss * viscosity_to_width), 0.1, 0.4);
}

Setting setting_of(const GunMix& mix, const WetCoat& coat, const SolutionViscosity& law,
                   std::optional<double> lost_in_flight) {
  Setting s;
  s.solids_fraction = mix.solids_fraction();
  for (const double one : coat.film.solvent_m) s.solvent_m += one;
  s.viscosity_Pa_s = [law, solids = mix.tin_solids_fraction, rest = thickened_at_rest(mix.binds->binder)](
                         double solids_fraction, double temperature_K) {
    return rest * law.viscosity_Pa_s(solids / solids_fraction - 1, temperature_K);
  };
  s.density_kg_m3 = law.density_kg_m3(mix.thinning);
  s.lost_in_flight =
      lost_in_flight.value_or(usual_lost_in_flight(law.viscosity_Pa_s(mix.thinning, coat.air.temperature_K)));
  s.run = coat.run;
  return s;
}

Holds holds_upright(const Setting& s, double wet_m, double visible_m, double open_m) {
  const double runs_m = run_down_m(wet_m, s);
  return runs_m < visible_m                     ? Holds::everywhere
         : runs_m < std::max(visible_m, open_m) ? Holds::open_faces
                                                : Holds::nowhere;
}

}  // namespace witnessline::drying
