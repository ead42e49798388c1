#include "bench/steps/check.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

#include "bench/check_growth.h"
#include "bench/coat_words.h"
#include "bench/cold.h"
#include "bench/step_context.h"
#include "materials/life.h"
#include "solvents/vapour.h"

namespace witnessline::bench {

namespace {

/// Share of the tangential direction in the faces: tops of conifers are quarter sawn, boards mostly not (ESTIMATE).
double tangential_share(const Material& wood) { return wood.conifer ? 0.1 : 0.8; }

/// What the cold does to every coat over every wood.
class Pulls {
 public:
  static Result<Pulls> of(const ColdCheck& step, const ColdHistory& past, const Life* life,
                          const StepContext& context) {
    Result<std::vector<Paint>> paints = context.paints();
    if (!paints) return paints.errors();
    Pulls pulls;
    for (const std::shared_ptr<const Material>& wood : context.bench.woods) {
      const Result<CrackingWood> known =
          wood ? cracking_wood(*wood, tangential_share(*wood))
               : Result<CrackingWood>(context.error("the wood under the film is not known", "where",
                                                    "a wood of the library for every part of the body",
                                                    "name it in the body"));
      if (!known && wood && wood->role != Role::wood) {  // binding: no wood, nothing is driven there
        pulls.woods_.emplace_back(), pulls.coats_.emplace_back();
        continue;
      }
      if (!known) return known.errors();
      std::vector<CoatPull> coats;
      for (std::size_t l = 0; l < paints->size(); ++l) {
        const Paint& paint = (*paints)[l];
        if (!paint.main)
          return context.error(fmt::format("what binds {} is not known", coat_in_words(context.before.layers[l])), "",
                               "a coat with a binder", "name its binder in the mixture");
        const Result<CrackingFilm> film = cracking_film(*paint.main);
        if (!film) {
          std::vector<Error> faults = film.errors();
          for (Error& fault : faults) fault.where.key = context.place();
          return faults;
        }
        const bool ours = context.before.layers[l].provenance.origin == Origin::this_plan;
        const double usual = usual_plasticiser_frac(paint.binder());
        FilmAge age{life ? life->age_s : ours ? step.cured_s : step.found_s, usual};
        if (ours && step.plasticiser_frac) age.plasticiser_frac = *step.plasticiser_frac;
        coats.push_back(pull_of(*film, age, usual, *known, past));
      }
      pulls.woods_.push_back(*known), pulls.coats_.push_back(std::move(coats));
    }
    return pulls;
  }
  CheckDrive drive(std::size_t wood, std::span<const double> thickness_m) const {
    if (coats_[wood].empty()) return {};
    CheckDrive drive(coats_[wood], thickness_m, *woods_[wood]);
    drive.toughness_J_m2 *= tougher_;
    return drive;
  }
  /// Toughness of every coat, over what its file says.
  void be_tougher(double times) { tougher_ = times; }

