#include "app/verbs/life.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <span>

#include "analysis/lives.h"
#include "app/verbs/count_checks.h"
#include "base/chance.h"
#include "cracking/film_stress.h"
#include "history/read_life.h"

namespace witnessline::app {

namespace {

struct LifeRequest {
  LifeEvidence evidence;
  std::string id = "untouched", clear = "nitrocellulose_lacquer", wood = "maple";
  int seed = 1;
  std::vector<CountChecksRequest> check_photos;
};
template <class V>
void describe(V& v, LifeRequest& r) {
  v(member("id", "word the steps will call this life by"), r.id);
  v(member("clear", "clear of the untouched parts, a material id"), r.clear);
  v(member("wood", "wood under the checks, a material id"), r.wood);
  v(member("seed", "of the draws").within(0, 4294967295.0), r.seed);
  describe(v, r.evidence);
  v(member("check_photos", "photographs to count checks on, as `count_checks` takes them"), r.check_photos);
}

/// A band as a page draws it, beside what any instrument may have had: 0 to 1 along a scale of its own.
struct BandMarks {
  double low = 0, middle = 0, high = 1, usual_low = 0, usual_high = 1;
};
template <class V>
void describe(V& v, BandMarks& m) {
  v(member("low", "lower end of the band"), m.low);
  v(member("middle", "the middle of what is likely"), m.middle);
  v(member("high", "upper end of the band"), m.high);
  v(member("usual_low", "lower end for any instrument of that age"), m.usual_low);
  v(member("usual_high", "upper end for any instrument of that age"), m.usual_high);
}

/// One quantity, and how much of it is prior.
struct HistoryItem {
  Figure items;
  std::string result;
  Figure usual;
  double prior_share = 1, bits = 0;
  BandMarks marks;
};
template <class V>
void describe(V& v, HistoryItem& l) {
  v(member("lived", "its history"), l.items);
  v(member("said", "none, light, medium or heavy, and between which; empty: not said in these words"), l.result);
  v(member("usual", "what any instrument of that age may have had"), l.usual);
  v(member("prior_pct", "weight in it of what any instrument may have had; the rest is evidence", unit::pct),
    l.prior_share);
  v(member("bits", "information in the evidence [bits]"), l.bits);
  v(member("marks", "band and usual band drawn: 0 to 1 along a scale; four words have a quarter each"), l.marks);
}
struct PlayChance {
  Play play{};
  double chance = 0;
};
template <class V>
void describe(V& v, PlayChance& p) {
  v(member("play", "none, light, medium or heavy"), p.play);
  v(member("chance_pct", "how likely", unit::pct), p.chance);
}
struct ConflictResult {
  std::string about, in_words;
  Driver driver{};
  double chance = 0;
  Figure times;
};
template <class V>
void describe(V& v, ConflictResult& c) {
  v(member("about", "which item"), c.about);
  v(member("in_words", "what does not fit, and what it may mean"), c.in_words);
  v(member("driver", "what of a life it tells of"), c.driver);
  v(member("chance_pct", "chance that it does not share the life of the rest", unit::pct), c.chance);
  v(member("times", "how much of that it has had, over what the rest says"), c.times);
}

struct LifeAnswer {
  std::vector<std::string> sentences;
  std::vector<HistoryItem> items;
  std::vector<PlayChance> play;
  std::vector<HistoryItem> touches;
  std::vector<ConflictResult> conflicts;
  std::string lives;
  std::vector<Note> notes;
};
template <class V>
void describe(V& v, LifeAnswer& a) {
  v(member("sentences", "what to know, most important first"), a.sentences);
  v(member("lived", "its history, with 95 % bands"), a.items);
  v(member("play", "how much it was played; hours as such cannot be known"), a.play);
  v(member("touches", "what touched it, in words; hours are orders of size"), a.touches);
  v(member("conflicts", "evidence that does not share the life of the rest"), a.conflicts);
  v(member("lives", "block for a job file"), a.lives);
  v(member("notes", "notes, cautions and dangers"), a.notes);
}

constexpr const char* nothing_stated = "nothing known";

double rounded(double si, const Unit& in) {
  const double bench = in.from_si(si);
  if (!(std::abs(bench) > 0)) return si;
  const double step = std::pow(10.0, std::floor(std::log10(std::abs(bench))) - 1);
  return in.to_si(std::round(bench / step) * step);
}

/// By factors where all of it is positive and spans more than three times; else evenly. A twentieth is left at each
/// end.
BandMarks marks_along(const LifeQuantity& k) {
  double low = std::min(k.usual.low, k.band.low), high = std::max(k.usual.high, k.band.high);
  const bool by_factors = low > 0 && high > 3 * low;
  const auto on = [&](double x) { return by_factors ? std::log(x) : x; };
  const double first = on(low), reach = on(high) - first;
  const auto at = [&](double x) { return reach > 0 ? 0.05 + 0.9 * (on(x) - first) / reach : 0.5; };
  return {at(k.band.low), at(k.middle), at(k.band.high), at(k.usual.low), at(k.usual.high)};
}

HistoryItem result_of(std::string name, const LifeQuantity& k, double per_unit, Quantity quantity) {
  Figure f;
  f.name = std::move(name), f.quantity = quantity;
  f.value = k.middle / per_unit, f.band = {k.band.low / per_unit, k.band.high / per_unit};
  f.law = "median and 95 % of draws from prior times likelihood (docs/models/life.md)", f.source = "murray2010";
  f.kind = Kind::estimate;
  Figure usual = f;
  usual.name = "any instrument of that age: " + f.name;
  usual.band = {k.usual.low / per_unit, k.usual.high / per_unit};
  usual.value = k.usual_middle / per_unit;
  if (quantity == Quantity::ratio)  // hours and counts: no more digits than are known
    for (Figure* one : {&f, &usual})
      for (double* v : {&one->value, &one->band.low, &one->band.high}) *v = rounded(*v, unit::none);
  usual.law = "95 % of draws from the prior alone (docs/models/life.md)";
  return {std::move(f), "", std::move(usual), k.prior_share, k.bits, marks_along(k)};
}

std::string play_word(Play p) { return words(&p)[static_cast<std::size_t>(p)]; }

/// The same on the scale none, light, medium, heavy; `share` hours of it for each hour of play.
void say_in_words(HistoryItem& l, const LifeQuantity& k, double share) {
  const auto play = [&](double s) { return play_of(s / share); };
  const auto height = [&](double s) { return along_words(s / share); };
  const std::string low = play_word(play(k.band.low)), high = play_word(play(k.band.high));
  l.result = play_word(play(k.middle)) + (low == high ? "" : fmt::format(" ({} to {})", low, high));
  l.marks = {height(k.band.low), height(k.middle), height(k.band.high), height(k.usual.low), height(k.usual.high)};
}

/// Energy of a check in 60 um cooled 40 K over what an old film resists: a tenth of a fresh one (ESTIMATE, factor 3).
Result<double> channel_ratio(const LifeRequest& asked, const Library& library) {
  const Material *clear = library.find(asked.clear), *wood = library.find(asked.wood);
  if (!wood) return Error{fmt::format("no such wood: '{}'", asked.wood), {"", 0, 0, "wood"}, "the id of a wood", ""};
  const Result<CrackingFilm> film = cracking_film(*clear);
  if (!film) return film.errors();
  const Result<CrackingWood> ground = cracking_wood(*wood, 0.5);
  if (!ground) return ground.errors();
  const ByGrain stress_Pa = elastic_stress_Pa(film->elastic, forced_strain(*film, *ground, 40, 0));
  return channel_energies_J_m2(stress_Pa, 60e-6, *film, *ground).along / (0.1 * film->fracture_energy_J_m2);
}

std::string block(Life life) {
  life.age_s = rounded(life.age_s, unit::year), life.light_lx_s = rounded(life.light_lx_s, unit::Mlx_h);
  for (TouchTime& t : life.touches) t.time_s = rounded(t.time_s, unit::h);
  life.coldest_K = unit::degC.to_si(std::round(unit::degC.from_si(life.coldest_K)));
  life.humidity_swing = rounded(life.humidity_swing, unit::pct),
  life.cased_share = rounded(life.cased_share, unit::pct);
  life.grime_kg_m2 = rounded(life.grime_kg_m2, unit::g_m2);
  Tree lives = Tree::empty_list(), file = Tree::empty_table();
  Tree shown_text = tree_of(life);
  std::erase_if(shown_text.table, [](const Tree::Entry& e) { return e.value.text == "unsaid"; });
  lives.list.push_back(std::move(shown_text));
  file.put("lives", std::move(lives));
  return print_toml(file);
}

Result<LifeAnswer> life_answer(const LifeRequest& asked, const Asking& asking) {
  const Material* clear = asking.library.find(asked.clear);
  if (!clear || clear->role != Role::clear) {
    std::vector<std::string> known;
    for (const Material& m : asking.library.all())
      if (m.role == Role::clear) known.push_back(m.id);
    return Error{fmt::format("no such clear: '{}'", asked.clear),
                 {"", 0, 0, "clear"},
                 fmt::format("one of {}", fmt::join(known, ", ")),
                 nearest_word(asked.clear, known)};
  }
  const Result<double> ratio = channel_ratio(asked, asking.library);
  if (!ratio) return ratio.errors();
  LifeEvidence evidence = asked.evidence;
  std::vector<Note> of_photos;
  for (std::size_t i = 0; i < asked.check_photos.size(); ++i) {
    const CountChecksRequest& photo = asked.check_photos[i];
    const Result<CheckPhoto> counted = counted_on_photo(photo, asking);
    if (!counted) {
      std::vector<Error> faults = counted.errors();
      for (Error& e : faults) e.where.key = fmt::format("check_photos[{}].{}", i + 1, e.where.key);
      return faults;
    }
    for (const std::optional<CheckCount>& row : {counted->across.evidence, counted->along.evidence})
      if (row) evidence.checks.push_back(*row);
    for (const Note& n : counted->notes) of_photos.push_back({n.severity, n.text, photo.name});
  }
  Ask ask;
  ask.channel_ratio = *ratio;
  const Result<std::vector<Observation>> seen = sightings_of(evidence, ask);
  if (!seen) return seen.errors();
  const YellowCurve curve(Palette(asking.library).of(asked.clear));
  const auto seed = static_cast<std::uint64_t>(asked.seed);
  LifeReading r = read_life(*seen, ask, curve, seed);
  if (r.scale_reduction > converged_below) r = read_life(*seen, ask, curve, seed, {4, 1000, 3000, 4});

  LifeAnswer a;
  a.items = {result_of("age as the dates say, years", r.age_s, unit::year.scale, Quantity::ratio),
             result_of("light on what faced the room", r.light_lx_s, 1, Quantity::light_dose),
             result_of("play, hours", r.play_s, 3600, Quantity::ratio),
             result_of("cold shocks", r.shocks, 1, Quantity::ratio),
             result_of("coldest shock", r.coldest_K, 1, Quantity::temperature),
             result_of("half the yearly swing of humidity", r.humidity_swing, 1, Quantity::fraction),
             result_of("years in its case, share", r.cased_share, 1, Quantity::fraction),
             result_of("grime where handled most", r.grime_kg_m2, 1, Quantity::mass_per_area)};
  say_in_words(a.items[2], r.play_s, 1);
  if (!r.play_known()) a.items[2].result = nothing_stated;
  for (std::size_t i = 0; i < r.play_chance.size(); ++i)
    a.play.push_back({static_cast<Play>(i), bounded_chance(r.play_chance[i])});
  const Life middle = r.life(asked.id, asked.evidence.strap);
  for (const TouchTime& t : middle.touches) {
    const auto i = static_cast<std::size_t>(t.by);
    a.touches.push_back(result_of(touch_in_words(t.by) + ", hours", r.touch_s[i], 3600, Quantity::ratio));
    say_in_words(a.touches.back(), r.touch_s[i], usual_share_of(i));
  }
  for (const Conflict& c : r.conflicts) {
    Figure times;
    times.name = "of what the rest says", times.value = c.times, times.band = c.band;
    times.law = "how much of it this item must have had, the life being that of the rest", times.kind = Kind::estimate;
    times.source = "geometry";
    a.conflicts.push_back({c.about, c.in_words, c.driver, bounded_chance(c.chance), std::move(times)});
    a.sentences.push_back("Conflict: " + c.in_words);
  }
  const auto likeliest = std::max_element(r.play_chance.begin(), r.play_chance.end()) - r.play_chance.begin();
  std::vector<std::string> others;
  for (std::size_t i = 0; i < r.play_chance.size(); ++i)
    if (static_cast<std::ptrdiff_t>(i) != likeliest && r.play_chance[i] > 0.005)
      others.push_back(
          fmt::format("{} {:.0f}", play_word(static_cast<Play>(i)), 100 * bounded_chance(r.play_chance[i])));
  a.sentences.push_back(
      r.play_known()
          ? fmt::format("Play: {}, {}{}.", play_word(static_cast<Play>(likeliest)),
                        in_a_hundred(r.play_chance[static_cast<std::size_t>(likeliest)]),
                        others.empty() ? "" : fmt::format(" ({})", fmt::join(others, ", ")))
          : std::string(
                "Play: nothing is known. Nothing looked at here shows how much it was played, or whether it was "
                "played at all. Measure frets, fingerboard, and the film in a worn place and beside it."));
  std::vector<std::string> informed, guessed;
  for (const HistoryItem& l : std::span(a.items).subspan(1))  // the age is what the dates say
    if (&l != &a.items[2])
      (l.prior_share < 0.5 ? informed : guessed).push_back(l.items.name);
    else if (r.play_known())
      informed.push_back(l.items.name);
  if (!informed.empty()) a.sentences.push_back(fmt::format("The parts show: {}.", fmt::join(informed, "; ")));
  if (!guessed.empty())
    a.sentences.push_back(fmt::format("The parts do not show these, so they are what is usual for its age: {}.",
                                      fmt::join(guessed, "; ")));
  a.lives = block(middle);
  a.notes = r.notes;
  a.notes.insert(a.notes.end(), of_photos.begin(), of_photos.end());
  if (!r.play_known())
    a.notes.push_back(
        {Severity::caution,
         "The block holds no hours of touch, because nothing is known of play: a wear step with this life "
         "wears nothing but knocks. Write in `touches` only what you have evidence for.",
         ""});
  else if (middle.touches.empty())
    a.notes.push_back({Severity::information,
                       "The block holds no hours of touch: it was likely never or hardly played, so a wear step with "
                       "this life wears nothing but knocks.",
                       ""});
  a.notes.push_back(
      {Severity::information, "The block holds the middle of each band; try the ends too before anything is cut.", ""});
  return a;
}

/// How far the parts show it, by how much of it is what any instrument of its age may have had.
const char* how_known(double prior_share) {
  return prior_share < 0.2             ? "shown by the parts"
         : prior_share < 0.5           ? "mostly shown by the parts"
         : prior_share < nothing_known ? "mostly what is usual for its age"
                                       : "usual for its age: the parts do not show it";
}

std::string format_answer(const LifeAnswer& a, BenchUnits units) {
  std::string text;
  for (const std::string& s : a.sentences) text += s + "\n";
  const auto rows = [&](const std::vector<HistoryItem>& list) {
    for (const HistoryItem& l : list) {
      const Shown s = shown(l.items.value, l.items.band, l.items.quantity, units);
      // A band over a factor of ten is no number.
      const bool number = l.items.quantity == Quantity::temperature || l.items.band.high <= 10 * l.items.band.low;
      const std::string value = number             ? s.text
                                : l.result.empty() ? (l.prior_share < 0.5 ? "roughly" : "can't tell")
                                                   : l.result.substr(0, l.result.find(" ("));
      // Chances of the four words may show play where its hours stay wide.
      const bool by_word = !l.result.empty() && l.result != nothing_stated && l.prior_share >= nothing_known;
      text += fmt::format("  {:34} {:>13}  ({})  {}\n", l.items.name, value, s.band,
                          &l == &a.items.front() ? "by the dates"
                          : by_word              ? "the word is shown by the parts"
                                                 : how_known(l.prior_share));
    }
  };
  text += "\nIts history: the middle, and where 19 in 20 lie\n";
  rows(a.items);
  if (!a.touches.empty()) text += "\nWhat touched it: hours are rough, the word is what to go by\n";
  rows(a.touches);
  text += "\nFor the job file\n\n" + a.lives + "\n";
  for (const Note& n : a.notes) text += n.text + "\n";
  return text;
}

}  // namespace

Verb life_verb() {
  return verb<LifeRequest, LifeAnswer>(
      "life", "What the untouched parts show of its history: light, play, cold, seasons, grime, and what does not fit",
      Work{}, life_answer, format_answer);
}

}  // namespace witnessline::app
