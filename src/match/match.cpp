#include "match/match.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>
#include <set>

#include "match/recipe.h"

namespace witnessline::match {

namespace {

// Answers are looked for among recipes no further off than this from the closest. ESTIMATE: half a unit is where a
// trained eye begins to see two panels side by side.
constexpr double about_as_close = 0.5;
// A further colorant is a further tin to open and weigh, and a further doubt. ESTIMATE: worth a tenth of a Delta E.
constexpr double earned_by_a_colorant = 0.1;
constexpr double as_close_as_any = 0.05;  // ESTIMATE: less than an instrument repeats
constexpr double still_of_use = 2;        // further off than this from the closest, an answer is none. ESTIMATE
constexpr std::size_t kept = 200;
constexpr std::size_t looked_into = 60;  // of them become recipes worked out in full

struct Ranked {
  Recipe recipe;
  Candidate candidate;
  std::set<std::size_t> kinds;
  bool poison = false;
};

// What a recipe's closeness comes to once every colorant has to earn its place.
double charged(const Ranked& r) {
  return r.recipe.closeness + earned_by_a_colorant * static_cast<double>(r.recipe.pours.size());
}

double rank_value(const Ranked& r, RankBy by) {
  switch (by) {
    case RankBy::closeness:
      return charged(r);
    case RankBy::metamerism:
      return r.recipe.metamerism;
    case RankBy::colorants:
      return static_cast<double>(r.recipe.pours.size());
    case RankBy::scarce_stock:
      return r.recipe.scarce_share;
    case RankBy::hiding:
      return -r.recipe.contrast_ratio;
  }
  return 0;
}

void sort_by(std::vector<Ranked>& list, RankBy by) {
  std::stable_sort(list.begin(), list.end(), [by](const Ranked& a, const Ranked& b) {
    return std::pair{rank_value(a, by), charged(a)} < std::pair{rank_value(b, by), charged(b)};
  });
}

// The same colorants, from whichever of two tins of one kind.
bool same_colorants(const Ranked& a, const Ranked& b) { return a.kinds == b.kinds; }

// Of each tin the first on the shelf that is of its kind.
std::vector<std::size_t> kinds_of(const std::vector<Tin>& shelf) {
  std::vector<std::size_t> kinds;
  for (const Tin& t : shelf)
    kinds.push_back(static_cast<std::size_t>(std::find_if(shelf.begin(), shelf.end(),
                                                          [&](const Tin& o) {
                                                            return o.absorption_per_m.at == t.absorption_per_m.at &&
                                                                   o.scattering_per_m.at == t.scattering_per_m.at &&
                                                                   o.dry_volume_m3_per_kg == t.dry_volume_m3_per_kg;
                                                          }) -
                                             shelf.begin()));
  return kinds;
}

// A candidate without what the scale would round to nothing.
Candidate weighable(const RecipeMaking& making, Candidate candidate) {
  while (candidate.count > 1) {
    const std::vector<double> mass_kg = rounded_masses(making, candidate, making.weighing.batch_kg);
    Candidate kept;
    float sum = 0;
    for (std::size_t j = 0; j < mass_kg.size(); ++j) {
      if (!(mass_kg[j] > 0)) continue;
      const auto k = static_cast<std::size_t>(kept.count++);
      kept.which[k] = candidate.which[j], sum += kept.share[k] = candidate.share[j];
    }
    if (kept.count == candidate.count) return candidate;
    float room = 0;
    for (std::size_t k = 0; k < static_cast<std::size_t>(kept.count); ++k)
      kept.share[k] /= sum, room += making.problem.highest[kept.which[k]];
    if (room < 1.001f) return candidate;  // the others cannot fill the batch
    for (std::size_t k = 0; k < static_cast<std::size_t>(kept.count); ++k)
      if (kept.share[k] > making.problem.highest[kept.which[k]]) return candidate;
    candidate = approached(making.problem, kept);
  }
  return candidate;
}

Ranked ranked(const RecipeMaking& making, const std::vector<std::size_t>& kinds, const Candidate& searched) {
  const Candidate candidate = weighable(making, searched);
  Ranked r{recipe_of(making, candidate), candidate, {}, false};
  for (const Pour& p : r.recipe.pours) r.kinds.insert(kinds[p.tin]), r.poison |= making.shelf[p.tin].poison;
  return r;
}

// The first choice, the best of each other kind that is about as close, then the next ones. What holds a poisonous
// metal is not for spraying: it is no answer while there is another, and is told only where it comes visibly closer.
std::vector<Ranked> chosen(std::vector<Ranked> pool, const MatchChoice& choice, bool scarce, bool lamps) {
  sort_by(pool, RankBy::closeness);
  const auto poisoned = std::stable_partition(pool.begin(), pool.end(), [](const Ranked& r) { return !r.poison; });
  std::optional<Ranked> closer;
  if (poisoned != pool.begin()) {
    if (poisoned != pool.end()) closer = *poisoned;
    pool.erase(poisoned, pool.end());
  }
  const double closest = std::min_element(pool.begin(), pool.end(), [](const Ranked& a, const Ranked& b) {
                           return a.recipe.closeness < b.recipe.closeness;
                         })->recipe.closeness;
  std::vector<Ranked> near{pool[0]};
  for (std::size_t i = 1; i < pool.size(); ++i)
    if (pool[i].recipe.closeness <= closest + about_as_close) near.push_back(pool[i]);
  std::vector<Ranked> list;
  const auto take = [&](const Ranked& r, const char* what) {
    const auto same =
        std::find_if(list.begin(), list.end(), [&](const Ranked& other) { return same_colorants(r, other); });
    if (same != list.end()) {
      if (*what) same->recipe.chosen_for += fmt::format(", {}", what);
    } else if (list.size() < static_cast<std::size_t>(choice.answers)) {
      list.push_back(r);
      list.back().recipe.chosen_for = *what ? what : "next";
    }
  };
  // The best of a kind, where it is better than the first choice by what is worth a recipe of its own.
  const auto best_by = [&](const auto& value, double worth, const char* what) {
    const Ranked& best = *std::min_element(near.begin(), near.end(), [&](const Ranked& a, const Ranked& b) {
      return std::pair{value(a), charged(a)} < std::pair{value(b), charged(b)};
    });
    take(value(best) < value(near[0]) - worth ? best : near[0], what);
  };
  take(near[0],
       near[0].recipe.closeness <= closest + as_close_as_any ? "first choice, as close as any" : "first choice");
  if (near[0].recipe.closeness > closest + as_close_as_any)
    best_by([](const Ranked& r) { return r.recipe.closeness; }, as_close_as_any, "closest");
  const auto by = [](RankBy what) { return [what](const Ranked& r) { return rank_value(r, what); }; };
  best_by(by(RankBy::colorants), 0, "fewest colorants");
  if (lamps) best_by(by(RankBy::metamerism), 0.1, "least metameric");
  if (scarce) best_by(by(RankBy::scarce_stock), 0.01, "uses least scarce stock");
  best_by(by(RankBy::hiding), 0.002, "best hiding");
  // A recipe told already with a dash of something more, which does not earn its place, is no further answer.
  const auto only_more = [&](const Ranked& r) {
    return std::any_of(list.begin(), list.end(), [&](const Ranked& other) {
      return charged(other) <= charged(r) &&
             std::includes(r.kinds.begin(), r.kinds.end(), other.kinds.begin(), other.kinds.end());
    });
  };
  for (const Ranked& r : pool)
    if (r.recipe.closeness <= closest + still_of_use && !only_more(r)) take(r, "");
  sort_by(list, choice.rank_by);
  if (closer && closer->recipe.closeness < closest - about_as_close) {
    if (list.size() == static_cast<std::size_t>(choice.answers) && list.size() > 1) list.pop_back();
    closer->recipe.chosen_for = "closer, but not for spraying";
    list.push_back(std::move(*closer));
  }
  return list;
}

std::size_t subsets(std::size_t n, int most) {
  std::size_t total = 0, ways = 1;
  for (std::size_t k = 1; k <= static_cast<std::size_t>(most) && k <= n; ++k) total += ways = ways * (n - k + 1) / k;
  return total;
}

void note(Match& found, const std::vector<Tin>& shelf, const Aim& aim, const LaidFilm& laying) {
  const auto add = [&](Severity s, std::string text, std::string about) {
    found.notes.push_back({s, std::move(text), std::move(about)});
  };
  note_left_out(found.notes, shelf);
  note_above_white(found.notes, aim.reflectance, "target");
  note_above_white(found.notes, laying.ground, "ground");
  for (const auto& [what, read, wood] :
       {std::tuple{"ground", &laying.ground, laying.ground_is_wood}, std::tuple{"target", &aim.reflectance, false}}) {
    const double face = wood ? 0 : aim.specular_share * laying.face.outside;
    const double darkest = *std::min_element(read->at.begin(), read->at.end());
    if (darkest < face - 0.005)
      add(Severity::caution,
          fmt::format("The {} reads {:.3f} where the face alone reflects {:.3f}: specular excluded, or a matt surface? "
                      "It is treated as black there.",
                      what, darkest, face),
          what);
  }
  if (aim.lamps.size() == 1)
    add(Severity::caution,
        "Only one lamp is named: a match under it may fail under another. Name the lamps the instrument is seen under.",
        "lamps");
  add(Severity::information, "Lacquer changes colour as it dries. Judge dry panels, under every lamp named.", "");
}

}  // namespace

Result<Match> match(const std::vector<Tin>& shelf, const Aim& aim, const LaidFilm& laying, const Weighing& weighing,
                    const MatchChoice& choice) {
  std::vector<Error> faults = faults_of(shelf, aim, laying, weighing);
  if (choice.most_colorants < 1 || choice.most_colorants > most_in_recipe)
    faults.push_back({"how many colorants a recipe may hold", {"", 0, 0, "most_colorants"}, "1 to 5", ""});
  if (choice.answers < 1) faults.push_back({"the number of answers is zero", {"", 0, 0, "answers"}, "1 or more", ""});
  if (!faults.empty()) return faults;

  const SearchProblem problem = problem_of(shelf, aim, laying, weighing.batch_kg);
  const std::vector<Candidate> candidates = search(problem, choice.most_colorants, kept);
  if (candidates.empty())
    return Error{fmt::format("no {} colorants together fill the batch", choice.most_colorants),
                 {"", 0, 0, "batch_g"},
                 "a batch that up to five tins can fill",
                 "mix less"};

  Match found;
  found.subsets = subsets(shelf.size(), choice.most_colorants);
  const RecipeMaking making{shelf, aim, laying, weighing, problem};
  // The closest, and of the rest those that hold fewest colorants come in any case.
  std::vector<Candidate> pool(
      candidates.begin(), candidates.begin() + static_cast<std::ptrdiff_t>(std::min(looked_into, candidates.size())));
  const double limit = candidates[0].closeness(aim.closeness) + about_as_close;
  for (std::size_t i = pool.size(); i < candidates.size(); ++i)
    if (candidates[i].count < candidates[0].count && candidates[i].closeness(aim.closeness) <= limit)
      pool.push_back(candidates[i]);
  if (std::any_of(shelf.begin(), shelf.end(), [](const Tin& t) { return t.poison; })) {
    SearchProblem clean = problem;
    for (std::size_t i = 0; i < shelf.size(); ++i)
      if (shelf[i].poison) clean.highest[i] = 0;
    const std::vector<Candidate> without = search(clean, choice.most_colorants, looked_into);
    pool.insert(pool.end(), without.begin(), without.end());
  }
  std::vector<Ranked> list;
  const std::vector<std::size_t> kinds = kinds_of(shelf);
  for (const Candidate& c : pool) list.push_back(ranked(making, kinds, c));
  const bool scarce = std::any_of(shelf.begin(), shelf.end(), [](const Tin& t) { return t.irreplaceable; });
  list = chosen(std::move(list), choice, scarce, aim.lamps.size() > 1);
  const Candidate first = list[0].candidate;
  for (Ranked& r : list) found.recipes.push_back(std::move(r.recipe));
  say_why(found, shelf, aim, laying, weighing.batch_kg, first);
  note(found, shelf, aim, laying);
  return found;
}

}  // namespace witnessline::match
