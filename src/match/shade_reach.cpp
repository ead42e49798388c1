// How far films that darken can go on a ground, what a film does to it, and whether it hides it.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "match/least_difference.h"
#include "match/shade.h"

namespace witnessline::match {

namespace {

// Reading that differs by less may be noise [1].
constexpr double band_tolerance = 0.01;  // ESTIMATE: repeatability between two placings of a bench instrument

// What the ground is for the target, by what a dye made for it would still miss.
std::string obstacle(const Lab& target, const Lab& reached) {
  const double darker = target.l - reached.l, redder = reached.a - target.a, yellower = reached.b - target.b;
  const bool red_first = std::abs(redder) > std::abs(yellower);
  const double off = std::max(std::abs(redder), std::abs(yellower));
  const std::string hue =
      red_first ? (redder > 0 ? "too red" : "too green") : (yellower > 0 ? "too yellow" : "too blue");
  // What is darker is duller as well, so a hue counts only where it is the larger part.
  if (darker >= off) return "too dark";
  return darker > off / 2 ? hue + " and too dark" : hue;
}

}  // namespace

ShadeReach reach_of(const ShadeAsk& ask) {
  ShadeReach reach;
  const std::vector<Lab> target = colours(ask.target, ask);
  reach.lightest = shaded(ask, {});
  for (int b = 0; b < bands; ++b) reach.perfect[b] = std::min(reach.lightest[b], ask.target[b]);
  reach.ground_delta_e = mean_difference(colours(reach.lightest, ask), target);
  reach.perfect_delta_e = mean_difference(colours(reach.perfect, ask), target);
  if (reach.perfect_delta_e > 1)
    reach.obstacle = obstacle(target[0], to_lab(reach.perfect, ask.lamps[0], ask.observer));
  reach.wanting = excesses(ask.target, reach.lightest, band_tolerance);
  for (const Excess& e : reach.wanting) {
    const auto band = static_cast<int>(std::lround((e.most_at_nm - first_band_nm) / band_step_nm));
    reach.why.push_back(fmt::format(
        "At {} the target reflects more light than this ground can: at {:.0f} nm {:.0f} % against {:.0f} % at "
        "most. A toner can only darken.",
        range_in_words(e), e.most_at_nm, 100 * ask.target[band], 100 * reach.lightest[band]));
  }
  if (reach.perfect_delta_e > 1)
    reach.why.push_back(
        fmt::format("Even a perfect dye for this ground would stay {:.1f} Delta E away: the "
                    "ground is {}. Lighten it first (bleach, clean, or spray a thin opaque coat), or choose another "
                    "target.",
                    reach.perfect_delta_e, reach.obstacle));
  return reach;
}

FilmEffect effect_of(const Ground& ground, const std::vector<ColumnCoat>& film, const std::string& film_name, Lamp lamp,
                     Observer observer, const Geometry& geometry) {
  std::vector<ColumnCoat> coats = ground.coats;
  const Reflectance before = reflectance(coats, ground.bare, {}, geometry);
  coats.insert(coats.end(), film.begin(), film.end());
  const Reflectance after = reflectance(coats, ground.bare, {}, geometry);
  FilmEffect effect{to_lab(before, lamp, observer), to_lab(after, lamp, observer), 0, "", false};
  effect.delta_e = delta_e_2000(effect.before, effect.after);
  const std::string was = hue_word(effect.before), is = hue_word(effect.after);
  effect.hue_turns = was != is && effect.delta_e > 1;
  // Light lost to the film beyond what its new air face takes: named where it is most.
  double most = 0, at_nm = band_nm(0);
  for (int b = 2; b < 33; ++b)
    if (before[b] > 0.01 && 1 - after[b] / before[b] > most) most = 1 - after[b] / before[b], at_nm = band_nm(b);
  effect.says = fmt::format(
      "{} changes the ground by {:.1f} Delta E, L* {:.0f} to {:.0f}, b* {:.0f} to {:.0f}; {}. It absorbs most at "
      "{:.0f} "
      "nm "
      "({}): {:.0f} % of the light that came back there.",
      film_name, effect.delta_e, effect.before.l, effect.after.l, effect.before.b, effect.after.b,
      effect.hue_turns ? was + " turns " + is : "it stays " + is, at_nm, light_word(at_nm), 100 * most);
  return effect;
}

Hiding hiding_of(const std::vector<ColumnCoat>& films, const Geometry& geometry) {
  constexpr double white = 0.8, hidden = 0.02, thickest_m = 300e-6;
  const double air_to_white = to_xyz(flat_reflectance(white), Lamp::D65, Observer::deg10).y;
  const auto through = [&](double times) {
    std::vector<ColumnCoat> coats = films;
    for (ColumnCoat& coat : coats) coat.thickness_m *= times;
    const auto y = [&](double ground) {
      return to_xyz(reflectance(coats, flat_reflectance(ground), {}, geometry), Lamp::D65, Observer::deg10).y;
    };
    return std::clamp((y(white) - y(0)) / air_to_white, 0.0, 1.0);
  };
  Hiding found;
  for (const ColumnCoat& coat : films) found.film_m += coat.thickness_m;
  found.through = films.empty() ? 1 : through(1);
  if (films.empty() || through(thickest_m / found.film_m) > hidden) return found;
  double low = 0, high = thickest_m / found.film_m;
  for (int i = 0; i < 40; ++i) {
    const double middle = 0.5 * (low + high);
    (through(middle) > hidden ? low : high) = middle;
  }
  found.hides_from_m = high * found.film_m;
  return found;
}

}  // namespace witnessline::match
