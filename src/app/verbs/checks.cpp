#include "app/verbs/checks.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "base/chance.h"
#include "bench/check_chance.h"
#include "bench/cold.h"
#include "numerics/statistics.h"
#include "solvents/vapour.h"

namespace witnessline::app {

namespace {

constexpr double none = std::numeric_limits<double>::quiet_NaN();
constexpr double thickest_laid_m = 0.6e-3;  // no finish is laid thicker
constexpr double chance_sd = 0.5 / 17.3;    // of a chance from 300 draws

double room_of(const ChecksRequest& asked) { return asked.room_K.value_or(294.15); }

/// Film and wood of the library, and what was asked of them. Errors: every key that is missing or wrong.
Result<FilmsInCold> films_asked(const ChecksRequest& asked, const Library& library) {
  std::vector<Error> faults;
  if (!asked.thickness_m)
    faults.push_back({"is missing",
                      {"", 0, 0, "thickness_um"},
                      "the film's thickness, or a job",
                      "measure it and write thickness_um = ..."});
  if (asked.film.empty())
    faults.push_back({"is missing", {"", 0, 0, "film"}, "a coat's material id, or a job", "write film = \"...\""});
  const auto find = [&](const std::string& id, const char* key, const char* what) -> const Material* {
    const Material* m = library.find(id);
    if (m || id.empty()) return m;
    const std::string near = nearest_word(id, library.ids());
    faults.push_back({fmt::format("no material '{}' in the library", id),
                      {"", 0, 0, key},
                      what,
                      near.empty() ? "" : fmt::format("did you mean '{}'?", near)});
    return nullptr;
  };
  const Material* film = find(asked.film, "film", "a coat's material id");
  const Material* wood = find(asked.wood, "wood", "a wood's material id");
  if (asked.to_K >= room_of(asked))
    faults.push_back({"is no colder than the room",
                      {"", 0, 0, "to_degC"},
                      fmt::format("below {:.0f} degC", room_of(asked) - 273.15),
                      "cold opens checks, warmth does not"});
  if (!faults.empty()) return faults;
  return FilmsInCold::of(
      {*asked.thickness_m, asked.area_m2, asked.wood_m, asked.stood_s, asked.plasticiser_frac, room_of(asked),
       asked.room_humidity, asked.unchecked_K, asked.shocks, asked.by, asked.found, asked.closest_m},
      *film, *wood, asked.sawn == Sawn::flat ? 1 : 0);
}

Figure figure(std::string name, double value, Quantity quantity, std::string law, std::string source, Kind kind) {
  Figure f;
  f.name = std::move(name), f.value = value, f.quantity = quantity;
  f.law = std::move(law), f.source = std::move(source), f.kind = kind;
  return f;
}

Figure chance(const char* name, double value) {
  Figure f = figure(name, bounded_chance(value), Quantity::fraction,
                    "share of draws over all that is uncertain, each weighed by 1 - exp(-checks expected)", "estimate",
                    Kind::estimate);
  f.band = {bounded_chance(value - 2 * chance_sd), bounded_chance(value + 2 * chance_sd)};
  return f;
}

ColdTried tried(const FilmsInCold& films, double to_K) {
  const ColdOutcome outcome = films.outcome(to_K);
  ColdTried cold{to_K,
                 chance("any check opens", outcome.opens),
                 chance("one or two and no more", outcome.few),
                 chance("closer than asked", outcome.too_far),
                 {}};
  cold.spacing =
      figure("mean distance of checks", outcome.distance_m.value_or(none), Quantity::length,
             outcome.as_counted ? "distance counted on untouched parts, times this film's thickness over theirs"
                                : "area over length of checks expected, where more than two open, weighed by practice",
             "estimate", Kind::estimate);
  cold.spacing.band = outcome.distance;
  return cold;
}

std::string of_ten(double share) { return fmt::format("{:.0f} of 10", 10 * share); }

/// How many such films show none, one or two, and more.
std::string films_alike(const ColdTried& c, BenchUnits units) {
  const double more = c.opens.value - c.few.value;
  if (c.opens.value < 0.05) return "Likely none: fewer than 1 such film in 20 shows any.";
  std::string text = c.opens.value < 0.5 ? fmt::format("Likely none: {} such films show any", of_ten(c.opens.value))
                                         : fmt::format("{} such films show checks", of_ten(c.opens.value));
  if (10 * c.few.value >= 0.5) text += fmt::format(", {} one or two only", of_ten(c.few.value));
  if (c.spacing.value > 0 && 10 * more >= 0.5)
    text +=
        fmt::format(". Where there are more they lie {} apart on average (from {} to {}), never evenly",
                    show(c.spacing.value, Quantity::length, units), show(c.spacing.band.low, Quantity::length, units),
                    show(c.spacing.band.high, Quantity::length, units));
  return text + ".";
}

/// To whole degrees: nobody sets a cold closer, and no model of checks knows it closer.
std::string whole_degrees(double to_K, BenchUnits units) {
  const double degC = to_K - 273.15;
  return units == BenchUnits::us ? fmt::format("{} degF", std::lround(32 + 1.8 * degC))
                                 : fmt::format("{} degC", std::lround(degC));
}

bool never(double to_K) { return to_K <= coldest_followed_K + 0.5; }

std::string at_words(double to_K, double room_K, BenchUnits units) {
  if (to_K >= room_K - 0.5) return "room temperature";
  return never(to_K) ? "none down to " + whole_degrees(coldest_followed_K, units) : whole_degrees(to_K, units);
}

/// "Checks open in one such film in five by -6 degC, half by -21 degC, ..." `opening_K`: of such films, ascending.
std::string opening_sentence(const std::vector<double>& opening_K, double room_K, BenchUnits units) {
  constexpr std::pair<double, const char*> shares[] = {
      {0.8, "one such film in five"}, {0.5, "half"}, {0.2, "four in five"}};
  std::string text;
  for (const auto& [share, which] : shares) {
    const double at_K = opening_K[static_cast<std::size_t>(share * static_cast<double>(opening_K.size() - 1))];
    if (never(at_K)) break;
    text += fmt::format("{}{} by {}", text.empty() ? "Checks open in " : ", ", which, at_words(at_K, room_K, units));
  }
  return text.empty() ? fmt::format("Fewer than one such film in five checks at all, even at {}.",
                                    whole_degrees(coldest_followed_K, units))
                      : text + ".";
}

const char* in_words(double chance) {
  if (chance < 0.05) return "hardly";
  if (chance < 0.3) return "perhaps, rather not";
  if (chance < 0.7) return "as likely as not";
  return chance < 0.95 ? "probably" : "almost surely";
}

std::string per_cent(double share) {
  constexpr double least_chance = 0.0205;  // bounded_chance(): what nobody foresaw
  return share <= least_chance       ? "under 3 %"
         : share >= 1 - least_chance ? "over 97 %"
                                     : fmt::format("{:.0f} %", 100 * share);
}

}  // namespace

std::string found_in_words(const std::vector<CheckCount>& rows, BenchUnits units) {
  const auto found = counted_checks(rows);
  if (!found) return "";
  const auto every = [&](double per_m) {
    return per_m > 0 ? "every " + show(1 / per_m, Quantity::length, units) : std::string("nowhere");
  };
  if (found->counted == 0)
    return "No check was counted on the untouched parts: this finish has come through its years without, and one that "
           "is to look like it has none.";
  return fmt::format(
      "The untouched parts show checks across the grain {}, along it {}: {:.0f} in 10 of their length runs "
      "across the grain. New ones should run the same way and lie no closer.",
      every(found->pattern.across_per_m), every(found->pattern.along_per_m), 10 * found->pattern.share_across());
}

namespace {

/// The film's solvent, and what it would be in a freezer. Empty: it may be cooled. Else why not.
std::string solvent_fault(const ChecksRequest& asked, const Asking& asking, ChecksAnswer& answer) {
  const Material* film = asking.library.find(asked.film);
  const Material* solvent = solvent_left_in(film->binder, asking.library);
  constexpr double solvent_kg_m3 = 870;  // lacquer solvents 790 to 880
  const double mass_kg =
      asked.solvent_ratio ? *asked.solvent_ratio * *asked.thickness_m * asked.area_m2 * solvent_kg_m3 : none;
  std::optional<double> share;
  if (asked.solvent_ratio && solvent) share = share_of_explosive_limit(*solvent, mass_kg, freezer_m3);
  answer.solvent = figure("solvent in the film", mass_kg, Quantity::mass, "share x thickness x area x 870 kg/m3", "",
                          Kind::estimate);
  answer.of_explosive_limit =
      figure("its vapour in a household freezer over the explosive limit", share.value_or(none), Quantity::fraction,
             fmt::format("all of it vapour in 250 L at 20 degC, as {}, over its lowest published limit",
                         solvent ? solvent->name : std::string("a solvent that is not known")),
             "cfr1910_1000", Kind::computed);
  const auto refused = why_not_cooled({asked.by, asked.stood_s, asked.solvent_ratio, mass_kg, share});
  return refused ? fmt::format("Do not cool it yet: {}. Instead: {}.", refused->why, refused->instead) : "";
}

}  // namespace

Result<ChecksAnswer> checks_answer(const ChecksRequest& asked, const Asking& asking) {
  if (!asked.job.empty()) return checks_on_body(asked, asking);
  const Result<FilmsInCold> made = films_asked(asked, asking.library);
  if (!made) return made.errors();
  const FilmsInCold& film = *made;
  ChecksAnswer answer;
  answer.notes = cold_cautions(asked.by, "");
  constexpr double year_s = 31557600;
  if (asking.handled && asked.stood_s >= year_s)
    for (Handled& one : *asking.handled) one.cured_film = one.material && one.material->id == asked.film;
  const std::string fault = solvent_fault(asked, asking, answer);

  const std::vector<CheckDraw>& alike = film.alike();
  const CheckDraw usual = film.usual();
  const CheckDrive drive = film.drive(asked.to_K, usual);
  const ByGrain run = drive.run();
  std::vector<double> along, across, onset;
  for (const CheckDraw& z : alike) {
    const CheckDrive one = film.drive(asked.to_K, z);
    across.push_back(one.run().along), along.push_back(one.run().across);
    onset.push_back(one.depth_m / std::max(1e-9, std::max(one.run().along, one.run().across)));
  }
  const auto opened = [](Figure f, std::vector<double> values) {
    f.band = central_band(std::move(values));
    return f;
  };
  const std::vector<Input> inputs{
      {"pull along the grain over 1 MPa", drive.stress_Pa.along / 1e6, Quantity::ratio, Kind::computed, "ferry1980"},
      {"pull across the grain over 1 MPa", drive.stress_Pa.across / 1e6, Quantity::ratio, Kind::computed, "ferry1980"},
      {"toughness over 1 J/m2, aged and shocked", drive.toughness_J_m2, Quantity::ratio, Kind::estimate, "estimate"},
      {"thickness", drive.depth_m, Quantity::film_thickness, Kind::measured, ""}};
  answer.across_grain = opened(figure("drive of a check across the grain", run.along, Quantity::fraction,
                                      "(pi/2) g sigma^2 h / E', over the toughness", "beuth1992", Kind::estimate),
                               across);
  answer.along_grain = opened(figure("drive of a check along the grain", run.across, Quantity::fraction,
                                     "(pi/2) g sigma^2 h / E', over the toughness", "beuth1992", Kind::estimate),
                              along);
  answer.across_grain.inputs = answer.along_grain.inputs = inputs;
  const double most = std::max(run.along, run.across);
  answer.onset =
      opened(figure("thickness from which it checks", most > 0 ? drive.depth_m / most : none, Quantity::film_thickness,
                    "Gc E' / ((pi/2) g sigma^2)", "hutchinson1992", Kind::estimate),
             onset);
  const double stiff_Pa = drive.film.plane_strain_Pa();
  const double pull_Pa = std::max(drive.stress_Pa.along, 1.0);
  answer.shadow = figure("least distance of two checks", drive.energy_J_m2.along * stiff_Pa / (pull_Pa * pull_Pa),
                         Quantity::length, "(pi/2) g h", "xia2000", Kind::estimate);
  answer.notes.push_back({Severity::information,
                          "Toughness of old finishes is not published: the bands are wide because of it. Try the cold "
                          "on a card or an offcut "
                          "with the same coats, of the same age, first.",
                          ""});
  if (!fault.empty()) {
    answer.sentences.push_back(fault);
    answer.notes.insert(answer.notes.begin(), {Severity::danger, fault, "solvent_pct"});
    return answer;
  }

  std::vector<double> temperatures;
  for (double degC = 5; degC >= -30; degC -= 5)
    if (degC + 273.15 < room_of(asked)) temperatures.push_back(degC + 273.15);
  for (const double t : temperatures) answer.colds.push_back(tried(film, t));
  const ColdTried here = tried(film, asked.to_K);

  Curve opens{"any check opens", "film temperature [degC]", "chance [%]", {}, {}}, far = opens;
  far.name = "they come too close";
  for (const ColdTried& c : answer.colds) {
    opens.x.push_back(c.to_K - 273.15), opens.y.push_back(100 * c.opens.value);
    far.x.push_back(c.to_K - 273.15), far.y.push_back(100 * c.too_far.value);
  }
  answer.curves = {opens, far};

  for (std::size_t d = 0; d < check_doubts; ++d) {
    CheckDraw low = usual, high = usual;
    low[d] -= 1, high[d] += 1;
    const double from_K = film.opening_K(low), to_K = film.opening_K(high);
    answer.moves.push_back({film.doubts()[d].name,
                            fmt::format("low: {}; high: {}", at_words(from_K, room_of(asked), asking.units),
                                        at_words(to_K, room_of(asked), asking.units)),
                            std::abs(from_K - to_K)});
  }
  std::stable_sort(answer.moves.begin(), answer.moves.end(),
                   [](const ColdMoved& a, const ColdMoved& b) { return a.over_K > b.over_K; });
  while (answer.moves.size() > 1 && answer.moves.back().over_K <= 0) answer.moves.pop_back();

  std::vector<double> opening_K;
  for (const CheckDraw& z : alike) opening_K.push_back(film.opening_K(z));
  std::sort(opening_K.begin(), opening_K.end());
  answer.sentences.push_back(fmt::format(
      "{} in {} shock{}: checks {} open on this area (chance {}). They run closer than {} with a chance of {}.",
      show(asked.to_K, Quantity::temperature, asking.units), asked.shocks, asked.shocks == 1 ? "" : "s",
      in_words(here.opens.value), in_a_hundred(here.opens.value), show(asked.closest_m, Quantity::length, asking.units),
      in_a_hundred(here.too_far.value)));
  answer.sentences.push_back(opening_sentence(opening_K, room_of(asked), asking.units));
  if (answer.moves[0].over_K > 0)
    answer.sentences.push_back(fmt::format("The cold that just opens one depends most on the {}: {}.",
                                           answer.moves[0].input, answer.moves[0].says));
  answer.sentences.push_back(films_alike(here, asking.units));
  if (const std::string found = found_in_words(asked.found, asking.units); !found.empty())
    answer.sentences.push_back(found);
  answer.sentences.push_back(fmt::format(
      "Specks and scratches check {} the grain, where the pull is {:.0f} % stronger; seams, ridges and open pores "
      "check along it{}.",
      drive.spot_opens_along() ? "across" : "along",
      100 * (std::max(drive.stress_Pa.along, drive.stress_Pa.across) /
                 std::max(1.0, std::min(drive.stress_Pa.along, drive.stress_Pa.across)) -
             1),
      answer.onset.value > 0 && answer.onset.value < thickest_laid_m
          ? ". On average such a film checks from " + show(answer.onset.value, Quantity::film_thickness, asking.units) +
                " up"
          : ". On average no usual thickness of it checks in this cold"));
  answer.sentences.push_back("Go down a few degrees at a time and look: a check cannot be closed again.");
  return answer;
}

std::string format_answer(const ChecksAnswer& answer, BenchUnits units) {
  std::string text;
  for (const std::string& s : answer.sentences) text += s + "\n";
  const auto line = [&](const Figure& f) {
    if (!(f.value < 1e9) || (f.band.low > 0 && f.band.high > 10 * f.band.low)) return;  // that is no number
    const Shown s = shown(f.value, f.band, f.quantity, units);
    text += fmt::format("  {}: {}{}\n", f.name, s.text, s.band.empty() ? "" : " (" + s.band + ")");
  };
  if (answer.count.value >= 0) {
    line(answer.count), line(answer.length), line(answer.distance), line(answer.opens);
    for (const Note& n : answer.notes) text += "\n" + n.text;
    return text + "\n";
  }
  text += "\nThe film in this cold\n";
  for (const Figure* f : {&answer.across_grain, &answer.along_grain, &answer.onset, &answer.shadow}) line(*f);
  line(answer.solvent), line(answer.of_explosive_limit);
  if (!answer.colds.empty())
    text += "\nColder and warmer: any check opens; one or two only; they run too close; their distance\n";
  for (const ColdTried& c : answer.colds)
    text += fmt::format("  {:>9}  {:>9}  {:>9}  {:>9}  {}\n", whole_degrees(c.to_K, units), per_cent(c.opens.value),
                        per_cent(c.few.value), per_cent(c.too_far.value),
                        c.spacing.value > 0 ? show(c.spacing.value, Quantity::length, units) : "-");
  const bool moves = !answer.moves.empty() && answer.moves[0].over_K > 0;
  if (moves) text += "\nWhat moves it: the cold that just opens a check\n";
  for (const ColdMoved& m : moves ? answer.moves : std::vector<ColdMoved>{})
    text += fmt::format("  {}: {}\n", m.input, m.says);
  for (const Note& n : answer.notes)
    if (std::find(answer.sentences.begin(), answer.sentences.end(), n.text) == answer.sentences.end())
      text += "\n" + n.text;
  return text + "\n";
}

Verb checks_verb() {
  return verb<ChecksRequest, ChecksAnswer>(
      "checks", "Which cold is likely to open checks in a film, how likely it runs too far, and what moves that",
      Work{}, checks_answer, format_answer);
}

}  // namespace witnessline::app
