#include "match/correct.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>

#include "match/cup.h"
#include "match/likely.h"
#include "numerics/statistics.h"

namespace witnessline::match {

namespace {

// Through less of the light than this, there and back, a clear hides what the colour below does. ESTIMATE
constexpr double dark_clear = 0.1;

// Further than this from what was expected a panel is likely another one, or its grams are wrong. ESTIMATE: tins known
// to 15 % seldom come out so far off.
constexpr double strange_panel = 10;

// Of the tolerance, where additions are to bring the batch, the first that can be reached. ESTIMATE: room for what the
// prediction of an addition misses.
constexpr std::array<double, 3> aimed_shares{0.5, 0.75, 1};

double sum(const std::vector<double>& of) { return std::accumulate(of.begin(), of.end(), 0.0); }

// The shelf as a set whose unit of thickness is the planned film.
ColorantSet set_of(const std::vector<Tin>& shelf, const ShelfKnowledge& known, const LaidFilm& laying) {
  ColorantSet set;
  for (const Tin& t : shelf) {
    ColorantModel model;
    model.name = t.name, model.separated = t.separated;
    for (int b = 0; b < bands; ++b) {
      model.absorption[b] = t.absorption_per_m[b] * laying.film_m;
      model.scattering[b] = t.scattering_per_m[b] * laying.film_m;
    }
    set.colorants.push_back(model);
  }
  set.face = laying.face, set.log_covariance = known.log_covariance, set.misfit = known.misfit;
  return set;
}

// The panel with its clear taken off, so that it stands behind the face as the set's films do.
FilmReading panel_of(const BatchPanel& panel, const std::vector<Tin>& shelf, const Aim& aim, const LaidFilm& laying,
                     std::vector<Note>& notes) {
  FilmReading film{"the panel", {}, 1, panel.log_sd, {}, {}};
  double volume_m3 = 0;
  for (std::size_t i = 0; i < shelf.size(); ++i) volume_m3 += panel.mass_kg[i] * shelf[i].dry_volume_m3_per_kg;
  for (std::size_t i = 0; i < shelf.size(); ++i)
    film.shares.push_back(panel.mass_kg[i] * shelf[i].dry_volume_m3_per_kg / volume_m3);
  const Spectrum ground = ground_inside(laying, aim.specular_share), through = through_clear(laying, false);
  OverGround over;
  bool dark = false;
  for (int b = 0; b < bands; ++b) {
    over.ground[b] = seen_outside(ground[b], laying.face, 1);
    const double inside = inside_of(panel.read[b], laying.face, aim.specular_share) / std::max(through[b], dark_clear);
    dark = dark || through[b] < dark_clear;
    over.film[b] = seen_outside(std::clamp(inside, 0.0, 0.999), laying.face, 1);
  }
  if (dark)
    notes.push_back({Severity::caution,
                     "The clear above is so dark at some wavelengths that the panel tells little of the colour there; "
                     "read the panel before the clear is laid.",
                     "clear"});
  film.over.push_back(over);
  return film;
}

bool better(const Cup::Addition& a, const Cup::Addition& b, double tolerance) {
  const bool in_a = a.closeness <= tolerance, in_b = b.closeness <= tolerance;
  if (in_a != in_b) return in_a;
  return in_a ? a.added_kg < b.added_kg : a.closeness < b.closeness;
}

// Of the colorants the free answer adds, the best few by themselves.
Cup::Addition of_few(Cup& cup, const Cup::Addition& free, const std::vector<double>& mass_kg, int most,
                     double tolerance, double most_kg) {
  std::vector<std::size_t> added;
  for (std::size_t i = 0; i < mass_kg.size(); ++i)
    if (free.mass_kg[i] - mass_kg[i] > 1e-5 * free.added_kg) added.push_back(i);
  if (static_cast<int>(added.size()) <= most) return free;
  std::stable_sort(added.begin(), added.end(), [&](std::size_t a, std::size_t b) {
    return free.mass_kg[a] - mass_kg[a] > free.mass_kg[b] - mass_kg[b];
  });
  added.resize(std::min<std::size_t>(added.size(), 8));
  std::optional<Cup::Addition> best;
  for (unsigned which = 1; which < 1u << added.size(); ++which) {
    std::vector<bool> allowed(mass_kg.size(), false);
    int count = 0;
    for (std::size_t i = 0; i < added.size(); ++i)
      if (which >> i & 1u) allowed[added[i]] = true, ++count;
    if (count != most) continue;
    const auto found = cup.least(allowed, tolerance, 0.5 * free.added_kg, most_kg);
    if (found && (!best || better(*found, *best, tolerance))) best = found;
  }
  return best.value_or(free);
}

// Additions in whole steps of the scale: up or down, the least that stays within, else the nearest.
std::vector<double> rounded(const Cup& cup, const std::vector<double>& mass_kg, const Cup::Addition& exact,
                            const std::vector<Tin>& shelf, double step_kg, double tolerance) {
  std::vector<std::size_t> added;
  for (std::size_t i = 0; i < mass_kg.size(); ++i)
    if (exact.mass_kg[i] - mass_kg[i] > 1e-5 * exact.added_kg) added.push_back(i);
  added.resize(std::min<std::size_t>(added.size(), 10));
  std::optional<Cup::Addition> best;
  for (unsigned up = 0; up < 1u << added.size(); ++up) {
    Cup::Addition a{0, mass_kg, 0};
    bool there = true;
    for (std::size_t i = 0; i < added.size(); ++i) {
      const std::size_t t = added[i];
      const double kg = (std::floor((exact.mass_kg[t] - mass_kg[t]) / step_kg) + (up >> i & 1u)) * step_kg;
      there = there && kg <= shelf[t].left_kg;
      a.mass_kg[t] += kg, a.added_kg += kg;
    }
    if (!there) continue;
    a.closeness = cup.closeness(a.mass_kg);
    if (!best || better(a, *best, tolerance)) best = a;
  }
  return best ? best->mass_kg : mass_kg;
}

std::vector<Pour> pours(const std::vector<double>& mass_kg, double scale, double step_kg) {
  std::vector<Pour> list;
  for (std::size_t i = 0; i < mass_kg.size(); ++i) {
    const double exact = mass_kg[i] * scale, kg = step_kg > 0 ? std::round(exact / step_kg) * step_kg : exact;
    if (kg > 0) list.push_back({i, kg, exact, 0});
  }
  std::stable_sort(list.begin(), list.end(), [](const Pour& a, const Pour& b) { return a.mass_kg > b.mass_kg; });
  double running = 0;
  for (Pour& p : list) p.running_kg = running += p.mass_kg;
  return list;
}

// How near the panel after the additions is likely to come. What the law of mixing misses was read with this panel and
// is carried over; so much of it comes new as the batch does. ESTIMATE
void say_likely(Correction& found, const Cup& cup, const Aim& aim, const LaidFilm& laying, double step_kg) {
  constexpr int draws = 400;
  ShelfKnowledge known = found.known;
  known.misfit *= std::min(1.0, found.batch_kg / cup.cup_kg() - 1);
  PouredFilm poured{found.batch, step_kg, false};
  const auto day = likely_panels(found.shelf, known, laying, aim.specular_share, poured, draws);
  poured.under_aged_clear = aim.when != MatchWhen::on_the_day;
  const auto later =
      poured.under_aged_clear ? likely_panels(found.shelf, known, laying, aim.specular_share, poured, draws) : day;
  std::vector<double> closeness;
  for (std::size_t d = 0; d < draws; ++d) closeness.push_back(cup.closeness(day[d], later[d]));
  found.likely_after = sum(closeness) / draws;
  found.likely_band = central_band(closeness, 0.9);
}

std::vector<Error> more_faults(const std::vector<Tin>& shelf, const ShelfKnowledge& known, const BatchPanel& panel,
                               const CorrectChoice& choice) {
  std::vector<Error> faults;
  const auto fault = [&](std::string what, const char* key, const char* expected) {
    faults.push_back({std::move(what), {"", 0, 0, key}, expected, ""});
  };
  if (panel.mass_kg.size() != shelf.size()) fault("the batch does not fit the shelf", "shelf", "one mass per tin");
  double kg = 0;
  for (std::size_t i = 0; i < panel.mass_kg.size(); ++i) {
    if (!(panel.mass_kg[i] >= 0) || !std::isfinite(panel.mass_kg[i]))
      fault("a mass in the batch is below zero", "shelf", "0 g or more");
    else if (panel.mass_kg[i] > 0 && i < shelf.size() && !shelf[i].separated)
      fault(fmt::format("{} is in the batch, and its absorption and scattering could not be separated", shelf[i].name),
            "shelf", "colorants drawn down over black and white, or read in mixtures");
    kg += panel.mass_kg[i];
  }
  if (!(kg > 0)) fault("there is nothing in the cup", "shelf", "the grams in the cup (in_cup_g)");
  if (const std::string why = why_no_reflectance(panel.read); !why.empty())
    fault("the panel: " + why, "panel", "a reflectance from 0 to 1, not per cent");
  if (known.log_covariance.size() != bands) fault("the shelf does not state its uncertainty", "shelf", "");
  if (!(panel.log_sd >= 0)) fault("the uncertainty of the film is below zero", "film_sd", "0 or more");
  if (!(choice.tolerance_delta_e > 0)) fault("the tolerance is not above zero", "tolerance", "e.g. 1");
  if (choice.most_additions < 1) fault("no addition is allowed", "most_additions", "1 or more");
  if (!(choice.most_added > 0)) fault("no mass may be added", "most_added", "above 0");
  return faults;
}

}  // namespace

ShelfKnowledge plain_knowledge(std::size_t tins, double log_sd) {
  const int n = 2 * static_cast<int>(tins);
  Matrix covariance(n, n);
  for (int i = 0; i < n; ++i) covariance(i, i) = log_sd * log_sd;
  return {std::vector<Matrix>(bands, covariance), 0.02};
}

Result<Correction> correct(const std::vector<Tin>& shelf, const ShelfKnowledge& known, const Aim& aim,
                           const LaidFilm& laying, const Weighing& weighing, const BatchPanel& panel,
                           const CorrectChoice& choice) {
  std::vector<Error> faults = more_faults(shelf, known, panel, choice);
  if (!faults.empty()) return faults;
  // What is in the cup is no longer on the shelf, so the shelf need not be able to fill it again.
  Weighing cup_alone = weighing;
  cup_alone.batch_kg = std::max(10 * weighing.step_kg, 1e-9);
  std::vector<Tin> full = shelf;
  for (Tin& t : full)
    if (t.left_kg >= 0) t.left_kg = std::numeric_limits<double>::infinity();
  faults = faults_of(full, aim, laying, cup_alone);
  if (!faults.empty()) return faults;

  Correction found;
  note_left_out(found.notes, shelf);
  const FilmReading film = panel_of(panel, shelf, aim, laying, found.notes);
  const auto taught = learned(set_of(shelf, known, laying), film, {});
  if (!taught) return taught.errors();
  found.known = {taught->set.log_covariance, known.misfit};
  found.panel_film_ratio = taught->thickness.ratio;
  found.shelf = shelf;
  for (std::size_t i = 0; i < shelf.size(); ++i)
    for (int b = 0; b < bands; ++b) {
      // Only what the panel touched is written back, so that the rest stays to the last digit.
      if (!shelf[i].separated) continue;
      found.shelf[i].absorption_per_m[b] = taught->set.colorants[i].absorption[b] / laying.film_m;
      found.shelf[i].scattering_per_m[b] = taught->set.colorants[i].scattering[b] / laying.film_m;
    }

  const std::vector<View> views = views_that_count(aim, laying);
  const MixedTins as_thought = mixed_tins(shelf, panel.mass_kg);
  found.predicted_before = closeness_of(differences(views, aim, laid(as_thought, laying, aim.specular_share, false),
                                                    laid(as_thought, laying, aim.specular_share, true)),
                                        views.size(), aim);
  Cup cup(found.shelf, aim, laying, panel.mass_kg, panel.read);
  found.before = cup.seen(panel.mass_kg);
  const double apart =
      delta_e_2000(to_lab(panel.read, aim.lamps[0].lamp, aim.observer),
                   to_lab(laid(as_thought, laying, aim.specular_share, false), aim.lamps[0].lamp, aim.observer));
  if (apart > strange_panel)
    found.notes.push_back(
        {Severity::caution,
         fmt::format(
             "The panel lies {:.0f} Delta E from what was expected of this batch, more than tins differ: is it the "
             "panel of this batch, over this ground, and are the grams in the cup right?",
             apart),
         "panel"});
  found.closeness_before = cup.closeness(panel.mass_kg);

  std::vector<double> mass_kg = panel.mass_kg;
  if (found.closeness_before > choice.tolerance_delta_e) {
    const double first_kg = std::max(1e-4 * cup.cup_kg(), weighing.step_kg);
    // Which tins may be opened: none that would bring lead or its like into a batch that holds none, while others get
    // within the tolerance; and of those that are left, none that cannot be replaced, while others come as near.
    bool any_poison = false, in_cup = false;
    for (std::size_t i = 0; i < shelf.size(); ++i)
      any_poison |= shelf[i].poison, in_cup |= shelf[i].poison && panel.mass_kg[i] > 0;
    const auto tins = [&](bool poison, bool scarce) {
      std::vector<bool> allowed(shelf.size());
      for (std::size_t i = 0; i < shelf.size(); ++i)
        allowed[i] = (poison || !shelf[i].poison) && (scarce || !shelf[i].irreplaceable);
      return allowed;
    };
    const auto added_from = [&](const std::vector<bool>& allowed, double share) -> std::vector<double> {
      const double aim_delta_e = share * choice.tolerance_delta_e;
      // To come further inside than asked is not worth more than the batch once again. ESTIMATE
      const double most_kg = (share < 1 ? std::min(1.0, choice.most_added) : choice.most_added) * cup.cup_kg();
      const auto free = cup.least(allowed, aim_delta_e, first_kg, most_kg);
      if (!free) return panel.mass_kg;
      const auto few = of_few(cup, *free, panel.mass_kg, choice.most_additions, aim_delta_e, most_kg);
      return rounded(cup, panel.mass_kg, few, found.shelf, weighing.step_kg, aim_delta_e);
    };
    // Well within the tolerance first, as what is predicted of an addition is not exact; then ever less so.
    double nearest = found.closeness_before;
    for (const bool poison : {false, true}) {
      if (poison ? !any_poison : in_cup) continue;
      const std::vector<bool> all = tins(poison, true), common = tins(poison, false);
      const bool can_spare = common != all && std::count(common.begin(), common.end(), true) > 0;
      bool reached = false;
      for (const double share : aimed_shares) {
        const double aimed = share * choice.tolerance_delta_e;
        for (const bool sparing : {true, false}) {
          if (reached || (sparing && !can_spare)) continue;
          const std::vector<double> tried = added_from(sparing ? common : all, share);
          const double closeness = cup.closeness(tried);
          reached = closeness <= aimed;
          if (reached || closeness < nearest) nearest = closeness, mass_kg = tried, found.spared = sparing;
        }
      }
      if (nearest <= choice.tolerance_delta_e) break;
    }
  }
  found.after = cup.seen(mass_kg);
  found.closeness_after = cup.closeness(mass_kg);
  if (found.closeness_after > found.closeness_before - 0.01) {
    mass_kg = panel.mass_kg;  // additions that change nothing are not made
    found.after = found.before, found.closeness_after = found.closeness_before;
  }
  found.within = found.closeness_after <= choice.tolerance_delta_e;
  found.batch_kg = sum(mass_kg);
  std::vector<double> added(shelf.size());
  for (std::size_t i = 0; i < shelf.size(); ++i) added[i] = mass_kg[i] - panel.mass_kg[i];
  found.additions = pours(added, 1, 0);
  found.batch = pours(mass_kg, 1, 0);
  found.next_batch = pours(mass_kg, cup.cup_kg() / found.batch_kg, weighing.step_kg);
  LaidFilm laid_next = laying;
  laid_next.film_log_sd = panel.log_sd;
  say_likely(found, cup, aim, laid_next, weighing.step_kg);
  if (!found.within)
    found.notes.push_back(
        {Severity::caution,
         fmt::format("No addition of up to {:g} times the batch comes within {:g} Delta E; the nearest is "
                     "{:.2f}. Mix a new batch; the shelf now uses what the panel showed.",
                     choice.most_added, choice.tolerance_delta_e, found.closeness_after),
         "additions"});
  return found;
}

}  // namespace witnessline::match
