#include "app/verbs/lay.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "drying/solvency.h"
#include "materials/air.h"
#include "materials/coverage.h"
#include "solvents/viscosity.h"

namespace witnessline::app {

namespace {

Figure figure(std::string name, double value, Quantity quantity, std::string law, std::string source, Band band = {}) {
  Figure f;
  f.name = std::move(name), f.value = value, f.band = band, f.quantity = quantity;
  f.law = std::move(law), f.source = std::move(source), f.kind = Kind::estimate;
  return f;
}

struct Poured {
  GunMix mix;
  SolutionViscosity viscosity;
  std::vector<Note> notes;
  Staying poured = Staying::stays;  ///< the mix, before anything has left it
};

/// Through the viscosity given for the mix, the tin's cup readings, or the library's figure.
Result<SolutionViscosity> viscosity_of(const LayRequest& asked, const TinFacts& facts) {
  std::vector<TinReading> readings = facts.readings;
  const double thinner_kg_m3 = facts.makeup.thinner_density_kg_m3, ratio = asked.thinning;
  const double mix_kg_m3 = (facts.makeup.density_kg_m3 + ratio * thinner_kg_m3) / (1 + ratio);
  if (asked.viscosity_Pa_s) readings = {{*asked.viscosity_Pa_s / mix_kg_m3, asked.temperature_K, ratio}};
  if (readings.empty())
    return Error{fmt::format("nothing says how thick '{}' is", asked.tin.material),
                 {"", 0, 0, "tin"},
                 "readings of a cup, or viscosity_mPa_s",
                 "run it out of a cup"};
  Result<SolutionViscosity> law = viscosity_law(facts.makeup, readings);
  if (law) return law;
  std::vector<Error> faults = law.errors();
  for (Error& e : faults) e.where.key = asked.viscosity_Pa_s ? "viscosity_mPa_s" : "tin";
  return faults;
}

Result<Poured> poured_of(const LayRequest& asked, const Library& library) {
  std::vector<Error> faults;
  std::vector<Note> notes;
  Result<TinFacts> facts = facts_of(asked.tin, library, asked.temperature_K, "tin", notes);
  if (!facts) faults = facts.errors();
  if (facts && !facts->paint.main)
    faults.push_back({fmt::format("nothing in '{}' makes a film", asked.tin.material),
                      {"", 0, 0, "tin.material"},
                      "a paint",
                      "name what is laid"});
  const Result<CarrierBlend> given = thinner_given(asked.thinner, asked.thinning, library);
  if (!given) faults.insert(faults.end(), given.errors().begin(), given.errors().end());
  if (!faults.empty()) return faults;
  Result<GunMix> mix = gun_mix(*facts->paint.main, facts->own, facts->makeup.solids_frac, *given, asked.thinning,
                               asked.thinner.empty() ? "tin" : "thinner", notes);
  if (!mix) return mix.errors();
  take_solvents(facts->makeup, mix->binds->binder, *given, mix->carrier);
  const Result<SolutionViscosity> viscosity = viscosity_of(asked, *facts);
  if (!viscosity) return viscosity.errors();
  if (!facts->own_solvents_given)
    notes.push_back({Severity::caution,
                     "What carries the paint in its tin is a usual blend (ESTIMATE); its safety data sheet lists the "
                     "real one.",
                     "tin.solvents"});
  Poured poured{std::move(*mix), *viscosity, std::move(notes), Staying::stays};
  if (asked.thinning > 0) {
    const Solvency solvency = solvency_of(poured.mix);
    poured.notes.insert(poured.notes.begin(), solvency.notes.begin(), solvency.notes.end());
    poured.poured = solvency.blend.staying;
  }
  return poured;
}

struct Day {
  std::string name;
  Weather weather;
};

/// With its band: where a run shows (a third, twice) and what is lost in flight (0.15 each way), as independent
/// factors.
Figure thickest_figure(std::string name, double run_m, const Setting& s) {
  const double middle_m = thickest_wet_m(s, run_m);
  double below = 0, above = 0;  // squares of logarithms
  const auto moved = [&](double run, double lost) {
    Setting other = s;
    other.lost_in_flight = std::clamp(lost, 0.0, 0.85);
    const double by = std::log(thickest_wet_m(other, run) / middle_m);
    (by < 0 ? below : above) += by * by;
  };
  moved(run_m / 3, s.lost_in_flight), moved(run_m * 2, s.lost_in_flight);
  moved(run_m, s.lost_in_flight - 0.15), moved(run_m, s.lost_in_flight + 0.15);
  return figure(std::move(name), middle_m, Quantity::film_thickness,
                "rho g h^2 / (2 mu) over time, mu rising as solvent leaves, what left in flight gone at once",
                "bird2002", {middle_m * std::exp(-std::sqrt(below)), middle_m * std::exp(std::sqrt(above))});
}

LaidDay day_of(const LayRequest& asked, const WetCoat& coat, const Setting& s, double wet_m, const Day& day) {
  LaidDay d;
  d.name = day.name;
  const double today_Pa_s = s.viscosity_Pa_s(s.solids_fraction, asked.temperature_K);
  d.viscosity_ratio =
      figure("viscosity over today's", s.viscosity_Pa_s(s.solids_fraction, day.weather.temperature_K) / today_Pa_s,
             Quantity::ratio, "exp(E/R (1/T - 1/T0)), E 22 kJ/mol (ESTIMATE)", "andrade1930");
  d.wet_for = figure("wet for", coat.run.time_to_lose_s(0.9).value_or(std::numeric_limits<double>::quiet_NaN()),
                     Quantity::duration, "solvent leaving a mixed film until a tenth is left", "bird2002");
  d.thickest = thickest_figure("thickest coat that holds at edges", asked.visible_m, s);
  d.thickest_open = thickest_figure("thickest coat that holds on an open face",
                                    std::max(asked.visible_m, run_until_ridges_m(asked.gun)), s);
  d.runs = figure("runs", run_down_m(wet_m, s), Quantity::length, "the same, for this coat", "bird2002");
  d.holds = holds_upright(s, wet_m, asked.visible_m, run_until_ridges_m(asked.gun));
  d.coldest = figure("coldest film", coat.run.coldest_K(), Quantity::temperature,
                     "heat balance of the drying film, water of the air counted", "bird2002");
  d.dew_point = figure("dew point", coat.dew_point_K, Quantity::temperature, "Hyland and Wexler, solved", "ashrae2017");
  d.no_mist = figure("no mist below", coat.limits.no_mist, Quantity::fraction, "dew point of the air = coldest film",
                     "ashrae2017");
  d.no_blush = figure("no blush below", coat.limits.no_blush, Quantity::fraction,
                      "water that settles has left again when the film sets", "bird2002");
  d.blush = coat.blush;
  return d;
}

/// No gun and no hand lays these.
std::optional<Error> absurd_coat(double wet_m, double dry_m, double coats) {
  constexpr double wettest_m = 400e-6, driest_m = 3e-6, most_coats = 60;
  const char* fix = "check flow, speed of the hand, fan and overlap: 100 to 200 mL/min at 0.3 to 0.5 m/s are usual";
  if (wet_m > wettest_m || wet_m < driest_m)
    return Error{fmt::format("a coat would lie {:.3g} um wet", 1e6 * wet_m),
                 {"", 0, 0, "flow_mL_min"},
                 fmt::format("{:.0f} to {:.0f} um", 1e6 * driest_m, 1e6 * wettest_m),
                 fix};
  if (coats > most_coats)
    return Error{fmt::format("it would take {:.0f} coats of {:.2g} um", coats, 1e6 * dry_m),
                 {"", 0, 0, "film_um"},
                 fmt::format("at most {:.0f} coats", most_coats),
                 "ask for less film, or lay it wetter or thinned less"};
  return std::nullopt;
}

constexpr Band usual_wet{76e-6, 127e-6};  // of a coat of lacquer (common practice, eight texts: docs/models/laying.md)

void say(LayAnswer& a, const LayRequest& asked, const Poured& paint, const std::vector<WetCoat>& coats,
         double lost_in_flight, BenchUnits units) {
  const auto um = [&](double m) { return show(m, Quantity::film_thickness, units); };
  const auto banded = [&](const Figure& f) {
    const Shown s = shown(f.value, f.band, f.quantity, units);
    return s.band.empty() ? s.text : fmt::format("{} ({})", s.text, s.band);
  };
  const LaidDay &today = a.days[0], &colder = a.days[1];
  a.sentences.push_back(fmt::format("A coat is {} wet and dries to {}: {:.0f} coat{} for {}.", um(a.wet.value),
                                    um(a.dry.value), a.coats.value, a.coats.value == 1 ? "" : "s", um(asked.film_m)));
  const Binder binder = paint.mix.binds->binder;
  const bool thickened = binder == Binder::polyester;  // a yield stress the model has not
  const double open_coats =
      std::ceil(asked.film_m / dry_film_m(today.thickest.value, paint.mix.tin_solids_fraction, asked.thinning));
  if (today.holds == Holds::nowhere)
    a.sentences.push_back(
        fmt::format("Upright it runs: it holds up to {} on an open face and up to {} at edges and holes. {}",
                    banded(today.thickest_open), banded(today.thickest),
                    thickened ? fmt::format("As a plain liquid, that is: spraying grades of polyester are thickened to "
                                            "hold {} and more upright (common practice, no source). Follow its data "
                                            "sheet.",
                                            um(150e-6))
                              : fmt::format("Go faster or give less flow; {:.0f} coats then.", open_coats)));
  else if (today.holds == Holds::open_faces && a.wet.value < told_apart_ratio * today.thickest.value)
    a.sentences.push_back(fmt::format(
        "Upright it holds on an open face, up to {}. At edges and holes it is too close to call: {} is their limit.",
        banded(today.thickest_open), banded(today.thickest)));
  else if (today.holds == Holds::open_faces)
    a.sentences.push_back(fmt::format(
        "Upright it holds on an open face, up to {}, but may run at edges and holes from {}: go drier there.",
        banded(today.thickest_open), banded(today.thickest)));
  else
    a.sentences.push_back(fmt::format("Upright it holds: up to {} at edges and holes, up to {} on an open face.",
                                      banded(today.thickest), banded(today.thickest_open)));
  const bool lacquer = binder == Binder::nitrocellulose || binder == Binder::acrylic || binder == Binder::vinyl;
  if (lacquer && today.thickest.value < usual_wet.low)
    a.sentences.push_back(
        fmt::format("Finishers lay more than that at edges too: the limit there is strict. It counts {} of run as seen "
                    "and leaves out the skin and the surface tension that hold a film up.",
                    show(asked.visible_m, Quantity::length, units)));
  a.sentences.push_back(fmt::format(
      "{}How much holds upright depends most on the solvent that leaves between gun and work, here {:.0f} %. That "
      "share is fitted to what runs and what does not: try it on an upright card.",
      lacquer ? fmt::format("Data sheets and finishers spray {} to {} wet a coat at 18 to 33 s out of a Zahn 2 (common "
                            "practice, eight texts). ",
                            um(usual_wet.low), um(usual_wet.high))
              : "",
      100 * lost_in_flight));
  a.sentences.push_back(fmt::format("A comb gauge reads {} as it lands and {} after a minute.",
                                    um(a.gauge_at_once.value), um(a.gauge_after.value)));
  if (asked.colder_K > 0 && std::isfinite(today.wet_for.value) && std::isfinite(colder.wet_for.value))
    a.sentences.push_back(fmt::format(
        "{:.0f} {} colder the same liquid is {:.0f} % thicker, stays wet {:.1f} times as long and holds {} at edges.",
        units == BenchUnits::us ? 1.8 * asked.colder_K : asked.colder_K, units == BenchUnits::us ? "degF" : "degC",
        100 * (colder.viscosity_ratio.value - 1), colder.wet_for.value / today.wet_for.value,
        um(colder.thickest.value)));
  a.sentences.push_back(blush_in_words(coats[0], units));
  for (std::size_t i = 1; i < a.days.size(); ++i)
    if (coats[i].blush == Blush::stays && coats[0].blush != Blush::stays)
      a.sentences.push_back(fmt::format("On {} it would blush: the film falls to {}, the dew point is {}.",
                                        a.days[i].name, show(a.days[i].coldest.value, Quantity::temperature, units),
                                        show(a.days[i].dew_point.value, Quantity::temperature, units)));
  a.notes.push_back(
      {Severity::caution,
       fmt::format("{:.0f} % of its solvent lost in flight is an ESTIMATE (10 to 40). Skin and surface tension hold a "
                   "film up a little longer than is worked out here.",
                   100 * lost_in_flight),
       ""});
}

/// Whether what is left of the solvents goes on dissolving the paint until they are gone.
void follow_solvent_left(const Poured& paint, const WetCoat& coat, LayAnswer& a) {
  if (!coat.solubility) return;
  a.solvent_left = figure("solvent left against what binds the paint", coat.solubility->worst.difference,
                          Quantity::ratio, "Ra / R0 of the blend left, at its worst until 95 % has gone", "hansen2007");
  Curve curve{"solvent left against what binds the paint", "time [min]", "relative energy difference", {}, {}};
  for (std::size_t i = 0; i < coat.run.moments.size(); ++i)
    curve.x.push_back(coat.run.moments[i].time_s / 60), curve.y.push_back(coat.solubility->difference[i]);
  a.curves.push_back(std::move(curve));
  for (const Note& note : solvency_while_drying(paint.mix, coat).notes) {
    if (note.severity == Severity::danger) a.sentences.push_back(note.text);
    a.notes.push_back(note);
  }
}

Result<LayAnswer> lay(const LayRequest& asked, const Asking& asking) {
  const Result<Poured> paint = poured_of(asked, asking.library);
  if (!paint) return paint.errors();
  LayAnswer a;
  a.notes = paint->notes;
  for (const Note& note : a.notes)
    if (note.severity == Severity::danger) a.sentences.push_back(note.text);
  if (paint->poured == Staying::falls_out) return a;  // there is nothing to lay
  const double wet_m = wet_film_of_coat_m(asked.gun);
  const double dry_m = dry_film_m(wet_m, paint->mix.tin_solids_fraction, asked.thinning);
  a.wet = figure("wet film of a coat", wet_m, Quantity::film_thickness,
                 "flow x transfer / (speed x fan x (1 - overlap))", "geometry");
  a.dry = figure("dry film of a coat", dry_m, Quantity::film_thickness, "wet x volume solids / (1 + thinning)",
                 "astm_d2697");
  a.unevenness = figure("unevenness", ripple(asked.gun), Quantity::fraction,
                        "(max - min) / mean of the passes' profiles laid side by side", "balkan1999");
  const double coats = std::ceil(asked.film_m / dry_m - 1e-9);
  if (std::optional<Error> absurd = absurd_coat(wet_m, dry_m, coats)) return *absurd;
  a.coats = figure("coats", coats, Quantity::ratio, "film asked for / film of a coat, rounded up", "geometry");

  const double wetter = asked.relative_humidity + asked.wetter_humidity;
  if (wetter > 1)
    a.notes.push_back({Severity::information,
                       fmt::format("A day {:.0f} points wetter would hold more water than air can: 100 % is taken.",
                                   100 * asked.wetter_humidity),
                       "wetter_pct"});
  const double speed_m_s = asked.air_speed_m_s;
  const std::vector<Day> days{
      {"today", {asked.temperature_K, asked.relative_humidity, speed_m_s}},
      {"a colder day", {asked.temperature_K - asked.colder_K, asked.relative_humidity, speed_m_s}},
      {"a wetter day", {asked.temperature_K, std::min(1.0, wetter), speed_m_s}}};
  std::vector<WetCoat> laid;
  double lost_in_flight = 0;
  for (const Day& day : days) {
    laid.push_back(wet_coat(paint->mix, wet_m, day.weather));
    const Setting s = setting_of(paint->mix, laid.back(), paint->viscosity, asked.lost_in_flight);
    a.days.push_back(day_of(asked, laid.back(), s, wet_m, day));
    if (&day != &days.front()) continue;
    lost_in_flight = s.lost_in_flight;
    follow_solvent_left(*paint, laid.back(), a);
    a.gauge_at_once = figure("gauge at once", film_after_m(wet_m, 0, s), Quantity::film_thickness,
                             "wet film less what left in flight", "geometry");
    a.gauge_after = figure("gauge after a minute", film_after_m(wet_m, 60, s), Quantity::film_thickness,
                           "solids + solvent left", "bird2002");
    Curve film{"film", "time [s]", "film [um]", {}, {}},
        runs{"run of an upright face", "wet film, as mixed [um]", "run [mm]", {}, {}};
    for (const EvaporationMoment& m : s.run.moments)
      film.x.push_back(m.time_s), film.y.push_back(1e6 * film_after_m(wet_m, m.time_s, s));
    for (double um = 20; um <= 160; um += 5) runs.x.push_back(um), runs.y.push_back(1e3 * run_down_m(1e-6 * um, s));
    a.curves.push_back(std::move(film));
    a.curves.push_back(std::move(runs));
  }
  say(a, asked, *paint, laid, lost_in_flight, asking.units);
  return a;
}

std::string format_answer(const LayAnswer& a, BenchUnits units) {
  std::string text;
  for (const std::string& s : a.sentences) text += s + "\n";
  if (a.days.empty()) return text;
  text += fmt::format("\nWet {}, dry {}, unevenness {} of the mean.\n", show(a.wet.value, a.wet.quantity, units),
                      show(a.dry.value, a.dry.quantity, units), show(a.unevenness.value, a.unevenness.quantity, units));
  for (const LaidDay& d : a.days) {
    const Shown thickest = shown(d.thickest.value, d.thickest.band, d.thickest.quantity, units),
                open = shown(d.thickest_open.value, d.thickest_open.band, d.thickest_open.quantity, units);
    text += fmt::format(
        "{}: wet for {}, holds {} ({}) at edges, {} ({}) on an open face, film down to {}, dew point {}{}\n", d.name,
        show(d.wet_for.value, d.wet_for.quantity, units), thickest.text, thickest.band, open.text, open.band,
        show(d.coldest.value, d.coldest.quantity, units), show(d.dew_point.value, d.dew_point.quantity, units),
        d.blush == Blush::stays ? ": blushes" : "");
  }
  for (const Note& n : a.notes)
    if (n.severity != Severity::danger) text += n.text + "\n";
  return text;
}

}  // namespace

Verb lay_verb() {
  return verb<LayRequest, LayAnswer>(
      "lay", "What the gun lays in a coat, how wet it may be before it runs, how many coats, and what weather changes",
      Work{.sprays = true}, lay, format_answer);
}

}  // namespace witnessline::app
