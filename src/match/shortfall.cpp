// What keeps the best recipe from being closer: the same aim with one limit taken away at a time.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "match/setting.h"

namespace witnessline::match {

namespace {

constexpr double close_already = 0.3;  // ESTIMATE: below what an instrument repeats on a real panel
constexpr double matters = 0.1;        // ESTIMATE: a gain worth naming
constexpr double thick = 20;           // times the planned film: hides whatever can hide

std::string direction(const ViewDifference& worst) {
  const double dl = worst.aim.l - worst.lab.l, da = worst.aim.a - worst.lab.a, db = worst.aim.b - worst.lab.b;
  std::vector<std::pair<double, const char*>> ways{{std::abs(dl), dl > 0 ? "lighter" : "darker"},
                                                   {std::abs(da), da > 0 ? "redder" : "greener"},
                                                   {std::abs(db), db > 0 ? "yellower" : "bluer"}};
  std::sort(ways.begin(), ways.end(), [](const auto& a, const auto& b) { return a.first > b.first; });
  return ways[1].first > ways[0].first / 2 ? fmt::format("{} and {}", ways[0].second, ways[1].second) : ways[0].second;
}

}  // namespace

void say_why(Match& found, const std::vector<Tin>& all_tins, const Aim& aim, const LaidFilm& laying, double batch_kg,
             const Candidate& best) {
  // What is not for spraying is no way to come closer, unless the recipe itself holds it; that it stays shut is a
  // limit.
  std::vector<Tin> shelf = all_tins;
  bool shut = false, poisoned = false;
  for (std::size_t j = 0; j < static_cast<std::size_t>(best.count); ++j) poisoned |= shelf[best.which[j]].poison;
  for (Tin& t : shelf)
    if (t.poison && !poisoned) t.separated = false, shut = true;
  const double reached = best.closeness(aim.closeness);
  // A match for the day only may be ruined by the years: that is said before anything is sprayed.
  const std::vector<ViewDifference>& views = found.recipes.front().views;
  const auto furthest = std::max_element(views.begin(), views.end(), [](const auto& a, const auto& b) {
    return (a.view.aged ? a.delta_e : 0) < (b.view.aged ? b.delta_e : 0);
  });
  constexpr double ruined = 2;
  if (aim.when == MatchWhen::on_the_day && furthest != views.end() && furthest->view.aged &&
      furthest->delta_e > ruined) {
    ViewDifference turned = *furthest;
    std::swap(turned.aim, turned.lab);
    found.notes.push_back(
        {Severity::caution,
         fmt::format("As the clear over it yellows, the colour turns {}, {:.1f} Delta E off the target. Match for "
                     "as aged or both, or use a clear that does not yellow.",
                     direction(turned), furthest->delta_e),
         "over"});
  }
  std::vector<float> start(shelf.size(), 0.0f);
  for (std::size_t j = 0; j < static_cast<std::size_t>(best.count); ++j) start[best.which[j]] = best.share[j];
  const auto without = [&](const char* what, const SearchProblem& problem) {
    const double closeness = nearest_of_all(problem, start).closeness(aim.closeness);
    found.limits.push_back({what, std::min(closeness, reached)});
  };
  const SearchProblem as_asked = problem_of(shelf, aim, laying, batch_kg);
  without("the limit on the number of colorants", as_asked);
  const double of_all = found.limits[0].closeness;

  SearchProblem full_tins = as_asked;
  bool short_of = false;
  for (std::size_t i = 0; i < shelf.size(); ++i) {
    short_of = short_of || (shelf[i].separated && full_tins.highest[i] < 1);
    full_tins.highest[i] = shelf[i].separated ? 1 : 0;
  }
  if (short_of) without("the limit of the stock", full_tins);
  if (shut) without("leaving out colorants that must not be sprayed", problem_of(all_tins, aim, laying, batch_kg));
  LaidFilm thicker = laying;
  thicker.film_m *= thick;
  without("a film too thin to hide the ground", problem_of(shelf, aim, thicker, batch_kg));
  if (aim.lamps.size() > 1) {
    Aim one = aim;
    one.lamps.resize(1);
    one.lamps[0].weight = 1;
    without("the other lamps", problem_of(shelf, one, laying, batch_kg));
  }
  if (aim.when == MatchWhen::both) {
    Aim day = aim;
    day.when = MatchWhen::on_the_day;
    without("the clear as aged", problem_of(shelf, day, laying, batch_kg));
  }
  if (laying.clear) {
    LaidFilm bare = laying;
    bare.clear.reset();
    Aim day = aim;
    day.when = MatchWhen::on_the_day;
    without("the clear over it", problem_of(shelf, day, bare, batch_kg));
  }

  if (reached <= close_already) {
    found.why_not_closer = fmt::format(
        "It can't usefully come closer: {:.2f} is within the scatter of two readings of one panel.", reached);
    return;
  }
  // The limit to the number of colorants is in every other one's figure too, so the others are held against it.
  const Limit* binding = nullptr;
  for (const Limit& l : found.limits) {
    const double gain = (&l == &found.limits[0] ? reached : of_all) - l.closeness;
    if (gain < std::max(matters, 0.15 * reached)) continue;
    const double most = binding ? (binding == &found.limits[0] ? reached : of_all) - binding->closeness : 0;
    if (gain > most) binding = &l;
  }
  if (binding) {
    found.why_not_closer =
        fmt::format("It comes no closer than {:.2f} because of {}; without that it could reach {:.2f}.", reached,
                    binding->without, binding->closeness);
    return;
  }
  const auto worst = std::max_element(
      found.recipes[0].views.begin(),
      found.recipes[0].views.begin() + static_cast<std::ptrdiff_t>(views_that_count(aim, laying).size()),
      [](const auto& a, const auto& b) { return a.delta_e < b.delta_e; });
  found.why_not_closer =
      fmt::format("These colorants can't reach the target: it is {} than any mixture of them, by {:.2f}.",
                  direction(*worst), reached);
}

}  // namespace witnessline::match