 private:
  std::vector<std::optional<CrackingWood>> woods_;
  std::vector<std::vector<CoatPull>> coats_;
  double tougher_ = 1;
};

DrivenPlace driven_at(SurfacePoint at, const StepContext& context, const Reach& reach, const Pulls& pulls) {
  const Triangle& t = context.body.triangles()[at.triangle];
  const double u = static_cast<double>(at.u), v = static_cast<double>(at.v), w = 1 - u - v;
  const auto mean = [&](const auto& of) {
    return w * static_cast<double>(of[t[0]]) + u * static_cast<double>(of[t[1]]) + v * static_cast<double>(of[t[2]]);
  };
  DrivenPlace place;
  place.reach = mean(reach.asked);
  if (!(place.reach > 0)) return place;
  thread_local std::vector<double> thickness_m;
  thickness_m.clear();
  for (const FilmLayer& layer : context.before.layers) thickness_m.push_back(mean(layer.dry_m));
  place.drive = pulls.drive(context.body.wood_of()[t[0]], thickness_m);
  return place;
}

/// Solvent in the film under the step, and how much of it there is to the dry film.
struct Wet {
  double solvent_m3 = 0, dry_m3 = 0, solvent_kg = 0;
  bool ours = false;  ///< a coat of this plan is among what is cooled
  Binder binder = Binder::none;
};
Wet wet_of(const StepContext& context, const Reach& reach, const std::vector<Paint>& paints) {
  Wet wet;
  double most_m3 = 0;
  for (std::size_t l = 0; l < paints.size(); ++l) {
    const FilmLayer& layer = context.before.layers[l];
    double solvent_m3 = 0;
    for (std::size_t v = 0; v < context.body.size(); ++v) {
      if (!(layer.dry_m[v] > 0)) continue;
      const double area_m2 = static_cast<double>(context.body.areas_m2()[v]);
      solvent_m3 += area_m2 * static_cast<double>(layer.solvent_m[v]);  // all of the body goes into a freezer
      wet.ours |= reach.asked[v] > 0 && layer.provenance.origin == Origin::this_plan;
      if (reach.asked[v] > 0 && layer.solvent_m[v] > 0) {
        wet.solvent_m3 += area_m2 * static_cast<double>(layer.solvent_m[v]);
        wet.dry_m3 += area_m2 * static_cast<double>(layer.dry_m[v]);
      }
    }
    if (solvent_m3 > most_m3) most_m3 = solvent_m3, wet.binder = paints[l].binder();
    constexpr double solvent_kg_m3 = 870;  // lacquer solvents 790 to 880
    wet.solvent_kg += solvent_kg_m3 * solvent_m3;
  }
  return wet;
}

/// What was counted, in a film as thick as this one is there; empty: nothing was counted.
CheckPattern pattern_of(const ColdCheck& step, const StepContext& context, const Reach& reach) {
  const std::optional<CountedChecks> counted = counted_checks(step.found);
  if (!counted || counted->counted == 0) return {};
  double film_m3 = 0, area_m2 = 0;
  for (std::size_t v = 0; v < context.body.size(); ++v) {
    double film_m = 0;
    for (const FilmLayer& layer : context.before.layers) film_m += std::max(0.0, static_cast<double>(layer.dry_m[v]));
    if (!(reach.asked[v] > 0) || !(film_m > 0)) continue;
    const double a_m2 = static_cast<double>(context.body.areas_m2()[v] * reach.asked[v]);
    film_m3 += a_m2 * film_m, area_m2 += a_m2;
  }
  return area_m2 > 0 ? counted->in_film(film_m3 / area_m2) : CheckPattern{};
}

bool any_check(const Film& film) {
  return std::any_of(film.marks->begin(), film.marks->end(), [](const Mark& m) { return m.kind == MarkKind::check; });
}

/// A film that shows no check has survived what it has been through: its toughness is at least what that took.
/// Law: the least factor on toughness with which no starter opens there. Source: ESTIMATE (the toughness it starts
/// from).
double toughness_survived(const ColdCheck& step, const ColdHistory& ahead, const std::vector<Starter>& starters,
                          const Reach& reach, const StepContext& context) {
  ColdHistory past = ahead;
  past.coldest_K = step.unchecked_K.value_or(ahead.room_K - room_swing_K), past.shocks = 1;
  past.core_stays_warm = false, past.shock_s = ColdHistory{}.shock_s;
  const Result<Pulls> pulls = Pulls::of(step, past, nullptr, context);
  if (!pulls) return 1;
  return std::max(1.0, hardest_start(context.body, starters, context.key("growth"),
                                     [&](SurfacePoint at) { return driven_at(at, context, reach, *pulls); }));
}

std::string millimetres(double m) { return fmt::format("{:.{}f} mm", 1e3 * m, m < 0.01 ? 1 : 0); }

void describe_result(StepContext& context, const Grown& grown, const Reach& reach, const ColdHistory& past,
                     const Pulls& pulls) {
  // Every place is looked at: the hardest driven may be a run of a few millimetres.
  const CheckDrive* hardest = nullptr;
  CheckDrive held;
  for (std::size_t v = 0; v < context.body.size(); ++v) {
    if (!(reach.asked[v] > 0)) continue;
    thread_local std::vector<double> thickness_m;
    thickness_m.clear();
    for (const FilmLayer& layer : context.before.layers) thickness_m.push_back(static_cast<double>(layer.dry_m[v]));
    const CheckDrive here = pulls.drive(context.body.wood_of()[v], thickness_m);
    if (here.depth_m <= 0) continue;
    const auto most = [](const CheckDrive& d) { return std::max(d.run().along, d.run().across); };
    if (!hardest || most(here) > most(held)) held = here, hardest = &held;
  }
  if (!hardest) return context.note(Severity::information, "there is no film here to check");
  const ByGrain run = held.run();
  const double most = std::max(run.along, run.across), from_m = most > 0 ? held.depth_m / most : 1.0;
  constexpr double thickest_laid_m = 0.6e-3;  // no finish is laid thicker
  context.note(
      Severity::information,
      fmt::format("where it is driven hardest ({:.0f} um), checks across the grain have {:.0f} % and along it "
                  "{:.0f} % of the energy they need to run; {} (ESTIMATE, the toughness of finishes is known to a "
                  "factor of three)",
                  held.depth_m * 1e6, 100 * run.along, 100 * run.across,
                  from_m > thickest_laid_m ? std::string("no thickness that anybody lays checks so")
                                           : fmt::format("this film runs from {:.0f} um up", from_m * 1e6)));
  if (grown.reopened > 0)
    context.note(Severity::caution,
                 fmt::format("{} old checks under the newer coats print through and open again over {:.1f} m",
                             grown.reopened, grown.reopened_m));
  const double length_m = grown.across_grain_m + grown.along_grain_m;
  if (!(length_m > 0)) {
    context.note(Severity::caution,
                 past.shocks > 0
                     ? "no check opens in this cold: a thicker, older or harder film would, or more cold; see checks"
                     : "no check opens: nothing in this life pulls the film hard enough");
    return;
  }
  if (grown.as_found)
    context.note(Severity::information,
                 "they run and lie as the checks counted on the untouched parts do, in this thickness of film");
  const double area_m2 = area_under(reach.asked, context.body);
  const std::string way = length_m < 1 ? millimetres(length_m) : fmt::format("{:.1f} m", length_m);
  if (grown.marks.size() < too_few_checks)
    return context.note(Severity::information, fmt::format("{}, {} in all: too few to lie at any distance",
                                                           grown.marks.size() == 1 ? "one check" : "two checks", way));
  context.note(Severity::information,
               fmt::format("{} checks, {} in all, {:.0f} % of it across the grain: {}; "
                           "{} end where the pull is spent, {} at another check",
                           grown.marks.size(), way, 100 * grown.across_grain_m / length_m,
                           area_m2 / length_m < std::sqrt(area_m2)
                               ? "one every " + millimetres(area_m2 / length_m) + " on average, unevenly"
                               : "here and there",
                           grown.ends[static_cast<int>(Stop::arrest)], grown.ends[static_cast<int>(Stop::met)]));
  constexpr double too_close_m = 3e-3;
  if (area_m2 / length_m < too_close_m)
    context.note(Severity::caution,
                 "this runs too far: checks closer than 3 mm look crazed, not old; less cold, fewer shocks");
}

}  // namespace

/// Law: pull_of() in every coat, CheckDrive in every column, starters_on() and grow_checks() over the surface.
Result<StepResult> work(const ColdCheck& step, StepContext& context) {
  const Result<Reach> reach = context.reach(step.where);
  if (!reach) return reach.errors();
  const Life* life = nullptr;
  if (!step.life.empty()) {
    const auto found = context.bench.lives.find(step.life);
    if (found == context.bench.lives.end()) {
      std::vector<std::string> known;
      for (const auto& [id, of] : context.bench.lives) known.push_back(id);
      const std::string near = nearest_word(step.life, known);
      return context.error(
          fmt::format("there is no life '{}'", step.life), "life",
          known.empty() ? "a life of the job" : fmt::format("one of: {}", fmt::join(known, ", ")),
          near.empty() ? "give the job a [[lives]] of that id" : fmt::format("did you mean '{}'?", near));
    }
    life = &found->second;
  } else if (!step.to_K) {
    return context.error("is missing", "to_degC", "how cold the film gets, or a life", "write to_degC = -10");
  }
  const Shop& shop = context.bench.shop;
  const double room_K = shop.temperature_K;
  if (!life && *step.to_K >= room_K)
    return context.error("is no colder than the room", "to_degC", fmt::format("below {:.0f} degC", room_K - 273.15),
                         "cold opens checks, warmth does not");

  const Result<std::vector<Paint>> paints = context.paints();
  if (!paints) return paints.errors();
  const Wet wet = wet_of(context, *reach, *paints);
  std::optional<double> share;
  if (const Material* solvent = solvent_left_in(wet.binder, context.bench.library))
    share = share_of_explosive_limit(*solvent, wet.solvent_kg, freezer_m3);
  if (!life)
    if (const auto refused =
            why_not_cooled({step.by, wet.ours ? step.cured_s : step.found_s,
                            wet.dry_m3 > 0 ? wet.solvent_m3 / wet.dry_m3 : 0.0, wet.solvent_kg, share}))
      return context.error(refused->why, wet.ours && step.cured_s < youngest_cooled_s ? "cured_d" : "by",
                           "a film that is cured", refused->instead);

  const double wood_m = std::clamp(2 * context.body.volume_m3() / context.body.area_m2(), 1e-3, 0.2);
  ColdHistory past = history_of_cold(step.to_K.value_or(room_K), step.shocks, step.by, room_K, wood_m);
  past.laid_humidity = shop.relative_humidity;
  past.room_humidity = step.room_humidity.value_or(shop.relative_humidity);
  if (life) {
    past.coldest_K = life->coldest_K, past.shocks = life->cold_shocks, past.humidity_swing = life->humidity_swing;
    if (life->coldest_K >= room_K) past.shocks = 0;
  }
  Result<Pulls> pulls = Pulls::of(step, past, life, context);
  if (!pulls) return pulls.errors();

  Grown grown;
  if (!life || life->age_s > 0 || past.shocks > 0) {
    const std::vector<Starter> starters =
        starters_on(context.body, context.before, context.bench.woods, step.seams, context.key("starters"));
    if (!life && !any_check(context.before))
      pulls->be_tougher(toughness_survived(step, past, starters, *reach, context));
    grown = grow_checks(
        context.body, context.before, starters, context.key("growth"), context.planned.id,
        [&](SurfacePoint at) { return driven_at(at, context, *reach, *pulls); }, pattern_of(step, context, *reach),
        area_under(reach->asked, context.body));
  }
  if (!grown.marks.empty()) {
    auto marks = std::make_shared<std::vector<Mark>>(*context.before.marks);
    marks->insert(marks->end(), std::make_move_iterator(grown.marks.begin()),
                  std::make_move_iterator(grown.marks.end()));
    context.film().marks = std::move(marks);
  }
  describe_result(context, grown, *reach, past, *pulls);
  if (!life) {
    for (Note& note : cold_cautions(step.by, context.planned.id)) context.result.notes.push_back(std::move(note));
    // ESTIMATE: half an hour to strip and bag, ten minutes of looking a shock; three hours to cool and to warm again.
    context.worked(0.5 + step.shocks / 6.0, step.by == ColdBy::duster ? 3600.0 : step.shocks * 3 * 3600.0);
  }
  return context.done();
}

}  // namespace witnessline::bench
