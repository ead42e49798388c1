#include "app/verbs/thin.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

#include "drying/solvency.h"
#include "materials/air.h"
#include "solvents/cup.h"
#include "solvents/thinner.h"
#include "solvents/viscosity.h"

namespace witnessline {

namespace {

Error at_key(Error error, const std::string& key) {
  error.where.key = key;
  return error;
}

Result<const Material*> material_at(const std::string& id, const std::string& key, const Library& library) {
  if (const Material* material = library.find(id)) return material;
  const std::string near = nearest_word(id, library.ids());
  return Error{fmt::format("'{}' is no material of the library", id),
               {"", 0, 0, key},
               "a material id",
               near.empty() ? "" : fmt::format("did you mean '{}'?", near)};
}

Result<Volatile> solvent_at(const std::string& id, const std::string& key, const Library& library) {
  const Result<const Material*> material = material_at(id, key, library);
  if (!material) return material.errors();
  Result<Volatile> made = volatile_of(**material);
  if (made) return made;
  std::vector<Error> faults;
  for (const Error& fault : made.errors()) faults.push_back(at_key(fault, key));
  return faults;
}

/// Keeps faults together while the good parts are taken.
struct Gathered {
  std::vector<Error> list;
  template <class T>
  std::optional<T> good(const Result<T>& result) {
    if (result) return *result;
    list.insert(list.end(), result.errors().begin(), result.errors().end());
    return std::nullopt;
  }
};

/// Solvents and shares of a blend; shares must sum to 1.
struct Blend {
  std::vector<Volatile> solvents;
  std::vector<double> shares;
};
Blend blend_at(const std::vector<BlendPartGiven>& given, const std::string& key, const Library& library,
               Gathered& faults) {
  Blend blend;
  double sum = 0;
  for (std::size_t i = 0; i < given.size(); ++i) {
    const std::string here = fmt::format("{}[{}].material", key, i + 1);
    if (const std::optional<Volatile> solvent = faults.good(solvent_at(given[i].material, here, library))) {
      if (std::any_of(blend.solvents.begin(), blend.solvents.end(), [&](const auto& o) { return o.id == solvent->id; }))
        faults.list.push_back(
            {fmt::format("'{}' stands there twice", solvent->id), {"", 0, 0, here}, "", "add them up"});
      blend.solvents.push_back(*solvent);
      blend.shares.push_back(given[i].share_frac);
    }
    sum += given[i].share_frac;
  }
  if (!given.empty() && std::abs(sum - 1) > 1e-6)
    faults.list.push_back({fmt::format("the shares sum to {:.6g} %", 100 * sum),
                           {"", 0, 0, key},
                           "100 %",
                           "put right the share that is wrong: nothing is scaled for you"});
  return blend;
}

Result<double> cup_at(const std::string& cup, double run_out_s, const std::string& key) {
  const Cup* found = find_cup(cup);
  if (!found) {
    std::vector<std::string> known;
    for (const Cup& one : cups()) known.emplace_back(one.id);
    const std::string near = nearest_word(cup, known);
    return Error{fmt::format("there is no cup '{}'", cup),
                 {"", 0, 0, key + ".cup"},
                 cup_words(),
                 near.empty() ? "" : fmt::format("did you mean '{}'?", near)};
  }
  const Result<double> viscosity_m2_s = viscosity_of_seconds_m2_s(*found, run_out_s);
  if (!viscosity_m2_s) return at_key(viscosity_m2_s.errors()[0], key + ".run_out_s");
  return *viscosity_m2_s;
}

/// The tin, its readings and its target, understood.
struct Tin {
  const Material* material = nullptr;
  FilmFormer film_former;
  TinMakeup makeup;
  double solids_sd_frac = 0;
  std::vector<TinReading> readings;
  double wanted_m2_s = 0;
};

Tin tin_at(const ThinRequest& request, const Library& library, std::vector<Note>& notes, Gathered& faults) {
  Tin tin;
  if (const auto found = faults.good(material_at(request.tin.material, "tin.material", library))) tin.material = *found;
  if (tin.material) {
    if (const auto former = film_former_of(*tin.material))
      tin.film_former = *former;
    else
      faults.list.push_back({fmt::format("{} has no Hansen sphere", tin.material->id),
                             {"", 0, 0, "tin.material"},
                             "a clear, sealer or colour whose solvents are known",
                             "choose the material that binds it"});
    const Datum *solids = tin.material->find(Property::volume_solids), *density = tin.material->find(Property::density);
    if (request.tin.solids_frac > 0)
      tin.makeup.solids_frac = request.tin.solids_frac, tin.solids_sd_frac = 0.01;
    else if (solids)
      tin.makeup.solids_frac = solids->value, tin.solids_sd_frac = solids->sd;
    else
      faults.list.push_back(
          {"its solids by volume are not known", {"", 0, 0, "tin"}, "solids_pct", "see its data sheet"});
    tin.makeup.density_kg_m3 = density ? density->value : 0;
    if (!density) faults.list.push_back({"its density is not known", {"", 0, 0, "tin.material"}, "", "weigh a litre"});
    if (makers_thinner_only(tin.material->binder))
      faults.list.push_back({fmt::format("how far to thin {} is not worked out here", tin.material->name),
                             {"", 0, 0, "tin.material"},
                             "a lacquer or varnish that is a solution and dries by its solvent alone",
                             tin.material->binder == Binder::water_borne
                                 ? "a dispersion takes its maker's water and additives only: follow its data sheet"
                                 : "its thinner, their share and the hardener belong together: follow its data sheet"});
    if (tin.material->metallic || tin.material->role == Role::colorant || tin.material->role == Role::primer)
      notes.push_back(
          {Severity::caution,
           "Pigment and flake thicken a lacquer in ways the law here does not know, and settle the faster the "
           "thinner it is: read the mix in the cup before spraying.",
           "tin.material"});
  }
  for (std::size_t i = 0; i < request.tin.readings.size(); ++i) {
    const CupReadingGiven& r = request.tin.readings[i];
    if (const std::optional<double> v = faults.good(cup_at(r.cup, r.run_out_s, fmt::format("tin.readings[{}]", i + 1))))
      tin.readings.push_back({*v, r.temperature_K, r.thinner_parts_ratio});
    if (r.cup.starts_with("zahn"))
      notes.push_back(
          {Severity::information,
           "Zahn cups differ by maker and batch, by a tenth and more: read and spray with one and the same cup.",
           "tin.readings"});
  }
  if (const std::optional<double> v = faults.good(cup_at(request.wanted.cup, request.wanted.run_out_s, "wanted")))
    tin.wanted_m2_s = *v;
  return tin;
}

/// Shelf to design from, or the asked thinner's own solvents.
std::vector<ShelfSolvent> shelf_at(const ThinRequest& request, const Library& library, std::vector<Note>& notes,
                                   Gathered& faults) {
  std::vector<ShelfSolvent> shelf;
  const auto excluded = [&](const std::string& id) {
    return std::find(request.excluded.begin(), request.excluded.end(), id) != request.excluded.end();
  };
  for (std::size_t i = 0; i < request.excluded.size(); ++i)
    faults.good(material_at(request.excluded[i], fmt::format("excluded[{}]", i + 1), library));
  if (!request.shelf.empty()) {
    for (std::size_t i = 0; i < request.shelf.size(); ++i)
      if (const std::optional<Volatile> one =
              faults.good(solvent_at(request.shelf[i].material, fmt::format("shelf[{}].material", i + 1), library));
          one && !excluded(one->id))
        shelf.push_back({*one, request.shelf[i].price_per_litre});
  } else {
    std::string left_out;
    for (const Material& material : library.all()) {
      if (material.role != Role::solvent || material.id == "water" || excluded(material.id)) continue;
      if (const Result<Volatile> one = volatile_of(material))
        shelf.push_back({*one, 0});
      else
        left_out += (left_out.empty() ? "" : ", ") + material.name.substr(0, material.name.find_first_of(":("));
    }
    if (!left_out.empty())
      notes.push_back({Severity::information,
                       fmt::format("Left out of the design because a property is missing: {}.", left_out), "shelf"});
  }
  if (shelf.size() > Solution::most_solvents)
    faults.list.push_back({fmt::format("{} solvents on the shelf", shelf.size()),
                           {"", 0, 0, "shelf"},
                           fmt::format("{} at most", Solution::most_solvents),
                           "leave out those you would not use"});
  if (shelf.empty() && faults.list.empty())
    faults.list.push_back(
        {"nothing is left to design from", {"", 0, 0, "shelf"}, "a solvent that is not excluded", ""});
  const bool priced = std::any_of(shelf.begin(), shelf.end(), [](const auto& one) { return one.price_per_L > 0; });
  if (priced && std::any_of(shelf.begin(), shelf.end(), [](const auto& one) { return one.price_per_L <= 0; }))
    notes.push_back({Severity::caution, "A solvent without a price counted as free.", "shelf"});
  return shelf;
}

ThinnerSaid said_of(const ThinnerTrial& trial, std::span<const ShelfSolvent> shelf, const SprayedFilm& film) {
  ThinnerSaid said;
  for (std::size_t i = 0; i < shelf.size(); ++i)
    if (trial.volume_fraction[i] > 0) said.parts.push_back({shelf[i].of.id, trial.volume_fraction[i]});
  said.staying = staying_of(trial.worst_difference);
  said.first_difference = trial.first_difference, said.worst_difference = trial.worst_difference;
  said.time_10_s = trial.time_10_s, said.time_50_s = trial.time_50_s, said.time_90_s = trial.time_90_s;
  said.coldest_K = trial.coldest_K;
  said.dew_point_K = dew_point_K(film.air.temperature_K, film.relative_humidity);
  said.no_mist_frac = trial.limits.no_mist, said.no_blush_frac = trial.limits.no_blush;
  said.price_per_litre = trial.price_per_L;
  said.faults = trial.faults, said.loses = trial.loses;
  return said;
}

std::string parts_in_words(const ThinnerSaid& thinner) {
  std::string text;
  for (const BlendPartGiven& part : thinner.parts)
    text += fmt::format("{}{:.0f} {}", text.empty() ? "" : ", ", 100 * part.share_frac, part.material);
  return text;
}

std::string clearness_sentence(const ThinnerSaid& t) {
  switch (t.staying) {
    case Staying::stays:
      return fmt::format("The film former stays in solution to the end (relative energy difference at most {:.2f}).",
                         t.worst_difference);
    case Staying::unsure:
      return fmt::format(
          "The solvent left comes to a relative energy difference of {:.2f}: between 0.9 and 1.1 nobody can tell, so "
          "spray "
          "a test card and look for haze.",
          t.worst_difference);
    case Staying::falls_out:
      return fmt::format(
          "The slow end of this thinner does not dissolve the film former (relative energy difference {:.2f}): expect "
          "it to "
          "turn white and cottony; exchange its slow part for a true solvent.",
          t.worst_difference);
  }
  return "";
}

std::string blush_sentence(const ThinnerSaid& t, double humidity, BenchUnits units) {
  const std::string cold =
      fmt::format("The film cools to {}, the dew point is {}", show(t.coldest_K, Quantity::temperature, units),
                  show(t.dew_point_K, Quantity::temperature, units));
  const std::string safe =
      fmt::format("safe below {:.0f} % humidity, blushes above {:.0f} %", 100 * t.no_mist_frac, 100 * t.no_blush_frac);
  if (humidity <= t.no_mist_frac) return fmt::format("{}: no water settles on it ({}).", cold, safe);
  if (humidity <= t.no_blush_frac)
    return fmt::format("{}: it mists and should clear again before it sets; test it on a card ({}).", cold, safe);
  return fmt::format("{}: water is still in it when it sets, so it blushes today ({}).", cold, safe);
}

/// The drying film of one thinner, as curves.
void add_curves(std::vector<Curve>& curves, const ThinnerRun& dried, const SprayedFilm& film) {
  const Solubility solubility = solubility_along(dried.run, dried.solution);
  const double dew_K = dew_point_K(film.air.temperature_K, film.relative_humidity);
  Curve difference{"solvent left against the film former", "time [min]", "relative energy difference", {}, {}},
      temperature{"film", "time [min]", "temperature [degC]", {}, {}},
      dew{"dew point of the air", "time [min]", "temperature [degC]", {}, {}},
      left{"solvent left", "time [min]", "share of the solvent laid [%]", {}, {}};
  std::vector<Curve> each;
  for (const Volatile& one : dried.solution.solvents())
    each.push_back({one.id, "time [min]", "share of the solvent left [%]", {}, {}});
  for (std::size_t k = 0; k < dried.run.moments.size(); ++k) {
    const EvaporationMoment& moment = dried.run.moments[k];
    const double minutes = moment.time_s / 60;
    const auto add = [&](Curve& curve, double y) { curve.x.push_back(minutes), curve.y.push_back(y); };
    add(difference, solubility.difference[k]);
    add(temperature, moment.film_temperature_K - 273.15);
    add(dew, dew_K - 273.15);
    add(left, 100 * moment.left_fraction);
    for (std::size_t i = 0; i < each.size(); ++i) add(each[i], 100 * moment.volume_fraction[i]);
  }
  for (Curve* curve : {&difference, &temperature, &dew, &left}) curves.push_back(std::move(*curve));
  for (Curve& curve : each) curves.push_back(std::move(curve));
}

Curve seconds_curve(const SolutionViscosity& law, const Cup& cup, double temperature_K, double until_ratio,
                    std::string name) {
  Curve curve{std::move(name),
              "thinner to one part of the tin",
              fmt::format("{} [s], trusted from {:g} to {:g}", cup.name, cup.shortest_s, cup.longest_s),
              {},
              {}};
  for (int step = 0; step <= 40; ++step) {
    const double ratio = until_ratio * step / 40;
    const double run_out_s = unchecked_seconds_s(cup, law.kinematic_m2_s(ratio, temperature_K));
    if (run_out_s < cup.shortest_s || run_out_s > cup.longest_s) continue;
    curve.x.push_back(ratio), curve.y.push_back(run_out_s);
  }
  return curve;
}

/// What shares of a retarder buy: humidity before it blushes, against the time it takes.
std::string add_retarder(const std::vector<ShelfSolvent>& shelf, const std::vector<double>& shares,
                         const Volatile& retarder, const SprayedFilm& film, const ThinnerWishes& wishes,
                         std::vector<Curve>& curves) {
  std::vector<ShelfSolvent> with = shelf;
  std::size_t at = with.size();
  for (std::size_t i = 0; i < with.size(); ++i)
    if (with[i].of.id == retarder.id) at = i;
  std::vector<double> base = shares;
  if (at == with.size()) with.push_back({retarder, 0}), base.push_back(0);
  Curve limit{"blushes above", "retarder added [% of the thinner]", "humidity [%]", {}, {}},
      mist{"mists above", "retarder added [% of the thinner]", "humidity [%]", {}, {}},
      time{"90 % gone after", "retarder added [% of the thinner]", "time [min]", {}, {}};
  ThinnerTrial without, tenth;
  for (int pct = 0; pct <= 20; pct += 5) {
    std::vector<double> mixed = base;
    for (double& share : mixed) share *= 1 - pct / 100.0;
    mixed[at] += pct / 100.0;
    const ThinnerTrial trial = try_thinner(with, mixed, film, wishes);
    if (pct == 0) without = trial;
    if (pct == 10) tenth = trial;
    for (Curve* curve : {&limit, &mist, &time}) curve->x.push_back(pct);
    limit.y.push_back(100 * trial.limits.no_blush), mist.y.push_back(100 * trial.limits.no_mist);
    time.y.push_back(trial.time_90_s / 60);
  }
  for (Curve* curve : {&limit, &mist, &time}) curves.push_back(std::move(*curve));
  return fmt::format(
      "10 % of {} as retarder moves the humidity at which it blushes from {:.0f} to {:.0f} % and the time until 90 % "
      "has "
      "gone from {:.1f} to {:.1f} min; the solvent left then comes to {:.2f}.",
      retarder.id, 100 * without.limits.no_blush, 100 * tenth.limits.no_blush, without.time_90_s / 60,
      tenth.time_90_s / 60, tenth.worst_difference);
}

void add_safety_notes(const ThinAnswer& answer, const Library& library, std::vector<Note>& notes) {
  std::string unlimited;
  for (const ThinnerSaid& thinner : answer.thinners)
    for (const BlendPartGiven& part : thinner.parts) {
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
       "Neither fire nor breath is weighed here: work out the air for this thinner before it is opened, and mix "
       "it away from every flame and spark.",
       "thinners"});
}

}  // namespace

