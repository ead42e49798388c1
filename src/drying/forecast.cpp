#include "drying/forecast.h"

#include <algorithm>
#include <cmath>

#include "base/parallel.h"
#include "base/result.h"
#include "materials/coverage.h"
#include "numerics/statistics.h"

namespace witnessline::drying {

namespace {
constexpr double outer_m = 20e-6;
// A band of many runs needs no finer ones: their solver's error is a hundredth of the band.
constexpr ColumnAccuracy rough{1e-2, 9, 3, 0.75};
// Wood a solvent reaches below a first coat. ESTIMATE: a few cells, as far as a sealer goes in.
constexpr double wood_m = 150e-6;

}  // namespace

LaidCoat laid_coat(const Material& material, const FilmSolvent& solvent, double wet_m, double thinning, double at_s) {
  LaidCoat coat;
  coat.resin = resin_of(material, solvent);
  if (const Datum* datum = material.find(Property::glass_transition); datum && datum->sd > 0)
    coat.glass_transition_sd_K = datum->sd;
  coat.dry_m = dry_film_m(wet_m, material.find(Property::volume_solids)->value, thinning);
  coat.solvent_m = wet_m - coat.dry_m, coat.at_s = at_s;
  const BinderDrying practice = drying_of(material);
  coat.cure = practice.cure;
  if (practice.transition_sd > 0) {
    const double narrowed = practice.transition_sd / conditioned_sd(Unknown::resin_transition);
    coat.glass_transition_sd_K *= narrowed, coat.hold_per_transition = practice.hold_per_transition * narrowed;
  }
  coat.hold_sd = practice.hold_sd;
  if (coat.resin.hold == 1) coat.hold_sd = coat.hold_per_transition = 0;  // no alcohol to hold
  return coat;
}

Dried dried(const DryingCase& given, const Draw& draw, std::span<const double> times_s, double until_s,
            ColumnAccuracy accuracy) {
  expects(!given.coats.empty(), "at least one coat");
  const DrawnPhysics drawn = physics_of(draw);
  FilmSolvent solvent = given.solvent;
  solvent.glass_transition_K += drawn.solvent_transition_K;
  const double temperature_K = given.air.temperature_K;

  DryingColumn column(AirSide(solvent.of, given.air, drawn.transfer), accuracy);
  const std::size_t first = given.on_wood ? 1 : 0;
  if (given.on_wood) column.lay(transport_of_wood(), wood_m, 0.0);

  Dried out;
  out.ready_s.fill(std::numeric_limits<double>::infinity());
  // Coats of one resin share one passage, so that nothing is solved where they meet.
  std::vector<std::pair<Resin, std::shared_ptr<const Transport>>> known;
  const auto transport_for = [&](const Resin& resin) {
    for (const auto& [of, transport] : known)
      if (of.glass_transition_K == resin.glass_transition_K && of.dry_density_kg_m3 == resin.dry_density_kg_m3 &&
          of.interaction == resin.interaction && of.crosslinks_mol_m3 == resin.crosslinks_mol_m3 &&
          of.hold == resin.hold)
        return transport;
    known.emplace_back(resin, transport_of(resin, solvent, drawn.how, temperature_K));
    return known.back().second;
  };

  std::size_t asked = 0;
  const auto keep_moments = [&](double now_s) {
    for (; asked < times_s.size() && times_s[asked] <= now_s; ++asked) {
      DriedMoment moment{times_s[asked], {}, column.outer_fraction(outer_m), given.on_wood ? column.solvent_m(0) : 0.0};
      for (std::size_t c = 0; c < given.coats.size(); ++c)
        moment.solvent_m.push_back(first + c < column.coats() ? column.solvent_m(first + c) : 0.0);
      out.moments.push_back(std::move(moment));
    }
  };
  // Dries to a time, stopping at every time asked for.
  double now_s = given.coats[0].at_s;
  const auto dry_to = [&](double to_s, const std::function<void(double)>& seen) {
    while (now_s < to_s) {
      double next_s = to_s;
      if (asked < times_s.size() && times_s[asked] > now_s) next_s = std::min(next_s, times_s[asked]);
      const double from_s = now_s;
      out.finished &= column.dry(
          next_s - now_s, seen ? [&](double since_s) { seen(from_s + since_s); } : std::function<void(double)>());
      now_s = next_s;
      keep_moments(now_s);
    }
  };

  const double used_K = given.use_temperature_K;
  for (std::size_t c = 0; c < given.coats.size(); ++c) {
    const LaidCoat& coat = given.coats[c];
    Resin resin = coat.resin;
    resin.glass_transition_K += coat.glass_transition_sd_K * drawn.resin_sds;
    resin.hold *= std::exp(coat.hold_sd * drawn.binder_sds + coat.hold_per_transition * drawn.resin_sds);
    Cure cure = coat.cure;
    cure.rate_per_s *= std::exp(cure.rate_sd * drawn.binder_sds);
    const bool cures = cure.rate_per_s > 0;
    expects(c == 0 || coat.at_s >= given.coats[c - 1].at_s, "coats in the order of their times");
    dry_to(coat.at_s, {});
    const auto cured_s = [&](Use use) {
      return cures ? cure_time_s(cure, criterion_of(use).cured, temperature_K, coat.dry_m * drawn.laid) : 0.0;
    };
    out.soft_below.push_back(
        c > 0 && (column.softest_outer_fraction(criterion_of(Use::recoat).depth_m) >
                      solvent_allowed(Use::recoat, resin, solvent, used_K, drawn.harder_K, drawn.how.glass_keeps) ||
                  coat.at_s - given.coats[c - 1].at_s < cured_s(Use::recoat)));
    column.lay(transport_for(cures ? partly_cured(resin, 0) : resin), coat.dry_m * drawn.laid,
               coat.solvent_m * drawn.laid);
    keep_moments(coat.at_s);
    if (c + 1 < given.coats.size()) continue;

    std::array<double, use_count> allowed{}, over_before;
    for (const Criterion& one : criteria())
      allowed[static_cast<std::size_t>(one.use)] =
          solvent_allowed(one.use, resin, solvent, used_K, drawn.harder_K, drawn.how.glass_keeps);
    double before_s = coat.at_s;
    over_before.fill(1.0);
    dry_to(until_s, [&](double at_s) {
      for (const Criterion& one : criteria()) {
        const auto u = static_cast<std::size_t>(one.use);
        const double over = column.softest_outer_fraction(one.depth_m) - allowed[u];
        if (over <= 0 && std::isinf(out.ready_s[u])) {
          const double share = before_s > coat.at_s ? over_before[u] / (over_before[u] - over) : 1.0;
          out.ready_s[u] = before_s + share * (at_s - before_s) - coat.at_s;
        }
        over_before[u] = over;
      }
      before_s = at_s;
    });
    for (const Criterion& one : criteria()) {
      double& ready_s = out.ready_s[static_cast<std::size_t>(one.use)];
      ready_s = std::max(ready_s, cured_s(one.use));
      if (ready_s > until_s - coat.at_s) ready_s = std::numeric_limits<double>::infinity();
    }
  }
  out.laid_m = column.laid_m(), out.gone_m = column.gone_m();
  out.wood_m = given.on_wood ? column.solvent_m(0) : 0.0;
  out.left_m = column.solvent_m() - out.wood_m;
  return out;
}

Forecast forecast(const DryingCase& given, const Belief& belief, std::span<const double> times_s, double until_s) {
  expects(!belief.draws.empty(), "draws to take a band from");
  Forecast out;
  out.middle = dried(given, belief.middle, times_s, until_s);
  std::vector<Dried> runs(belief.draws.size());
  for_chunks(runs.size(), 1, [&](std::size_t begin, std::size_t end) {
    for (std::size_t i = begin; i < end; ++i) runs[i] = dried(given, belief.draws[i], times_s, until_s, rough);
  });
  const auto band = [&](const auto& value) {
    std::vector<double> all;
    for (const Dried& run : runs) all.push_back(value(run));
    return central_band(std::move(all));
  };
  for (std::size_t u = 0; u < out.ready_s.size(); ++u)
    out.ready_s[u] = band([u](const Dried& run) { return run.ready_s[u]; });
  for (std::size_t t = 0; t < out.middle.moments.size(); ++t)
    out.left_m.push_back(band([t](const Dried& run) {
      double sum = 0;
      for (const double coat : run.moments[t].solvent_m) sum += coat;
      return sum;
    }));
  return out;
}

}  // namespace witnessline::drying
