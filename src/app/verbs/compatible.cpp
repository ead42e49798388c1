#include "app/verbs/compatible.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/chance.h"
#include "bench/tin_facts.h"
#include "drying/compatibility.h"
#include "drying/solvency.h"
#include "job/job.h"

namespace witnessline::app {

namespace {

struct OldAsked {
  std::string film;
  double thickness_m = 60e-6;
  double age_years = 30;
};
template <class V>
void describe(V& v, OldAsked& o) {
  v(member("film", "coat below, a material id").must(), o.film);
  v(member("thickness_um", "its dry film", unit::um).within(1, 2000), o.thickness_m);
  v(member("age_years", "since it was laid; oil and alkyd go on hardening for years").within(0, 400), o.age_years);
}

struct CompatibleRequest {
  PaintTin fresh;
  std::string thinner;
  double thinning = 0, wet_m = 90e-6;
  int coats = 4;
  std::vector<OldAsked> old;
  double temperature_K = 294.15, relative_humidity = 0.5, air_speed_m_s = 0.3;
};
template <class V>
void describe(V& v, CompatibleRequest& r) {
  v(member("fresh", "tin that is to be laid").must(), r.fresh);
  v(member("thinner", "solvent or thinner, a material id; absent: as supplied"), r.thinner);
  v(member("thinning", "parts thinner by volume to one part of paint").within(0, 20), r.thinning);
  v(member("wet_um", "wet film of one coat", unit::um).within(1, 500), r.wet_m);
  v(member("coats", "number of coats").within(1, 60), r.coats);
  v(member("old", "coats that lie open where it goes; absent: one of each kind of finish"), r.old);
  v(member("temperature_degC", "air of the shop", unit::degC).within(0, 45), r.temperature_K);
  v(member("relative_humidity_pct", "of the shop's air", unit::pct).within(1, 100), r.relative_humidity);
  v(member("air_speed_m_s", "over the wet film", unit::m_s).within(0.02, 5), r.air_speed_m_s);
}

struct Pair {
  std::string fresh, old;
  Meeting verdict = Meeting::unknown, computed = Meeting::unknown;
  std::optional<Meeting> practice;
  std::string practice_says;  ///< common practice, no source
  std::vector<std::string> why;
  Figure distance, softened, bite, swelling, lifting, stiffness, mismatch;
  std::string test, rescue;
};
template <class V>
void describe(V& v, Pair& p) {
  v(member("fresh", "what is laid"), p.fresh);
  v(member("old", "what it is laid on"), p.old);
  v(member("verdict", "computed and common practice taken together"), p.verdict);
  v(member("computed", "by the laws alone"), p.computed);
  v(member("practice", "common practice, no source; absent: none known"), p.practice);
  v(member("practice_says", "common practice, no source"), p.practice_says);
  v(member("why", "reasons"), p.why);
  v(member("distance", "closest the drying blend comes to the old film, over the radius of its sphere"), p.distance);
  v(member("softened", "how long the old film is softened"), p.softened);
  v(member("bite", "depth softened, where the old film can dissolve"), p.bite);
  v(member("swelling", "thickness swollen over dry, where it cannot"), p.swelling);
  v(member("lifting", "chance that it lifts, over what is not known"), p.lifting);
  v(member("stiffness", "what drives cracks in the new coat, over a ground of its own stiffness"), p.stiffness);
  v(member("mismatch", "strain of the new coat against the old in a drop of 30 K"), p.mismatch);
  v(member("test", "the test that settles it"), p.test);
  v(member("rescue", "if it goes wrong"), p.rescue);
}

struct CompatibleAnswer {
  std::vector<std::string> sentences;
  std::vector<Pair> pairs;
  std::vector<Note> notes;
};
template <class V>
void describe(V& v, CompatibleAnswer& a) {
  v(member("sentences", "in plain words"), a.sentences);
  v(member("pairs", "one a coat below"), a.pairs);
  v(member("notes", "notes, cautions and dangers"), a.notes);
}

constexpr double year_s = 365.25 * 86400;

const char* plain(Meeting m) {
  switch (m) {
    case Meeting::bites_in:
      return "bites in";
    case Meeting::sits_on_top:
      return "sits on top";
    case Meeting::lifts_or_crazes:
      return "lifts or crazes it";
    case Meeting::unknown:
      break;
  }
  return "not known: test it";
}

Figure figure(std::string name, double value, Band band, Quantity quantity, std::string law, std::string source) {
  Figure f;
  f.name = std::move(name), f.value = value, f.band = band, f.quantity = quantity;
  f.law = std::move(law), f.source = std::move(source), f.kind = Kind::estimate;
  return f;
}

/// An old film of a year or more is neither sprayed nor curing; what is also in the fresh coat stays as it is.
void set_cured(const CompatibleRequest& asked, const Library& library, std::vector<Handled>& handled) {
  constexpr double cured_years = 1;
  if (!library.find(asked.fresh.material)) return;  // a mixture: its parts cannot be kept apart from the old films here
  for (Handled& one : handled) {
    if (!one.material || one.material->id == asked.fresh.material) continue;
    const auto is_it = [&](const OldAsked& old) { return old.film == one.material->id; };
    one.cured_film = std::any_of(asked.old.begin(), asked.old.end(), is_it) &&
                     std::none_of(asked.old.begin(), asked.old.end(),
                                  [&](const OldAsked& old) { return is_it(old) && old.age_years < cured_years; });
  }
}

Error no_film(const std::string& id, std::string key, const Library& library) {
  std::vector<std::string> films;
  for (const Material& m : library.all())
    if (m.binder != Binder::none) films.push_back(m.id);
  const std::string near = nearest_word(id, films);
  return {fmt::format("'{}' makes no film", id),
          {"", 0, 0, std::move(key)},
          "the id of a finish of the library",
          near.empty() ? "" : fmt::format("did you mean '{}'?", near)};
}

Pair pair_of(const Compatibility& c, const Material& fresh, const Material& old) {
  Pair p;
  p.fresh = fresh.name, p.old = old.name, p.verdict = c.verdict, p.computed = c.computed;
  if (c.practice) p.practice = c.practice->meeting, p.practice_says = c.practice->says;
  p.why = c.reasons, p.test = c.test, p.rescue = c.rescue;
  p.distance = figure("closest distance to the old film", c.least_distance_ratio, c.distance_band, Quantity::ratio,
                      "Ra / R0 of the blend left, smallest until a tenth is left", "hansen2007");
  p.softened = figure("time softened", c.softened_s, {}, Quantity::duration, "time with Ra / R0 below 1", "hansen2007");
  if (c.network)
    p.swelling = figure("swelling of the old film", c.swelling_ratio, c.swelling_band, Quantity::ratio,
                        "network swollen with its sides held; creases at 2.4", "hong2009");
  else
    p.bite = figure("bite", c.bite_m, c.bite_band_m, Quantity::film_thickness, "sqrt(2 D t), D 1e-13 m2/s (ESTIMATE)",
                    "estimate");
  p.lifting = figure("chance of lifting", bounded_chance(c.chance_lifts), {}, Quantity::fraction,
                     "share of 200 draws of sphere, diffusivity, network and crease", "estimate");
  p.stiffness = figure("hard over soft", c.stiffness_gain, {}, Quantity::ratio, "g(alpha) / g(0)", "beuth1992");
  p.mismatch = figure("mismatch of expansion", c.mismatch_strain, {}, Quantity::fraction,
                      "30 K x (expansion of the new coat - of the old)", "geometry");
  return p;
}

Result<CompatibleAnswer> compatible(const CompatibleRequest& asked, const Asking& asking) {
  const Library& library = asking.library;
  std::vector<Error> faults;
  CompatibleAnswer answer;
  const Result<TinFacts> facts = facts_of(asked.fresh, library, asked.temperature_K, "fresh", answer.notes);
  if (!facts) faults = facts.errors();
  const Material* fresh = facts ? facts->paint.main : nullptr;
  if (facts && !fresh) faults.push_back(no_film(asked.fresh.material, "fresh.material", library));
  for (std::size_t i = 0; i < asked.old.size(); ++i) {
    const Material* old = library.find(asked.old[i].film);
    if (!old || old->binder == Binder::none)
      faults.push_back(no_film(asked.old[i].film, fmt::format("old[{}].film", i + 1), library));
  }
  const Result<CarrierBlend> given = thinner_given(asked.thinner, asked.thinning, library);
  if (!given) faults.insert(faults.end(), given.errors().begin(), given.errors().end());
  if (!faults.empty()) return faults;
  if (asking.handled)
    for (const OldAsked& old : asked.old)
      if (const Material* film = library.find(old.film); film->opaque() && counts_as_leaded(old.age_years))
        asking.handled->push_back({film, "", true, true});
  if (asking.handled) set_cured(asked, library, *asking.handled);
  const Weather weather{asked.temperature_K, asked.relative_humidity, asked.air_speed_m_s};
  const Result<GunMix> mix = gun_mix(*fresh, facts->own, facts->makeup.solids_frac, *given, asked.thinning,
                                     given->solvents.empty() ? "fresh" : "thinner", answer.notes);
  if (!mix) return mix.errors();
  const double film_fraction = mix->solids_fraction();
  if (mix->thinning > 0) {
    const Solvency poured = solvency_of(*mix);
    answer.notes.insert(answer.notes.begin(), poured.notes.begin(), poured.notes.end());
    if (poured.blend.staying == Staying::falls_out) {  // there is no coat to be laid
      answer.sentences.push_back(poured.notes.front().text);
      return answer;
    }
    const LeftSolvency left = solvency_while_drying(*mix, wet_coat(*mix, asked.wet_m, weather));
    answer.notes.insert(answer.notes.end(), left.notes.begin(), left.notes.end());
  }
  for (const Note& note : answer.notes)
    if (note.severity == Severity::danger) answer.sentences.push_back(note.text);
  if (!facts->own_solvents_given)
    answer.notes.push_back({Severity::information,
                            fmt::format("What carries {} in its tin is a usual blend (ESTIMATE): its safety data sheet "
                                        "lists the real one.",
                                        fresh->name),
                            "fresh"});
  const Airflow air = airflow_along(weather.temperature_K, weather.air_speed_m_s, weather.relative_humidity);
  const FreshCoat laid{fresh, mix->carrier, asked.wet_m * (1 - film_fraction), asked.wet_m * film_fraction,
                       asked.coats * asked.wet_m * film_fraction};
  std::vector<OldAsked> old_coats = asked.old;
  if (old_coats.empty())
    for (const Material& m : library.all())
      if (m.role == Role::clear) old_coats.push_back({m.id});
  const auto one_pack = [](const Material& m) { return m.binder == Binder::polyurethane; };
  if (one_pack(*fresh) || std::any_of(old_coats.begin(), old_coats.end(),
                                      [&](const OldAsked& o) { return one_pack(*library.find(o.film)); }))
    answer.notes.push_back({Severity::caution,
                            "Polyurethane here is the one-pack, oil-modified varnish. Was it mixed with a hardener? "
                            "Then ask for 'two_pack_polyurethane': its solvents bite more, and it swells less.",
                            one_pack(*fresh) ? "fresh" : "old"});
  for (const OldAsked& below : old_coats) {
    const Material& old = *library.find(below.film);
    const Result<Compatibility> met = compatibility(laid, {&old, below.thickness_m, below.age_years * year_s}, air);
    if (!met) return met.errors();
    answer.pairs.push_back(pair_of(*met, *fresh, old));
    answer.sentences.push_back(fmt::format("{} over {}: {}.", fresh->name, old.name, plain(met->verdict)));
  }
  return answer;
}

std::string format_answer(const CompatibleAnswer& answer, BenchUnits units) {
  std::string text;
  for (const Note& n : answer.notes)
    if (n.severity == Severity::danger) text += n.text + "\n\n";
  for (const Pair& p : answer.pairs) {
    text += fmt::format("{} over {}: {}\n", p.fresh, p.old, plain(p.verdict));
    text += fmt::format("  calculation: {}; {}\n", p.computed == Meeting::unknown ? "inconclusive" : plain(p.computed),
                        p.practice ? fmt::format("common practice (no source): {}", p.practice_says)
                                   : std::string("no common practice known"));
    for (const std::string& why : p.why) text += "  " + why + "\n";
    if (std::isfinite(p.bite.value) && p.bite.value > 0) {
      const Shown bite = shown(p.bite.value, p.bite.band, p.bite.quantity, units);
      text += p.bite.band.low > 0.1 * p.bite.band.high
                  ? fmt::format("  bite {} ({})\n", bite.text, bite.band)
                  : fmt::format("  bite at most {}, perhaps none\n", show(p.bite.band.high, p.bite.quantity, units));
    }
    text += fmt::format("  test: {}\n  if it goes wrong: {}\n\n", p.test, p.rescue);
  }
  for (const Note& n : answer.notes)
    if (n.severity != Severity::danger) text += n.text + "\n";
  return text;
}

}  // namespace

Verb compatible_verb() {
  return verb<CompatibleRequest, CompatibleAnswer>("compatible",
                                                   "Whether a fresh coat and the old ones below it will live together",
                                                   Work{.sprays = true, .wets = true}, compatible, format_answer);
}

}  // namespace witnessline::app