Result<ThinAnswer> thin_answer(const ThinRequest& request, const Asking& asking) {
  ThinAnswer answer;
  Gathered faults;
  Tin tin = tin_at(request, asking.library, answer.notes, faults);
  const Blend own = blend_at(request.tin.solvents, "tin.solvents", asking.library, faults);
  const Blend asked = blend_at(request.thinner, "thinner", asking.library, faults);
  std::vector<ShelfSolvent> shelf;
  if (request.thinner.empty())
    shelf = shelf_at(request, asking.library, answer.notes, faults);
  else
    for (const Volatile& one : asked.solvents) shelf.push_back({one, 0});
  const Result<Volatile> retarder = solvent_at(request.retarder, "retarder", asking.library);
  faults.good(retarder);
  if (request.soonest_s >= request.latest_s)
    faults.list.push_back({"soonest is not before latest", {"", 0, 0, "soonest_min"}, "less than latest_min", ""});
  if (!faults.list.empty()) return faults.list;

  double thinner_density = 0;
  for (const ShelfSolvent& one : shelf) thinner_density += one.of.density_kg_m3 / static_cast<double>(shelf.size());
  tin.makeup.thinner_density_kg_m3 = thinner_density;
  const Result<FittedViscosity> fit = fit_viscosity(tin.makeup, tin.readings);
  if (!fit) return at_key(fit.errors()[0], "tin.readings");
  answer.notes.insert(answer.notes.end(), fit->notes.begin(), fit->notes.end());
  const double colder_K = request.air.temperature_K - request.colder_K;
  const auto ratio_at = [&](double temperature_K) {
    return thinning_figure(tin.makeup, tin.solids_sd_frac, tin.readings, tin.wanted_m2_s, temperature_K);
  };
  const Result<Figure> now = ratio_at(request.air.temperature_K), colder = ratio_at(colder_K);
  if (!now) return at_key(now.errors()[0], "wanted");
  if (!colder) return at_key(colder.errors()[0], "colder_K");
  answer.ratio = *now, answer.ratio_colder = *colder;
  answer.ratio_colder.name += ", on the colder day";
  const double volume_m3 = request.tin.volume_m3 > 0 ? request.tin.volume_m3 : 1e-3;
  answer.thinner_m3 = now->value * volume_m3;
  answer.solids_sprayed_frac = tin.makeup.solids_frac / (1 + now->value);

  SprayedFilm film{tin.film_former, answer.solids_sprayed_frac, request.wet_m, {}, request.air.humidity_frac, {}, {}};
  film.air = draught_along(request.air.temperature_K, request.air.speed_m_s);
  if (request.air.speed_m_s <= 0)
    answer.notes.push_back(
        {Severity::danger,
         "Still air was asked for: the film is worked out as if its own convection carried the vapour off. "
         "In truth the vapour stays, the film dries far slower, and the room fills with what burns: do "
         "not spray without moving air.",
         "air.speed_m_s"});
  if (own.solvents.empty()) {
    answer.notes.push_back(
        {Severity::caution,
         "The tin's own solvents are not given: they are counted as if they were the thinner. Its data "
         "sheet may tell them.",
         "tin.solvents"});
  } else {
    // Of one part of the tin what is not solids is its solvents; thinner comes on top.
    const double tins = 1 - tin.makeup.solids_frac, all = tins + now->value;
    film.tin_solvents = own.solvents;
    for (const double share : own.shares) film.tin_volume_fraction.push_back(share * tins / all);
  }
  const ThinnerWishes wishes{0.95, request.spare_humidity_frac, request.soonest_s, request.latest_s,
                             0.45, request.most_solvents};
  std::vector<ThinnerTrial> trials;
  if (request.thinner.empty())
    trials = design_thinner(shelf, film, wishes, static_cast<std::size_t>(request.answers));
  else
    trials = {try_thinner(shelf, asked.shares, film, wishes)};
  for (const ThinnerTrial& trial : trials) answer.thinners.push_back(said_of(trial, shelf, film));

  const ThinnerRun dried = dry_thinner(shelf, trials[0].volume_fraction, film);
  if (dried.run.mixing != Mixing::groups)
    answer.notes.push_back(
        {Severity::information,
         "A solvent here has no groups on file: activities come from Hansen distances alone, a coarser "
         "model.",
         "thinners"});
  const Cup& cup = *find_cup(request.wanted.cup);
  const double until_ratio = 1.5 * std::max(1.0, colder->value);
  answer.curves.push_back(seconds_curve(fit->law, cup, request.air.temperature_K, until_ratio, "today"));
  answer.curves.push_back(seconds_curve(fit->law, cup, colder_K, until_ratio, "the colder day"));
  add_curves(answer.curves, dried, film);

  const ThinnerSaid& best = answer.thinners[0];
  CarrierBlend chosen;
  for (std::size_t i = 0; i < shelf.size(); ++i)
    if (trials[0].volume_fraction[i] > 0) {
      chosen.solvents.push_back(asking.library.find(shelf[i].of.id));
      chosen.volume_fraction.push_back(trials[0].volume_fraction[i]);
    }
  const Solvency solvency = solvency_of(*tin.material, chosen, chosen);
  if (solvency.thinner == Staying::falls_out) {
    answer.sentences.push_back(fmt::format(
        "{}{} does not dissolve in it (relative energy difference {:.2f}; above 1.1 it does not) and would fall out, "
        "in "
        "the tin or on the work.",
        request.thinner.empty() ? "Nothing on this shelf makes a thinner: " : "Do not pour it in: ", tin.material->name,
        solvency.thinner_difference));
    answer.ratio = answer.ratio_colder = Figure{};
    answer.thinner_m3 = 0, answer.solids_sprayed_frac = tin.makeup.solids_frac;
    answer.curves.clear();
    add_curves(answer.curves, dried, film);
    add_safety_notes(answer, asking.library, answer.notes);
    return answer;
  }
  answer.sentences.push_back(fmt::format(
      "Thin one part of the tin with {:.2f} parts of thinner by volume ({:.2f} to {:.2f}): {} of lacquer takes {}.",
      now->value, now->band.low, now->band.high, show(volume_m3, Quantity::film_volume, asking.units),
      show(answer.thinner_m3, Quantity::film_volume, asking.units)));
  if (request.colder_K > 0)
    answer.sentences.push_back(
        fmt::format("At {} the same {:g} s take {:.2f} parts; warming the tin to today's {} in warm water, far from "
                    "any flame, saves "
                    "that thinner and the film it costs.",
                    show(colder_K, Quantity::temperature, asking.units), request.wanted.run_out_s, colder->value,
                    show(request.air.temperature_K, Quantity::temperature, asking.units)));
  if (request.thinner.empty()) {
    answer.sentences.push_back(fmt::format("Best from the shelf: {} by volume.", parts_in_words(best)));
    for (const std::string& fault : best.faults) answer.sentences.push_back(fmt::format("Even so it {}.", fault));
  }
  answer.sentences.push_back(clearness_sentence(best));
  answer.sentences.push_back(blush_sentence(best, request.air.humidity_frac, asking.units));
  answer.sentences.push_back(
      fmt::format("Of its solvent 10 % is gone after {:.1f} min, half after {:.1f} min, 90 % after {:.1f} min, as far "
                  "as the open face "
                  "decides; the last of it comes out of the film slower.",
                  best.time_10_s / 60, best.time_50_s / 60, best.time_90_s / 60));
  answer.sentences.push_back(add_retarder(shelf, trials[0].volume_fraction, *retarder, film, wishes, answer.curves));
  add_safety_notes(answer, asking.library, answer.notes);
  return answer;
}

