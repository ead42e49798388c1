#include "bench/steps/spray.h"

#include <fmt/format.h>

#include "bench/coat_words.h"
#include "bench/edges.h"
#include "bench/ground.h"
#include "bench/ridges.h"
#include "bench/step_context.h"
#include "drying/solvency.h"
#include "materials/coverage.h"
#include "optics/hiding.h"

namespace witnessline::bench {

namespace {

/// What sprayed coats have in common, melted in or not.
struct Coats {
  const std::string& mixture;
  const std::string& thinner;
  const Where& where;
  int count;
  double wet_m, thinning, transfer, flash_s, bite_m;
  bool tack;
};

struct Laid {
  Reach reach;
  MassBalance books;
  double bitten_m2 = 0, unbitten_m2 = 0;  ///< over coats that melt, over coats that do not
  std::string unbitten;                   ///< names of the latter
};

std::vector<Error> fault_of_grime(const Reach& reach, const StepContext& context) {
  const std::span<const float> areas = context.body.areas_m2();
  double worst_kg_m2 = 0;
  const double area_m2 = reduce_chunks(
      reach.open.size(), field_chunk, 0.0,
      [&](std::size_t begin, std::size_t end) {
        const std::size_t c = begin / field_chunk;
        const Field<float>& grime = context.before.grime_kg_m2;
        if (grime.is_uniform(c) && static_cast<double>(grime.uniform_value(c)) <= grime_limit_kg_m2) return 0.0;
        double sum = 0;
        for (std::size_t v = begin; v < end; ++v)
          if (reach.open[v] > 0.01f && static_cast<double>(grime[v]) > grime_limit_kg_m2)
            sum += static_cast<double>(areas[v]);
        return sum;
      },
      std::plus<>());
  if (area_m2 <= 0) return {};
  for (std::size_t v = 0; v < reach.open.size(); ++v)
    if (reach.open[v] > 0.01f) worst_kg_m2 = std::max(worst_kg_m2, static_cast<double>(context.before.grime_kg_m2[v]));
  return {context.error(
      fmt::format("this would spray over grime on {} (up to {:.2f} g/m2)", area_text(area_m2), worst_kg_m2 * 1e3),
      "where", fmt::format("at most {:.1f} g/m2", grime_limit_kg_m2 * 1e3),
      "clean it first, with more fresh cloths where it is heavy")};
}

/// What `lay` says of the same coat in this shop: where it runs, whether it blushes, whether it stays clear.
void warn_of_wet_coat(const Coats& coats, const Liquid& liquid, const WetCoat& wet, StepContext& context) {
  for (const Note& note : solvency_while_drying(*liquid.mix, wet).notes) context.note(note.severity, note.text);
  if (wet.blush == Blush::stays) context.note(Severity::caution, blush_in_words(wet));
  if (!liquid.viscosity) return;
  const Setting setting = setting_of(*liquid.mix, wet, *liquid.viscosity);
  const double open_m = std::max(usual_visible_run_m, run_until_ridges_m(Gun{}));
  const auto holds = [&](double run_m) { return show(thickest_wet_m(setting, run_m), Quantity::film_thickness); };
  switch (holds_upright(setting, coats.wet_m, usual_visible_run_m, open_m)) {
    case Holds::everywhere:
      return;
    case Holds::open_faces:
      if (coats.wet_m < told_apart_ratio * thickest_wet_m(setting, usual_visible_run_m)) return;
      context.note(Severity::information,
                   fmt::format("go drier at edges and holes: {} wet may run there upright, by a "
                               "calculation that is strict there: it holds about {}",
                               show(coats.wet_m, Quantity::film_thickness), holds(usual_visible_run_m)));
      return;
    case Holds::nowhere:
      context.note(
          Severity::caution,
          fmt::format("{} wet in one coat may run on an upright face: about {} holds there, and {} at edges and holes. "
                      "Spray thinner coats, thin less, or lay the face flat",
                      show(coats.wet_m, Quantity::film_thickness), holds(open_m), holds(usual_visible_run_m)));
  }
}

/// Coats laid on one another before the solvent has left.
void warn_of_stacking(const Coats& coats, double solids_fraction, const std::optional<WetCoat>& wet,
                      StepContext& context) {
  const double um = 1e6;
  if (coats.count < 2) return;
  const Evaporation evaporation(context.bench.shop.temperature_K, context.bench.shop.air_speed_m_s);
  double dry_m = 0, solvent_m = 0;
  for (int coat = 0; coat + 1 < coats.count; ++coat) {
    dry_m += coats.wet_m * solids_fraction, solvent_m += coats.wet_m * (1 - solids_fraction);
    const double free_s = std::min(coats.flash_s, evaporation.free_time_s(dry_m, solvent_m));
    if (coats.flash_s > 0) solvent_m = evaporation.left_m(dry_m, solvent_m, free_s, coats.flash_s - free_s);
  }
  if (solvent_m <= dry_m) return;
  const double free_s = evaporation.free_time_s(0, coats.wet_m * (1 - 2 * solids_fraction));
  const double needed_s = wet ? wet->run.time_to_lose_s(0.9).value_or(free_s) : free_s;
  context.note(
      Severity::caution,
      fmt::format("the last of {} coats goes on while {:.0f} % of the film below is still solvent: {:.0f} um lie "
                  "liquid together, run, and trap what should leave. Wait {:.0f} min between coats at least",
                  coats.count, 100 * solvent_m / (dry_m + solvent_m), (dry_m + solvent_m + coats.wet_m) * um,
                  std::ceil(std::max(60.0, needed_s) / 60)));
}

/// Whether a coloured coat hides what lies under it, said before it is sprayed.
/// Law: contrast of the ground left in sight = T^2, daylight goes through the film twice (HidingPower).
/// Source: kubelka1948. Departs: light thrown back and forth between film and ground counts for nothing.
void say_what_it_hides(const Paint& paint, double dry_m, StepContext& context) {
  constexpr double hides = 0.02, shows = 0.05;  // ESTIMATE: contrast left that nobody sees, and that anybody does
  constexpr double thickest_m = 1e-3, um = 1e6;
  const HidingPower power(Palette(context.bench.library).of(*paint.mixture), 0, thickest_m,
                          weights(Lamp::D65, Observer::deg10));
  const auto contrast = [&](double film_m) { return std::exp(-2 * power.optical_depth(film_m)); };
  if (contrast(dry_m) < shows) return;
  double enough_m = dry_m;
  while (enough_m < thickest_m && contrast(enough_m) > hides) enough_m *= 1.05;
  context.note(
      Severity::information,
      fmt::format("{:.0f} um of this colour do not hide: about {:.0f} % of the contrast below shows through. {}",
                  dry_m * um, 100 * contrast(dry_m),
                  enough_m < thickest_m
                      ? fmt::format("To hide it takes about {:.0f} um; as a shade it is meant to show through",
                                    10 * std::ceil(enough_m * um / 10))
                      : std::string("It shades and never covers")));
}

/// Law: wet film x volume solids / (1 + thinning) = dry film, the rest is solvent; per coat, with the fan's unevenness
/// (8 % a coat over 25 mm, ESTIMATE), the pull of sharp edges, and what leaves between coats.
Result<Laid> lay(const Coats& coats, StepContext& context) {
  std::vector<Error> faults;
  const Result<Liquid> liquid = liquid_of(coats.mixture, coats.thinner, coats.thinning, context);
  if (!liquid) faults = liquid.errors();
  Result<Reach> reach = context.reach(coats.where);
  if (!reach) faults.insert(faults.end(), reach.errors().begin(), reach.errors().end());
  if (!faults.empty()) return faults;
  faults = fault_of_grime(*reach, context);
  if (!faults.empty()) return faults;
  Result<std::vector<Paint>> below = context.paints();
  if (!below) return below.errors();

  const Paint* const paint = &liquid->paint;
  Laid laid{std::move(*reach), MassBalance{}, 0, 0, {}};
  const std::size_t old_layers = context.film().layers.size();
  const std::size_t layer = layer_for(context.film(), paint->mixture, {Origin::this_plan, context.planned.id});
  context.film().layers[layer].cured_s = 0;
  const std::vector<Ground> grounds = grounds_under(*liquid, coats.wet_m, coats.count, laid.reach, *below, context);
  std::vector<char> may_melt(old_layers);
  double on_coats_m2 = 0;
  for (const Ground& ground : grounds) {
    const Provenance& from = context.before.layers[ground.layer].provenance;
    context.result.laid_on.push_back({from.laid_by, from.origin, ground.area_m2, ground.meeting});
    may_melt[ground.layer] = ground.melts;
    on_coats_m2 += ground.area_m2;
    (ground.melts ? laid.bitten_m2 : laid.unbitten_m2) += ground.area_m2;
    if (!ground.melts)
      laid.unbitten += (laid.unbitten.empty() ? "" : ", ") + coat_in_words(context.before.layers[ground.layer]);
  }
  const Shop& shop = context.bench.shop;
  std::optional<WetCoat> wet;
  if (liquid->mix)
    wet.emplace(wet_coat(*liquid->mix, coats.wet_m, {shop.temperature_K, shop.relative_humidity, shop.air_speed_m_s}));
  if (wet) warn_of_wet_coat(coats, *liquid, *wet, context);
  warn_of_stacking(coats, liquid->solids_fraction, wet, context);
  if (paint->pigmented && !paint->metallic)
    say_what_it_hides(*paint, coats.count * coats.wet_m * dry_film_m(1.0, paint->volume_solids, coats.thinning),
                      context);

  const std::vector<float> share = edge_shares(context.body, laid.reach.open, coats.wet_m);
  const SmoothNoise fan(context.key("fan"), 0.025, context.body);
  const double unevenness = 0.08 / std::sqrt(static_cast<double>(coats.count));
  const double film_fraction = dry_film_m(1.0, paint->volume_solids, coats.thinning);
  const double lost_per_landed = (1.0 - coats.transfer) / coats.transfer;
  const Evaporation evaporation(context.bench.shop.temperature_K, context.bench.shop.air_speed_m_s);
  const std::span<const float> areas = context.body.areas_m2();
  const std::span<const Vec3> places = context.body.positions();

  laid.books = over_columns(context.film(), laid.reach.asked, [&](Columns& columns, MassBalance& sums) {
    for (std::size_t i = 0; i < columns.size(); ++i) {
      const std::size_t v = columns.begin() + i;
      if (!(laid.reach.asked[v] > 0)) continue;
      const double area_m2 = static_cast<double>(areas[v]);
      const double w = static_cast<double>(laid.reach.open[v]);
      const double on_tape_m3 = (static_cast<double>(laid.reach.asked[v]) - w) * coats.count * coats.wet_m * area_m2;
      double wet_m = 0;
      if (w > 0) {
        const double even = std::max(0.2, 1.0 + unevenness * fan(places[v]));
        wet_m = coats.wet_m * w * even * (share.empty() ? 1.0 : static_cast<double>(share[v]));
        for (std::size_t l = old_layers; l-- > 0;) {
          if (columns.dry_m(l, i) <= 0) continue;
          if (may_melt[l]) columns.melt(l, i, coats.bite_m * w, area_m2, sums);
          break;
        }
        for (int coat = 0; coat < coats.count; ++coat) {
          columns.lay(layer, i, wet_m * film_fraction, wet_m * (1.0 - film_fraction), area_m2, sums);
          if (coat + 1 == coats.count || coats.flash_s <= 0) continue;
          const double dry_m = static_cast<double>(columns.dry_m(layer, i));
          const double solvent_m = static_cast<double>(columns.solvent_m(layer, i));
          const double free_s = std::min(coats.flash_s, evaporation.free_time_s(dry_m, solvent_m));
          columns.evaporate(layer, i, evaporation.left_m(dry_m, solvent_m, free_s, coats.flash_s - free_s), area_m2,
                            sums);
        }
      }
      const double landed_m3 = wet_m * coats.count * area_m2;
      const double beside_m3 = (landed_m3 + on_tape_m3) * lost_per_landed + on_tape_m3;
      sums.overspray_solids_m3 += beside_m3 * film_fraction;
      sums.overspray_solvent_m3 += beside_m3 * (1.0 - film_fraction);
      sums.sprayed_m3 += landed_m3 + beside_m3;
      sums.worked_m2 += area_m2 * w;
    }
  });
  if (const double on_wood_m2 = laid.books.worked_m2 - on_coats_m2; on_wood_m2 > 1e-3 * laid.books.worked_m2)
    context.result.laid_on.push_back({"wood", Origin::original, on_wood_m2, Meeting::bites_in});
  context.keep(laid.books, 0);

  std::vector<float> dry_m(context.body.size());
  for_chunks(dry_m.size(), field_chunk, [&](std::size_t begin, std::size_t end) {
    const std::size_t c = begin / field_chunk;
    context.film().layers[layer].dry_m.read(c, &dry_m[begin]);
    if (layer < old_layers)
      for (std::size_t v = begin; v < end; ++v) dry_m[v] -= std::max(0.0f, context.before.layers[layer].dry_m[v]);
  });
  std::vector<Mark> ridges = tape_ridges(context.before, context.body, dry_m, context.planned.id);
  if (!ridges.empty()) {
    auto marks = std::make_shared<std::vector<Mark>>(*context.before.marks);
    std::move(ridges.begin(), ridges.end(), std::back_inserter(*marks));
    context.film().marks = std::move(marks);
  }

  // Wet film lies down: fresh lacquer is glossy, fills scratches and, coat by coat, pores. ESTIMATE.
  constexpr double fresh_roughness_m = 0.02e-6, shows_through = 0.2, fills_pore_m = 20e-6;
  change(context.film().roughness_m,
         [&](std::size_t v, float b) { return towards(b, fresh_roughness_m, std::min(1.0f, dry_m[v] / 3e-6f)); });
  change(context.film().scratch_m, [&](std::size_t v, float b) {
    return towards(b, shows_through * static_cast<double>(b), std::min(1.0f, dry_m[v] / 10e-6f));
  });
  change(context.film().open_pore, [&](std::size_t v, float b) {
    return b > 0 ? static_cast<float>(static_cast<double>(b) * std::exp(-static_cast<double>(dry_m[v]) / fills_pore_m))
                 : b;
  });

  const double paint_m3 = laid.books.sprayed_m3 / (1.0 + coats.thinning);
  const std::string mixed = context.bench.mixtures.contains(coats.mixture) ? coats.mixture : "";
  for (const Paint::Share& part : paint->shares)
    context.use(part.material, paint_m3 * part.volume_fraction, part.density_kg_m3, mixed);
  if (liquid->thinner && coats.thinning > 0) {
    const Datum* density = liquid->thinner->find(Property::density);
    context.use(coats.thinner, paint_m3 * coats.thinning, density ? density->value : 870.0);
  }
  if (!coats.tack && paint->main && paint->main->role != Role::clear)
    context.note(Severity::caution,
                 "no tack cloth before a colour coat: dust under colour shows and cannot be buffed out");
  // The gun is cleaned at the end of each day of coats.
  constexpr double working_day_s = 8 * 3600.0;  // ESTIMATE
  const double days = std::ceil(coats.flash_s * (coats.count - 1) / working_day_s);
  for (int day = 0; day < std::max(1, static_cast<int>(days)); ++day) context.worked(ShopWork::gun_cleaning);
  // ESTIMATE: three minutes and a sixth of an hour a square metre a coat.
  const double gun_on_h = coats.count * (0.05 + laid.books.worked_m2 / 6.0);
  context.worked(gun_on_h, coats.flash_s * (coats.count - 1));
  context.result.gun_on_s = gun_on_h * 3600.0 * context.bench.shop.pace;
  return laid;
}

}  // namespace

Result<StepResult> work(const Spray& step, StepContext& context) {
  // ESTIMATE: lacquer sprayed at full wet bites a micrometre into what it dissolves.
  constexpr double bite_m = 1e-6;
  const Result<Laid> laid = lay({step.mixture, step.thinner, step.where, step.coats, step.wet_m, step.thinning,
                                 step.transfer, step.flash_s, bite_m, step.tack},
                                context);
  if (!laid) return laid.errors();
  return context.done();
}

Result<StepResult> work(const MeltIn& step, StepContext& context) {
  const Result<Laid> laid =
      lay({step.mixture, step.thinner, step.where, 1, step.wet_m, step.thinning, step.transfer, 0.0, step.bite_m, true},
          context);
  if (!laid) return laid.errors();
  if (laid->unbitten_m2 > 0 && laid->bitten_m2 <= 0)
    return context.error(
        fmt::format("nothing here can be melted into: these solvents do not soften {}", laid->unbitten), "where",
        "an aged coat that solvents still dissolve (lacquer, shellac, spirit varnish) and a finish of its kind",
        "lift that coat first, take a finish that bites it, or scuff-sand it and spray over it");
  if (laid->unbitten_m2 > 0)
    context.note(Severity::caution,
                 fmt::format("does not melt into {} on {}: it does not bond there by melting in; scuff first",
                             laid->unbitten, area_text(laid->unbitten_m2)));
  std::size_t checks = 0;
  for (const Mark& mark : *context.before.marks) checks += mark.kind == MarkKind::check;
  if (checks > 0)
    context.note(Severity::information,
                 fmt::format("{} old check{} not healed by melting in: a thin coat bridges, it does "
                             "not fuse {}",
                             checks, checks == 1 ? " is" : "s are", checks == 1 ? "it" : "them"));
  return context.done();
}

}  // namespace witnessline::bench
