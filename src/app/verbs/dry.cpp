#include "app/verbs/dry.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "app/practice/practice.h"
#include "app/verbs/dry_text.h"
#include "drying/carrier.h"
#include "drying/practice_tables.h"
#include "drying/solvency.h"
#include "materials/coverage.h"
#include "solvents/evaporation.h"

namespace witnessline::app {

namespace {

constexpr double hour_s = 3600, day_s = 86400, horizon_s = 730 * day_s, month_s = 30 * day_s;

/// What practice says of a binder and a use, of a build and a shop most like these; nullptr where nothing was
/// collected.
const PracticeRow* practice_of(const Material& coat, Use use, int coats, double temperature_K, const Library& library) {
  static const Result<std::vector<PracticeRow>> rows = practice_rows(drying_csv, "drying.csv");
  expects(static_cast<bool>(rows), "data/practice/drying.csv is whole");
  const auto names = words(static_cast<const Use*>(nullptr));
  constexpr double alike_K = 10;
  const PracticeRow* best = nullptr;
  const auto unlike =
      [&](const PracticeRow& row) {  // a row of practice before one that was read, then the nearest build
        return std::pair(row.how_known != "practice", std::abs(std::log(row.number("coats", 1) / coats)));
      };
  for (const PracticeRow& row : *rows) {
    const Material* material = library.find(row.subject);
    if (row.quantity != "time_until" || row.word("use", "") != names[static_cast<std::size_t>(use)] || !material ||
        material->binder != coat.binder || std::abs(row.number("T_degC", 21) + 273.15 - temperature_K) > alike_K)
      continue;
    if (!best || unlike(row) < unlike(*best)) best = &row;
  }
  return best;
}

/// Whether what was worked out lies outside what practice says, by more than nobody would remark on.
bool differs(double after_s, const PracticeRow& row) {
  const double unit_s = row.unit == "min" ? 60 : row.unit == "h" ? hour_s : row.unit == "days" ? day_s : 0;
  if (!(unit_s > 0) || !std::isfinite(after_s)) return false;
  constexpr double remarked_on = 1.3;
  const double after = after_s / unit_s;
  if (row.low && row.high) return after * remarked_on < *row.low || after > remarked_on * *row.high;
  return !row.holds(after);
}

/// The solvent that stands for all: of the thinner named, the one that makes up most of the last tenth.
Result<FilmSolvent> slow_end(const DryRequest& request, const Material& first, const Asking& asking,
                             std::vector<Note>& notes) {
  if (request.thinner.empty()) {
    const Material* material = last_to_leave(first.binder, asking.library);
    if (!material)
      return Error{"the library does not give the usual solvent of this coat",
                   {"", 0, 0, "thinner"},
                   "a thinner",
                   "name its solvents"};
    notes.push_back({Severity::information,
                     fmt::format("{} is taken as the solvent that leaves last, as usual for this binder (ESTIMATE)",
                                 material->name),
                     "thinner"});
    return film_solvent_of(*material);
  }
  std::vector<BlendPart> parts;
  for (std::size_t i = 0; i < request.thinner.size(); ++i)
    parts.push_back({request.thinner[i].solvent, request.thinner[i].parts, fmt::format("thinner[{}].solvent", i + 1)});
  const Result<CarrierBlend> blend = blend_of(parts, asking.library, notes);
  if (!blend) return blend.errors();
  const Result<std::vector<Volatile>> known = volatiles_of(*blend, "thinner", notes);
  if (!known) return known.errors();
  const Result<CarrierBlend> own = usual_carrier(first.binder, asking.library);
  if (!own) return own.errors();
  GunMix mix;  // as if the thinner were all that carries it
  mix.binds = &first, mix.own = *own, mix.thinner = mix.carrier = *blend, mix.solvents = *known;
  const Solvency solvency = solvency_of(mix);
  if (solvency.thinner.staying == Staying::falls_out)
    return Error{fmt::format("this thinner does not dissolve {} ({})", first.name, reason_in_words(solvency.thinner)),
                 {"", 0, 0, "thinner"},
                 "a thinner that keeps it in solution",
                 "see what thin says of it"};
  notes.insert(notes.end(), solvency.notes.begin(), solvency.notes.end());
  std::size_t slowest = 0;
  if (known->size() > 1) {
    WetFilm film;
    for (const double share : blend->volume_fraction) film.solvent_m.push_back(80e-6 * share);
    film.film_former_m = 8e-6;
    const Solution solution(*known, film_former_of(first), request.temperature_K);
    const EvaporationRun run = evaporate(
        solution, film, airflow_along(request.temperature_K, request.air_speed_m_s, request.relative_humidity), 0.1);
    const std::vector<double>& last = run.moments.back().volume_fraction;
    slowest = static_cast<std::size_t>(std::max_element(last.begin(), last.end()) - last.begin());
    notes.push_back({Severity::information,
                     fmt::format("{} makes up {:.0f} % of the last tenth of this thinner and stands for all of it: the "
                                 "first minutes go faster than said here, the weeks are its own",
                                 blend->solvents[slowest]->name, 100 * last[slowest]),
                     "thinner"});
  }
  return FilmSolvent{(*known)[slowest]};
}

Figure figure_of(std::string name, double value, Quantity quantity, std::string law, std::string source) {
  Figure f;
  f.name = std::move(name), f.value = value, f.quantity = quantity, f.law = std::move(law),
  f.source = std::move(source);
  f.kind = Kind::estimate;
  return f;
}

std::vector<double> times_to_show(const DryingCase& given) {
  const double last_s = given.coats.back().at_s;
  std::vector<double> times;
  for (const LaidCoat& coat : given.coats)
    for (const double after : {0.0, 600.0, 1800.0}) times.push_back(coat.at_s + after);
  for (double after = hour_s; after < 400 * day_s; after *= 1.35) times.push_back(last_s + after);
  times.push_back(last_s + day_s), times.push_back(last_s + month_s);
  std::sort(times.begin(), times.end());
  times.erase(std::unique(times.begin(), times.end(), [](double a, double b) { return b - a < 60; }), times.end());
  return times;
}

double all_m(const DriedMoment& moment) {
  double sum = 0;
  for (const double coat : moment.solvent_m) sum += coat;
  return sum;
}

std::size_t nearest(const std::vector<DriedMoment>& moments, double at_s) {
  std::size_t best = 0;
  for (std::size_t i = 0; i < moments.size(); ++i)
    if (std::abs(moments[i].at_s - at_s) < std::abs(moments[best].at_s - at_s)) best = i;
  return best;
}

/// The coats asked for, as the solver takes them, with the material of each.
struct Laid {
  DryingCase given;
  std::vector<const Material*> materials;
};
Result<Laid> lay(const DryRequest& request, const Asking& asking, std::vector<Note>& notes) {
  std::vector<Error> faults;
  std::vector<const DryCoats*> from;
  Laid laid;
  if (request.coats.empty())
    return Error{"no coats are given", {"", 0, 0, "coats"}, "at least one", "add [[coats]] with a material"};
  for (std::size_t i = 0; i < request.coats.size(); ++i) {
    const DryCoats& c = request.coats[i];
    const std::string key = fmt::format("coats[{}]", i + 1);
    const Material* material = asking.library.find(c.material);
    if (!material || !material->find(Property::volume_solids)) {
      const std::string near = nearest_word(c.material, asking.library.ids());
      faults.push_back({fmt::format("'{}' is no coat of the library", c.material),
                        {"", 0, 0, key + ".material"},
                        "a material id with volume solids",
                        near.empty() || near == c.material ? "" : fmt::format("did you mean '{}'?", near)});
      continue;
    }
    for (int n = 0; n < c.coats; ++n) {
      LaidCoat coat;
      coat.at_s = c.at_s + n * c.apart_s;
      if (!laid.given.coats.empty() && coat.at_s < laid.given.coats.back().at_s) {
        faults.push_back({"these coats start before the ones below are laid",
                          {"", 0, 0, key + ".at_h"},
                          "a later time",
                          "count hours from the start of the first coats"});
        break;
      }
      laid.given.coats.push_back(coat), laid.materials.push_back(material), from.push_back(&c);
    }
    if (drying_of(material->binder).cure.rate_per_s > 0)
      notes.push_back({Severity::information,
                       fmt::format("{} hardens by curing: how fast is fitted to common practice, one rate for every "
                                   "product of its kind. The times on its maker's sheet come first.",
                                   material->name),
                       key});
  }
  if (laid.given.coats.size() > 60)
    faults.push_back({"more than sixty coats", {"", 0, 0, "coats"}, "at most 60 in all", "put thin coats together"});
  if (!faults.empty()) return faults;
  constexpr double still_m_s = 0.05;
  if (request.air_speed_m_s < still_m_s)
    notes.push_back(
        {request.air_speed_m_s > 0 ? Severity::caution : Severity::danger,
         "Still air: only its own slow rise along a warm or cold face is counted. Its vapour also lies on the "
         "film and holds it back, so it takes longer than given here, and the room fills with vapour that "
         "burns and poisons: air the drying room.",
         "air_speed_m_s"});
  const Result<FilmSolvent> solvent = slow_end(request, *laid.materials.front(), asking, notes);
  if (!solvent) return solvent.errors();
  laid.given.solvent = *solvent;
  laid.given.air = airflow_along(request.temperature_K, request.air_speed_m_s, request.relative_humidity);
  laid.given.use_temperature_K = request.use_temperature_K;
  laid.given.on_wood = request.on == DryOn::wood;
  for (std::size_t c = 0; c < laid.materials.size(); ++c)
    laid.given.coats[c] =
        laid_coat(*laid.materials[c], *solvent, from[c]->wet_m, from[c]->thinning, laid.given.coats[c].at_s);
  return laid;
}

}  // namespace

Result<DryAnswer> dry_answer(const DryRequest& request, const Asking& asking) {
  DryAnswer answer;
  Result<Laid> laid = lay(request, asking, answer.notes);
  if (!laid) return laid.errors();
  const DryingCase& given = laid->given;
  const double last_s = given.coats.back().at_s;

  Belief belief = belief_of(laid->materials.back()->binder);
  bool fitted = false;
  if (request.card) {
    WeighedCard card;
    card.area_m2 = request.card->width_m * request.card->height_m;
    card.bare_kg = request.card->bare_kg, card.resolution_kg = request.card->scale_kg;
    for (const DryWeighing& w : request.card->weighings) card.weighings.push_back({w.at_s, w.mass_kg});
    DryingCase on_card = given;
    on_card.on_wood = false;
    const Result<CardFit> fit = fit_card(on_card, card);
    if (!fit) return fit.errors();
    fitted = fit->fitted;
    if (fitted) belief = fit->belief;
    answer.notes.insert(answer.notes.end(), fit->notes.begin(), fit->notes.end());
    for (std::size_t i = 0; i < fit->used.size(); ++i)
      answer.card.push_back({fit->used[i].at_s, fit->used[i].mass_kg, fit->modelled_kg[i]});
  }

  const Forecast seen = forecast(given, belief, times_to_show(given), last_s + horizon_s);
  const std::vector<DriedMoment>& moments = seen.middle.moments;
  const Material& outermost = *laid->materials.back();
  const LaidCoat& last = given.coats.back();
  const bool cures = last.cure.rate_per_s > 0;
  const DrawnPhysics likely = physics_of(belief.middle);
  FilmSolvent held = given.solvent;
  held.glass_transition_K += likely.solvent_transition_K;
  const std::vector<Input> inputs{
      {"room it is used in", request.use_temperature_K, Quantity::temperature, Kind::measured, ""},
      {"air of the shop", request.temperature_K, Quantity::temperature, Kind::measured, ""},
      {"glass transition of the outermost coat", given.coats.back().resin.glass_transition_K, Quantity::temperature,
       Kind::estimate, laid->materials.back()->id}};
  for (const Criterion& one : criteria()) {
    const auto u = static_cast<std::size_t>(one.use);
    DryUse use{one.use, std::string(one.sentence), {}, false, {}, "", false};
    const PracticeRow* practice =
        practice_of(outermost, one.use, static_cast<int>(given.coats.size()), request.temperature_K, asking.library);
    if (practice)
      use.practice = fmt::format("{}: {} ({})", practice->claim, window_text(*practice), practice->how_known);
    use.after =
        figure_of(fmt::format("wait before {}", gerund(one.use)), seen.middle.ready_s[u], Quantity::duration,
                  cures ? "the later of: solvent gone by free-volume diffusion; cured as far as this use asks, at "
                          "a rate fitted to common practice"
                        : "solvent left by free-volume diffusion; hard by Fox and WLF; unknowns fitted to common "
                          "practice",
                  "fujita1961");
    use.after.inputs = inputs;
    use.after.inputs.push_back(
        {"solvent the outer film may hold",
         solvent_allowed(one.use, last.resin, held, request.use_temperature_K, likely.harder_K, likely.how.glass_keeps),
         Quantity::fraction, Kind::estimate, "fox1956"});
    if (cures)
      use.after.inputs.push_back(
          {"degree of cure asked for", one.cured, Quantity::fraction, Kind::estimate, "estimate"});
    use.after.band = {std::min(seen.ready_s[u].low, seen.middle.ready_s[u]),
                      std::max(seen.ready_s[u].high, seen.middle.ready_s[u])};
    use.later = std::isinf(use.after.band.high);
    if (std::isinf(use.after.band.low)) use.after.band = {};
    if (use.later && std::isfinite(use.after.band.low)) use.after.band.high = horizon_s;
    if (std::isinf(use.after.value)) use.after.value = std::numeric_limits<double>::quiet_NaN();
    use.differs = practice && differs(use.after.value, *practice);
    use.sinks = figure_of("sinking still to come in the hollow", std::numeric_limits<double>::quiet_NaN(),
                          Quantity::film_thickness, "depth x volume share of solvent in the outer film", "geometry");
    if (std::isfinite(use.after.value)) {
      const std::size_t at = nearest(moments, last_s + use.after.value);
      use.sinks.value = sink_m(request.hollow_m, moments[at].outer_fraction,
                               kept_in_glass(last.resin, likely.how.glass_keeps, request.use_temperature_K));
      use.sinks.inputs.push_back({"hollow", request.hollow_m, Quantity::film_thickness, Kind::measured, ""});
    }
    answer.sentences.push_back(sentence_of(use, cures));
    answer.uses.push_back(std::move(use));
  }
  if (!fitted)
    answer.sentences.push_back(
        "All of this is an estimate: the physics of solvent leaving, fitted to what finishers and makers report. To "
        "narrow "
        "it to your own film, spray a 100 x 150 mm metal card alongside and weigh it on a 0.01 g scale: bare, after "
        "the "
        "last coat, next day, after a week, two and four.");
  answer.notes.push_back({Severity::information,
                          "A magnetic gauge cannot read film on wood: measure it on steel coupons sprayed "
                          "alongside",
                          ""});
  answer.notes.push_back({Severity::information,
                          "Rubber and foam of stands mark fresh lacquer however hard it feels: keep cotton between "
                          "(common practice, no source)",
                          "hang_on_stand"});
  constexpr double blush_asked_from = 0.6;  // Source: common_practice, 60 to 65 % for lacquer without retarder
  if (given.solvent.of.family != SolventFamily::water && request.relative_humidity > blush_asked_from)
    answer.notes.push_back(
        {Severity::caution,
         fmt::format("At {:.0f} % humidity the solvent leaves as fast as in dry air, but the film may "
                     "blush: ask `lay` or `thin` before you spray.",
                     100 * request.relative_humidity),
         "relative_humidity_pct"});
  std::vector<std::string> soon;
  for (std::size_t c = 1; c < given.coats.size(); ++c)
    if (seen.middle.soft_below[c]) soon.push_back(std::to_string(c + 1));
  if (!soon.empty()) {
    DryingCase alone = given;
    alone.coats.resize(1);
    alone.coats[0].at_s = 0;
    const auto recoat = static_cast<std::size_t>(Use::recoat);
    const double first_s = dried(alone, belief.middle, {}, month_s).ready_s[recoat];
    const std::string first = duration_in_words(first_s),
                      last = duration_in_words(std::max(first_s, seen.middle.ready_s[recoat]));
    answer.notes.push_back(
        {Severity::caution,
         fmt::format(
             "Coat{} {} go{} on before the coat below is ready, which drags it and shuts solvent in: leave about {}.",
             soon.size() == 1 ? "" : "s", fmt::join(soon, ", "), soon.size() == 1 ? "es" : "",
             first == last ? first : fmt::format("{} after the first coat, {} after the last", first, last)),
         "coats"});
  }
  if (!seen.middle.finished)
    answer.notes.push_back({Severity::caution, "the solver stopped short: the last dates are too early", ""});
  for (const LaidCoat& coat : given.coats)
    if (coat.resin.transition_assumed) {
      answer.notes.push_back(
          {Severity::information, "a coat's file gives no glass transition: 45 degC was taken (ESTIMATE)", "coats"});
      break;
    }

  const std::size_t day = nearest(moments, last_s + day_s), month = nearest(moments, last_s + month_s);
  for (std::size_t c = 0; c < given.coats.size(); ++c) {
    const LaidCoat& coat = given.coats[c];
    const auto left = [&](std::size_t at) {
      return figure_of("solvent left over dry film", moments[at].solvent_m[c] / coat.dry_m, Quantity::fraction,
                       "free-volume diffusion through all coats above", "fujita1961");
    };
    answer.coats.push_back(
        {laid->materials[c]->id, static_cast<int>(c) + 1, coat.at_s,
         figure_of("dry film", coat.dry_m, Quantity::film_thickness, "wet x solids / (1 + thinning)", "geometry"),
         left(day), left(month)});
    Curve curve{fmt::format("coat {}: {}", c + 1, laid->materials[c]->name),
                "time since the first coat [d]",
                "solvent over dry film [%]",
                {},
                {}};
    for (const DriedMoment& moment : moments)
      if (moment.at_s >= coat.at_s)
        curve.x.push_back(moment.at_s / day_s), curve.y.push_back(100 * moment.solvent_m[c] / coat.dry_m);
    answer.curves.push_back(std::move(curve));
  }
  for (const int which : {0, 1, 2}) {
    static constexpr std::array names{"all coats", "low end of the band", "high end of the band"};
    Curve curve{
        names[static_cast<std::size_t>(which)], "time since the first coat [d]", "solvent in all coats [um]", {}, {}};
    for (std::size_t i = 0; i < moments.size(); ++i) {
      curve.x.push_back(moments[i].at_s / day_s);
      curve.y.push_back(1e6 * (which == 0 ? all_m(moments[i]) : which == 1 ? seen.left_m[i].low : seen.left_m[i].high));
    }
    answer.curves.push_back(std::move(curve));
  }
  answer.wood = figure_of("solvent in the wood", moments[month].wood_m, Quantity::film_thickness,
                          "constant diffusivity, uptake in proportion to activity", "estimate");
  return answer;
}

Verb dry_verb() {
  return verb<DryRequest, DryAnswer>("dry", "How coats dry and when they may be used, narrowed by a weighed card",
                                     Work{}, dry_answer, format_answer);
}

}  // namespace witnessline::app
