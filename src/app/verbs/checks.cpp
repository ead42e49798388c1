#include "app/verbs/checks.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "base/chance.h"
#include "base/random.h"
#include "bench/cold.h"
#include "bench/starters.h"
#include "cracking/expected.h"
#include "materials/properties.h"
#include "solvents/vapour.h"

namespace witnessline::app {

namespace {

constexpr double none = std::numeric_limits<double>::quiet_NaN();
constexpr double coldest_followed_K = 233.15;
constexpr int draws = 300;
constexpr double thickest_laid_m = 0.6e-3;  // no finish is laid thicker
constexpr double chance_sd = 0.5 / 17.3;    // of a chance from 300 draws

/// An input that is not well known, and one standard deviation of it.
struct Doubt {
  const char* name;
  double sd;  ///< of the logarithm; of kelvins where it is a temperature
};
enum Of {
  toughness,
  film_expansion,
  modulus,
  transition,
  shrinkage,
  wood_expansion,
  supple,
  flaw_count,
  flaw_depth,
  thickness,
  cold,
  doubt_count
};
using Draw = std::array<double, doubt_count>;  ///< in standard deviations

double log_sd(const Material& m, Property p) {
  const Datum* d = m.find(p);
  return d && d->value > 0 ? std::sqrt(std::log1p(d->sd * d->sd / (d->value * d->value))) : 0;
}

double room_of(const ChecksRequest& asked) { return asked.room_K.value_or(294.15); }

/// One film on one wood, and what the cold does to it.
class Case {
 public:
  static Result<Case> of(const ChecksRequest& asked, const Library& library) {
    std::vector<Error> faults;
    if (!asked.thickness_m)
      faults.push_back({"is missing",
                        {"", 0, 0, "thickness_um"},
                        "the film's thickness, or a job",
                        "measure it and write thickness_um = ..."});
    if (asked.film.empty())
      return Error{"is missing", {"", 0, 0, "film"}, "a coat's material id, or a job", "write film = \"...\""};
    const auto find = [&](const std::string& id, const char* key, const char* what) -> const Material* {
      const Material* m = library.find(id);
      if (m) return m;
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
    Case made(asked);
    const auto known_film = cracking_film(*film);
    const auto known_wood = cracking_wood(*wood, asked.sawn == Sawn::flat ? 1 : 0);
    const auto take = [&](const std::vector<Error>& errors, const char* key) {
      for (Error e : errors) e.where.key = key, faults.push_back(std::move(e));
    };
    if (!known_film) take(known_film.errors(), "film");
    if (!known_wood) take(known_wood.errors(), "wood");
    if (!faults.empty()) return faults;
    made.film_ = *known_film, made.wood_ = *known_wood, made.usual_ = usual_plasticiser_frac(film->binder);
    made.doubts_ = {{{"toughness of the film", log_sd(*film, Property::fracture_energy)},
                     {"expansion of the film", log_sd(*film, Property::expansion)},
                     {"stiffness of the film", log_sd(*film, Property::modulus)},
                     {"glass transition, so how it eases", film->find(Property::glass_transition)->sd},
                     {"shrinking of the film as it cures", log_sd(*film, Property::cure_shrinkage)},
                     {"expansion of the wood across the grain", 0.25},  // scatter of four woods, kubler1973
                     {"what keeps the film supple", 0.3},               // ESTIMATE
                     {"number of flaws", 0.8},                          // ESTIMATE
                     {"depth of the flaws", 0.4},                       // ESTIMATE
                     {"thickness of the film", 0.12},                   // ESTIMATE: from place to place
                     {"temperature the film reaches", 3.0}}};           // ESTIMATE
    return made;
  }

  CheckDrive drive(double to_K, const Draw& z) const {
    CrackingFilm film = film_;
    film.fracture_energy_J_m2 *= grown(toughness, z), film.expansion_per_K *= grown(film_expansion, z);
    film.elastic.modulus_Pa *= grown(modulus, z), film.glass_transition_K += doubts_[transition].sd * z[transition];
    film.cure_shrinkage_frac *= grown(shrinkage, z);
    CrackingWood wood = wood_;
    wood.expansion_per_K.across *= grown(wood_expansion, z);
    FilmAge age{asked_.stood_s, asked_.plasticiser_frac.value_or(usual_) * grown(supple, z)};
    ColdHistory past =
        history_of_cold(to_K + doubts_[cold].sd * z[cold], asked_.shocks, asked_.by, room_of(asked_), asked_.wood_m);
    past.room_humidity = asked_.room_humidity.value_or(past.laid_humidity);
    const CoatPull pull = pull_of(film, age, usual_, wood, past);
    const double deep_m = *asked_.thickness_m * grown(thickness, z);
    return {{&pull, 1}, {&deep_m, 1}, wood};
  }
  /// A check runs a quarter of the root of the area before it meets an edge or another: 115 mm of 485 mm in two cases
  /// grown on a slab body (ESTIMATE).
  ExpectedChecks expected(double to_K, const Draw& z) const {
    return expected_checks(drive(to_K, z),
                           {flaws_per_m2 * grown(flaw_count, z), flaw_depth_share * grown(flaw_depth, z), 0.28, 0.012,
                            0.25 * std::sqrt(asked_.area_m2)});
  }
  /// Cold in which one check is expected on the area; the end of the range where none is, or one in the room already.
  double opening_K(const Draw& z) const {
    double low = coldest_followed_K, high = room_of(asked_);
    const auto opens = [&](double at_K) { return expected(at_K, z).per_m2 * asked_.area_m2 >= 1; };
    if (!opens(low)) return low;
    if (opens(high)) return high;
    while (high - low > 0.25) {
      const double middle = (low + high) / 2;
      (opens(middle) ? low : high) = middle;
    }
    return low;
  }
  /// How likely a film of that draw shows no check yet, after the coldest it has been through.
  double unchecked(const Draw& z) const {
    return std::exp(-expected(asked_.unchecked_K.value_or(room_of(asked_) - room_swing_K), z).per_m2 * asked_.area_m2);
  }
  const std::array<Doubt, doubt_count>& doubts() const { return doubts_; }

 private:
  explicit Case(const ChecksRequest& asked) : asked_(asked) {}
  double grown(Of what, const Draw& z) const { return std::exp(doubts_[what].sd * z[what]); }

  ChecksRequest asked_;
  CrackingFilm film_;
  CrackingWood wood_;
  double usual_ = 0;
  std::array<Doubt, doubt_count> doubts_{};
};

Draw draw_of(int i) {
  Draw z;
  for (std::size_t d = 0; d < z.size(); ++d)
    z[d] = normal(Key{}.with("checks").with(static_cast<std::uint64_t>(i)).with(d));
  return z;
}

/// Draws of films that are as asked and show no check yet.
/// Law: three times as many draws as are kept, resampled by how likely each has come through unchecked (Bayes'
/// theorem). Source: ESTIMATE (the flaws and toughness drawn).
std::vector<Draw> survivors(const Case& film) {
  constexpr int tried = 900;
  std::vector<double> up_to(tried);
  std::vector<Draw> all(tried);
  double sum = 0;
  for (int i = 0; i < tried; ++i) {
    all[static_cast<std::size_t>(i)] = draw_of(i);
    sum += std::max(1e-9, film.unchecked(all[static_cast<std::size_t>(i)]));
    up_to[static_cast<std::size_t>(i)] = sum;
  }
  std::vector<Draw> kept;
  for (int i = 0; i < draws; ++i) {
    const double at = (i + 0.5) / draws * sum;
    kept.push_back(all[static_cast<std::size_t>(std::lower_bound(up_to.begin(), up_to.end(), at) - up_to.begin())]);
  }
  return kept;
}

/// Practice: parallel checks of decades lie 2, 6, 20 mm apart (recalled, weak). Half a weight of what it says.
double weight_of_practice(double spacing_m) {
  const double off = std::log(spacing_m / 6e-3) / 0.8;
  return std::exp(-0.5 * off * off);
}
/// The values at these shares of the weight.
double weighted_quantile(std::vector<std::pair<double, double>> values, double share) {
  std::sort(values.begin(), values.end());
  double sum = 0, so_far = 0;
  for (const auto& [value, weight] : values) sum += weight;
  for (const auto& [value, weight] : values)
    if ((so_far += weight) >= share * sum) return value;
  return values.back().first;
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

ColdTried tried(const Case& film, const ChecksRequest& asked, const std::vector<Draw>& alike, double to_K) {
  double opens = 0, few = 0, too_far = 0;
  std::vector<std::pair<double, double>> spacing;
  for (const Draw& z : alike) {
    const ExpectedChecks e = film.expected(to_K, z);
    const double count = e.per_m2 * asked.area_m2, none_opens = std::exp(-count);
    const double one_or_two = none_opens * count * (1 + count / 2), more = 1 - none_opens - one_or_two;
    opens += (1 - none_opens) / draws, few += one_or_two / draws;
    too_far += (e.spacing_m() < asked.closest_m ? 1.0 : 0.0) / draws;
    // One or two have no distance, and none is further from the next than the place is wide.
    if (more > 0.5 && e.spacing_m() < std::sqrt(asked.area_m2))
      spacing.emplace_back(e.spacing_m(), weight_of_practice(e.spacing_m()));
  }
  ColdTried cold{to_K,
                 chance("any check opens", opens),
                 chance("one or two and no more", few),
                 chance("closer than asked", too_far),
                 {}};
  cold.spacing =
      figure("mean distance of checks", none, Quantity::length,
             "area over length of checks expected, where more than two open, weighed by practice (2 to 20 mm)",
             "estimate", Kind::estimate);
  if (spacing.size() < draws / 10) return cold;
  Band band{weighted_quantile(spacing, 0.1), weighted_quantile(spacing, 0.9)};
  double middle_m = weighted_quantile(spacing, 0.5);
  if (const auto counted = counted_distance(asked.found); counted && (counted->across_m || counted->along_m)) {
    // Found evidence decides; distance goes with the thickness of the film (xia2000).
    const double per_m =
        (counted->across_m ? 1 / *counted->across_m : 0) + (counted->along_m ? 1 / *counted->along_m : 0);
    middle_m = *asked.thickness_m / counted->film_m / per_m;
    const double factor = std::exp(1.28 * std::hypot(0.3, 1 / std::sqrt(static_cast<double>(counted->counted))));
    band = {middle_m / factor, middle_m * factor};
    cold.spacing.law = "distance counted on untouched parts, times this film's thickness over theirs";
  }
  if (band.high > 10 * band.low) return cold;  // that is no number
  cold.spacing.value = middle_m, cold.spacing.band = band;
  return cold;
}

std::string of_ten(double share) { return fmt::format("{:.0f} of 10", 10 * share); }

/// How many films alike show none, one or two, and more.
std::string films_alike(const ColdTried& c, BenchUnits units) {
  const double more = c.opens.value - c.few.value;
  if (c.opens.value < 0.05) return "Likely none: fewer than 1 film alike in 20 shows any.";
  std::string text = c.opens.value < 0.5 ? fmt::format("Likely none: {} films alike show any", of_ten(c.opens.value))
                                         : fmt::format("{} films alike show checks", of_ten(c.opens.value));
  if (10 * c.few.value >= 0.5) text += fmt::format(", {} one or two only", of_ten(c.few.value));
  if (c.spacing.value > 0 && 10 * more >= 0.5)
    text +=
        fmt::format(". Where there are more they lie {} apart on average (from {} to {}), never evenly",
                    show(c.spacing.value, Quantity::length, units), show(c.spacing.band.low, Quantity::length, units),
                    show(c.spacing.band.high, Quantity::length, units));
  return text + ".";
}

std::string at_words(double to_K, double room_K, BenchUnits units) {
  if (to_K >= room_K - 0.5) return "room temperature";
  if (to_K <= coldest_followed_K + 0.5)
    return "no cold down to " + show(coldest_followed_K, Quantity::temperature, units);
  return show(to_K, Quantity::temperature, units);
}

const char* in_words(double chance) {
  if (chance < 0.05) return "hardly";
  if (chance < 0.3) return "perhaps, rather not";
  if (chance < 0.7) return "as likely as not";
  return chance < 0.95 ? "probably" : "almost surely";
}

std::string per_cent(double share) {
  return share < 0.005 ? "under 1 %" : share > 0.995 ? "over 99 %" : fmt::format("{:.0f} %", 100 * share);
}

}  // namespace

std::optional<CountedDistance> counted_distance(const std::vector<CheckCount>& rows) {
  if (rows.empty()) return {};
  CountedDistance all;
  double over_m[2] = {0, 0}, film_m = 0;
  int counted[2] = {0, 0};
  for (const CheckCount& row : rows) {
    over_m[static_cast<int>(row.run)] += row.over_m, counted[static_cast<int>(row.run)] += row.counted;
    film_m += row.film_m / static_cast<double>(rows.size());
  }
  all.film_m = film_m, all.counted = counted[0] + counted[1];
  if (counted[0] > 0) all.across_m = over_m[0] / counted[0];
  if (counted[1] > 0) all.along_m = over_m[1] / counted[1];
  return all;
}

std::string found_in_words(const std::vector<CheckCount>& rows, BenchUnits units) {
  const auto found = counted_distance(rows);
  if (!found) return "";
  const auto way = [&](const std::optional<double>& m) {
    return m ? "every " + show(*m, Quantity::length, units) : std::string("nowhere");
  };
  if (found->counted == 0)
    return "No check was counted on the untouched parts: this finish has come through its years without, and one that "
           "is to look like it has none.";
  const double across = found->across_m ? 1 / *found->across_m : 0, along = found->along_m ? 1 / *found->along_m : 0;
  return fmt::format(
      "The untouched parts show checks across the grain {}, along it {}: {:.0f} in 10 of their length runs "
      "across the grain. New ones should run the same way and lie no closer.",
      way(found->across_m), way(found->along_m), 10 * across / (across + along));
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

Band band_of(std::vector<double> values) {
  std::sort(values.begin(), values.end());
  const auto at = [&](double share) { return values[static_cast<std::size_t>(share * (values.size() - 1))]; };
  return {at(0.025), at(0.975)};
}

Result<ChecksAnswer> checks_answer(const ChecksRequest& asked, const Asking& asking) {
  if (!asked.job.empty()) return checks_on_body(asked, asking);
  const Result<Case> made = Case::of(asked, asking.library);
  if (!made) return made.errors();
  const Case& film = *made;
  ChecksAnswer answer;
  answer.notes = cold_cautions(asked.by, "");
  const std::string fault = solvent_fault(asked, asking, answer);

  const std::vector<Draw> alike = survivors(film);
  Draw usual{};
  for (const Draw& z : alike)
    for (std::size_t d = 0; d < usual.size(); ++d) usual[d] += z[d] / draws;
  const CheckDrive drive = film.drive(asked.to_K, usual);
  const ByGrain run = drive.run();
  std::vector<double> along, across, onset;
  for (const Draw& z : alike) {
    const CheckDrive one = film.drive(asked.to_K, z);
    across.push_back(one.run().along), along.push_back(one.run().across);
    onset.push_back(one.depth_m / std::max(1e-9, std::max(one.run().along, one.run().across)));
  }
  const auto opened = [](Figure f, std::vector<double> values) {
    f.band = band_of(std::move(values));
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
  for (const double t : temperatures) answer.colds.push_back(tried(film, asked, alike, t));
  const ColdTried here = tried(film, asked, alike, asked.to_K);

  Curve opens{"any check opens", "film temperature [degC]", "chance [%]", {}, {}}, far = opens;
  far.name = "they come too close";
  for (const ColdTried& c : answer.colds) {
    opens.x.push_back(c.to_K - 273.15), opens.y.push_back(100 * c.opens.value);
    far.x.push_back(c.to_K - 273.15), far.y.push_back(100 * c.too_far.value);
  }
  answer.curves = {opens, far};

  for (int d = 0; d < doubt_count; ++d) {
    Draw low = usual, high = usual;
    low[static_cast<std::size_t>(d)] -= 1, high[static_cast<std::size_t>(d)] += 1;
    const double from_K = film.opening_K(low), to_K = film.opening_K(high);
    answer.moves.push_back({film.doubts()[static_cast<std::size_t>(d)].name,
                            fmt::format("low: {}; high: {}", at_words(from_K, room_of(asked), asking.units),
                                        at_words(to_K, room_of(asked), asking.units)),
                            std::abs(from_K - to_K)});
  }
  std::stable_sort(answer.moves.begin(), answer.moves.end(),
                   [](const ColdMoved& a, const ColdMoved& b) { return a.over_K > b.over_K; });
  while (answer.moves.size() > 1 && answer.moves.back().over_K <= 0) answer.moves.pop_back();

  std::vector<double> opening_K;
  for (const Draw& z : alike) opening_K.push_back(film.opening_K(z));
  std::sort(opening_K.begin(), opening_K.end());
  const auto quantile = [&](double share) {
    return at_words(opening_K[static_cast<std::size_t>(share * (draws - 1))], room_of(asked), asking.units);
  };
  answer.sentences.push_back(fmt::format(
      "{} in {} shock{}: checks {} open on this area (chance {}), and run closer than {} with a chance of {}.",
      show(asked.to_K, Quantity::temperature, asking.units), asked.shocks, asked.shocks == 1 ? "" : "s",
      in_words(here.opens.value), in_a_hundred(here.opens.value), show(asked.closest_m, Quantity::length, asking.units),
      in_a_hundred(here.too_far.value)));
  answer.sentences.push_back(fmt::format(
      "The cold that just opens one: one film in five already at {}, every second by {}, four in five by {}.",
      quantile(0.8), quantile(0.5), quantile(0.2)));
  answer.sentences.push_back(fmt::format("Most depends on the {}: {}.", answer.moves[0].input, answer.moves[0].says));
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
          : ". No thickness that anybody lays checks in this cold"));
  answer.sentences.push_back("Go down a few degrees at a time and look: a check cannot be closed again.");
  return answer;
}

std::string told(const ChecksAnswer& answer, BenchUnits units) {
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
    text += fmt::format("  {:>9}  {:>9}  {:>9}  {:>9}  {}\n", show(c.to_K, Quantity::temperature, units),
                        per_cent(c.opens.value), per_cent(c.few.value), per_cent(c.too_far.value),
                        c.spacing.value > 0 ? show(c.spacing.value, Quantity::length, units) : "-");
  if (!answer.moves.empty()) text += "\nWhat moves it: the cold that just opens a check\n";
  for (const ColdMoved& m : answer.moves) text += fmt::format("  {}: {}\n", m.input, m.says);
  for (const Note& n : answer.notes) text += "\n" + n.text;
  return text + "\n";
}

Verb checks_verb() {
  return verb<ChecksRequest, ChecksAnswer>(
      "checks", "Which cold is likely to open checks in a film, how likely it runs too far, and what moves that",
      Work{}, checks_answer, told);
}

}  // namespace witnessline::app
