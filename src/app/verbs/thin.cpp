#include "app/verbs/thin.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "app/verbs/surface.h"
#include "app/verbs/thin_given.h"
#include "app/verbs/thin_text.h"
#include "drying/solvency.h"

namespace witnessline::app {

namespace {

void add_safety_notes(const ThinAnswer& answer, const Library& library, std::vector<Note>& notes) {
  std::string unlimited;
  for (const ThinnerResult& thinner : answer.thinners)
    for (const SolventPart& part : thinner.parts) {
      const Material* material = library.find(part.material);
      const bool known = material->find(Property::exposure_limit) && material->find(Property::lower_explosive_limit);
      if (!known && unlimited.find(part.material) == std::string::npos)
        unlimited += (unlimited.empty() ? "" : ", ") + part.material;
    }
  if (!unlimited.empty())
    notes.push_back(
        {Severity::danger,
         fmt::format("No explosive or exposure limit on file for {}: a missing figure is not a safe one.", unlimited),
         "thinners"});
  notes.push_back(
      {Severity::danger,
       "Fire and breathing are not assessed here: run `ventilate` for this thinner before you open it, and mix it "
       "away from every flame and spark.",
       "thinners"});
}

/// With the thinner chosen, stirred in at `ratio`.
void take_thinner(GivenTin& tin, const CarrierBlend& thinner, double ratio) {
  take_solvents(tin.makeup, tin.material->binder, thinner, thinned(tin.own.of, tin.makeup.solids_frac, thinner, ratio));
}

Result<Figure> ratio_at(const GivenTin& tin, double temperature_K, const char* key) {
  Result<Figure> found = thinning_figure(tin.makeup, tin.solids_sd_frac, tin.readings, tin.wanted_m2_s, temperature_K);
  if (!found) return at_key(found.errors()[0], key);
  return found;
}

/// "14 s in the Zahn cup 2"; "less than 15 s in it" where the cup cannot tell.
std::string runs_in_words(const SolutionViscosity& law, const Cup& cup, double temperature_K) {
  const double seconds = unchecked_seconds_s(cup, law.kinematic_m2_s(0, temperature_K));
  if (seconds < cup.shortest_s) return fmt::format("in less than {:g} s out of the {}", cup.shortest_s, cup.name);
  return fmt::format("in {:.0f} s out of the {}", seconds, cup.name);
}

/// What needs more of a solvent than is in stock.
void note_short_shelf(const ThinRequest& request, const CarrierBlend& chosen, double thinner_m3,
                      std::vector<Note>& notes) {
  for (const PaintTin& there : request.shelf)
    for (std::size_t i = 0; i < chosen.solvents.size(); ++i) {
      const double takes_m3 = chosen.volume_fraction[i] * thinner_m3;
      if (chosen.solvents[i]->id == there.material && there.volume_m3 > 0 && takes_m3 > there.volume_m3 * (1 + 1e-9))
        notes.push_back({Severity::caution,
                         fmt::format("It needs {} of {}; only {} in stock.", show(takes_m3, Quantity::film_volume),
                                     there.material, show(there.volume_m3, Quantity::film_volume)),
                         "shelf"});
    }
}

/// Why nothing is to be poured in: the thinner dissolves it not at all, or not to the end. Empty: it may be.
std::string refusal(const Solvency& solvency, const WetCoat& coat, const Material& paint, bool designed) {
  if (solvency.own_carrier) return "";
  if (solvency.thinner.staying == Staying::falls_out || solvency.blend.staying == Staying::falls_out) {
    const bool alone = solvency.thinner.staying == Staying::falls_out;
    return fmt::format("{}{} does not dissolve in it ({}) and would precipitate, in the tin or on the work.",
                       designed ? "Nothing on this shelf makes a thinner: " : "Do not pour it in: ", paint.name,
                       reason_in_words(alone ? solvency.thinner : solvency.blend));
  }
  if (coat.solubility && coat.solubility->worst.staying == Staying::falls_out)
    return fmt::format(
        "{}it takes {} up at first, but what is left of it at the end does not ({}): the film turns white "
        "and cottony. Exchange its slow part for a true solvent.",
        designed ? "Nothing on this shelf makes a thinner: of the best, " : "Do not spray with it: ", paint.name,
        reason_in_words(coat.solubility->worst));
  return "";
}

bool among_lacquers(Binder b) { return b == Binder::nitrocellulose || b == Binder::acrylic || b == Binder::vinyl; }

/// What is sold for thinning such a lacquer.
GivenBlend usual_thinner(const Material& paint, const Library& library, Gathered& faults) {
  GivenBlend blend;
  std::vector<Note> stood_in;
  if (auto of = faults.good(usual_carrier(paint.binder, library))) blend.of = std::move(*of);
  if (auto solvents = faults.good(volatiles_of(blend.of, "thinner", stood_in))) blend.solvents = std::move(*solvents);
  return blend;
}

/// To what a person pours: 5 mL, below 50 mL one.
double measurable_m3(double m3) {
  const double step_m3 = m3 < 50e-6 ? 1e-6 : 5e-6;
  return std::max(1e-6, step_m3 * std::round(m3 / step_m3));
}

}  // namespace

Result<ThinAnswer> thin_answer(const ThinRequest& request, const Asking& asking) {
  ThinAnswer answer;
  Gathered faults;
  const Library& library = asking.library;
  GivenTin tin = tin_at(request, library, answer.notes, faults);
  const GivenBlend& own = tin.own;
  // Where nobody says with what: spirit and oil finishes with what carries them, a lacquer with the thinner sold for
  // it. A thinner is designed from a shelf, or where something is not to be in it.
  const bool lacquer = tin.material && among_lacquers(tin.material->binder);
  const bool customary =
      request.thinner.empty() && request.shelf.empty() && request.excluded.empty() && !tin.own.solvents.empty();
  const GivenBlend asked = customary ? lacquer ? usual_thinner(*tin.material, library, faults) : tin.own
                                     : blend_at(request.thinner, "thinner", library, answer.notes, faults);
  const Result<Volatile> retarder = solvent_at(request.retarder, "retarder", library);
  faults.good(retarder);
  if (request.soonest_s >= request.latest_s)
    faults.list.push_back({"soonest is not before latest", {"", 0, 0, "soonest_min"}, "less than latest_min", ""});
  if (!faults.list.empty()) return faults.list;
  const bool designed = request.thinner.empty() && !customary;
  if (!designed) take_thinner(tin, asked.of, 1);

  const Result<FittedViscosity> usual = fit_viscosity(tin.makeup, tin.readings);
  if (!usual) return at_key(usual.errors()[0], "tin.readings");
  const double volume_m3 = request.tin.volume_m3 > 0 ? request.tin.volume_m3 : 1e-3;
  const double colder_K = request.air.temperature_K - request.colder_K;
  Result<Figure> now = ratio_at(tin, request.air.temperature_K, "wanted");
  if (!now) return now.errors();
  std::vector<ShelfSolvent> shelf;
  if (designed)
    shelf = shelf_at(request, now->value * volume_m3, library, answer.notes, faults);
  else
    for (const Volatile& one : asked.solvents) shelf.push_back({one, 0, 1});
  if (!faults.list.empty()) return faults.list;

  const Weather weather{request.air.temperature_K, request.air.humidity_frac, request.air.speed_m_s};
  SprayedFilm film{tin.film_former, tin.makeup.solids_frac / (1 + now->value), request.wet_m, {}, {}, {}};
  film.air = airflow_along(weather.temperature_K, weather.air_speed_m_s, weather.relative_humidity);
  if (request.air.speed_m_s <= 0)
    answer.notes.push_back(
        {Severity::danger,
         "Still air was asked for: the film is worked out as if its own convection carried the vapour off. "
         "In truth the vapour stays, the film dries far slower, and the room fills with what burns: do "
         "not spray without moving air.",
         "air.speed_m_s"});
  // Of one part of the tin what is not solids is its solvents; thinner comes on top.
  const double tins = 1 - tin.makeup.solids_frac, all = tins + now->value;
  film.tin_solvents = own.solvents;
  for (const double share : own.of.volume_fraction) film.tin_volume_fraction.push_back(share * tins / all);
  const ThinnerWishes wishes{request.spare_humidity_frac, request.soonest_s, request.latest_s, 0.45,
                             request.most_solvents};
  std::vector<ThinnerTrial> trials;
  if (designed)
    trials = design_thinner(shelf, film, wishes, static_cast<std::size_t>(request.answers));
  else
    trials = {try_thinner(shelf, asked.of.volume_fraction, film, wishes)};
  if (trials.empty())
    return Error{fmt::format("{} solvents do not make up a thinner from what is in stock", request.most_solvents),
                 {"", 0, 0, "shelf"},
                 "enough of each for its tenth of the thinner",
                 "thin less of the tin at a time, or allow more solvents"};
  const auto blend_of_trial = [&](const ThinnerTrial& trial) {
    CarrierBlend blend;
    for (std::size_t i = 0; i < shelf.size(); ++i)
      if (trial.volume_fraction[i] > 0) {
        blend.solvents.push_back(library.find(shelf[i].of.id));
        blend.volume_fraction.push_back(trial.volume_fraction[i]);
      }
    return blend;
  };
  const CarrierBlend chosen = blend_of_trial(trials[0]);
  // With what was chosen, the ratio is its own.
  take_thinner(tin, chosen, now->value);
  const Result<FittedViscosity> fit = fit_viscosity(tin.makeup, tin.readings);
  if (!fit) return at_key(fit.errors()[0], "tin.readings");
  answer.notes.insert(answer.notes.end(), fit->notes.begin(), fit->notes.end());
  now = ratio_at(tin, request.air.temperature_K, "wanted");
  const Result<Figure> colder = ratio_at(tin, colder_K, "colder_K");
  if (!now) return now.errors();
  if (!colder) return colder.errors();
  answer.ratio = *now, answer.ratio_colder = *colder;
  answer.ratio_colder.name += ", on the colder day";
  answer.thinner_m3 = now->value * volume_m3;
  answer.solids_sprayed_frac = tin.makeup.solids_frac / (1 + now->value);

  // The same coat that `lay` and the steps of a plan are asked about.
  std::optional<GunMix> mix;
  std::optional<WetCoat> coat;
  for (ThinnerTrial& trial : trials) {
    std::vector<Note> stood_in;  // reported where the blends were read
    Result<GunMix> one =
        gun_mix(*tin.material, own.of, tin.makeup.solids_frac, blend_of_trial(trial), now->value, "thinner", stood_in);
    if (!one) return one.errors();
    WetCoat laid = wet_coat(*one, request.wet_m, weather);
    trial = as_sprayed(std::move(trial), laid, film.air, wishes, mix ? &trials[0] : nullptr);
    answer.thinners.push_back(result_of(trial, shelf, laid));
    if (!mix) mix = std::move(*one), coat.emplace(std::move(laid));
  }
  if (coat->run.mixing != Mixing::groups)
    answer.notes.push_back(
        {Severity::information,
         "A solvent here has no groups on file: activities come from Hansen distances alone, a coarser "
         "model.",
         "thinners"});
  add_safety_notes(answer, library, answer.notes);
  const ThinnerResult& best = answer.thinners[0];
  const Solvency solvency = solvency_of(*mix);
  const std::string no = refusal(solvency, *coat, *tin.material, designed);
  if (!no.empty()) {
    answer.sentences.push_back(no);
    answer.ratio = answer.ratio_colder = Figure{};
    answer.thinner_m3 = 0, answer.solids_sprayed_frac = tin.makeup.solids_frac;
    add_curves(answer.curves, *coat);
    return answer;
  }
  add_notes(answer.notes, solvency.notes);
  const Cup& cup = *find_cup(tin.wanted.cup);
  const double until_ratio = 1.5 * std::max(1.0, colder->value);
  answer.curves.push_back(seconds_curve(fit->law, cup, request.air.temperature_K, until_ratio, "today"));
  if (request.colder_K > 0)
    answer.curves.push_back(seconds_curve(fit->law, cup, colder_K, until_ratio, "the colder day"));
  add_curves(answer.curves, *coat);
  note_short_shelf(request, chosen, answer.thinner_m3, answer.notes);

  if (now->value > 0)
    answer.sentences.push_back(fmt::format(
        "Thin one part of the tin with {:g} parts of thinner by volume ({:.2f} to {:.2f}) for {:g} s in the {}: {} "
        "of the tin takes {}.",
        0.05 * std::round(now->value / 0.05), now->band.low, now->band.high, tin.wanted.run_out_s, cup.name,
        show(volume_m3, Quantity::film_volume, asking.units),
        show(measurable_m3(answer.thinner_m3), Quantity::film_volume, asking.units)));
  else
    answer.sentences.push_back(fmt::format(
        "Put no thinner in: this tin runs {} already, thinner than the {:g} s wanted. Lay drier coats and more of "
        "them, or mix in a thicker tin of the same; never let solvent off out of an open tin.",
        runs_in_words(fit->law, cup, request.air.temperature_K), tin.wanted.run_out_s));
  if (request.colder_K > 0 && colder->value > 0)
    answer.sentences.push_back(
        fmt::format("At {} the same {:g} s take {:.2f} parts; warming the tin to today's {} in warm water, far from "
                    "any flame, saves "
                    "that thinner and the film it costs.",
                    show(colder_K, Quantity::temperature, asking.units), tin.wanted.run_out_s, colder->value,
                    show(request.air.temperature_K, Quantity::temperature, asking.units)));
  if (designed) {
    answer.sentences.push_back(
        fmt::format("{}: {} by volume.", request.shelf.empty() ? "Best of the solvents on file" : "Best from the shelf",
                    parts_in_words(best)));
    for (const std::string& fault : best.faults) answer.sentences.push_back(fmt::format("Even so it {}.", fault));
  }
  if (customary)
    answer.sentences.push_back(
        lacquer
            ? fmt::format("No thinner was given: the usual one is taken, {} by volume (ESTIMATE). Name yours, or give "
                          "your shelf to have one designed.",
                          parts_in_words(best))
            : fmt::format("No thinner was given: {} by volume, what usually carries it.", parts_in_words(best)));
  answer.sentences.push_back(clearness_sentence(*coat, solvency.own_carrier));
  answer.sentences.push_back(blush_in_words(*coat, asking.units));
  answer.sentences.push_back(
      fmt::format("Of its solvent 10 % is gone after {:.1f} min, half after {:.1f} min, 90 % after {:.1f} min, as far "
                  "as the open face "
                  "decides; the last of it comes out of the film slower.",
                  best.time_10_s / 60, best.time_50_s / 60, best.time_90_s / 60));
  const std::string slower = add_retarder(shelf, trials[0].volume_fraction, *retarder, film, wishes, answer.curves);
  constexpr double never_blushes = 0.95;
  if (coat->limits.no_blush < never_blushes) answer.sentences.push_back(slower);
  return answer;
}

Verb thin_verb() {
  return verb<ThinRequest, ThinAnswer>("thin", "How far to thin a tin, with what, and whether its film stays clear",
                                       Work{.sprays = true, .wets = true}, thin_answer, format_answer);
}

}  // namespace witnessline::app