std::string told(const ThinAnswer& answer, BenchUnits units) {
  std::string text;
  for (const std::string& sentence : answer.sentences) text += sentence + "\n";
  if (answer.thinners.size() > 1) text += "\nThinners, best first:\n";
  for (std::size_t n = 0; n < answer.thinners.size() && answer.thinners.size() > 1; ++n) {
    const ThinnerSaid& t = answer.thinners[n];
    text += fmt::format(
        "{}. {}\n   RED {:.2f} to {:.2f}; 10/50/90 % after {:.1f}/{:.1f}/{:.1f} min; coldest {}; mists above "
        "{:.0f} %, blushes above {:.0f} %",
        n + 1, parts_in_words(t), t.first_difference, t.worst_difference, t.time_10_s / 60, t.time_50_s / 60,
        t.time_90_s / 60, show(t.coldest_K, Quantity::temperature, units), 100 * t.no_mist_frac, 100 * t.no_blush_frac);
    if (t.price_per_litre > 0) text += fmt::format("; {:.2f} a litre", t.price_per_litre);
    text += "\n";
    for (const std::string& fault : t.faults) text += "   it " + fault + "\n";
    if (!t.loses.empty()) text += "   behind the first: " + t.loses + "\n";
  }
  for (const Note& note : answer.notes) text += "\n" + note.text;
  return text + "\n";
}

Verb thin_verb() {
  return verb<ThinRequest, ThinAnswer>("thin", "How far to thin a tin, with what, and whether its film stays clear",
                                       thin_answer, told);
}

}  // namespace witnessline
