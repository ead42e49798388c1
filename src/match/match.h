// Which colorants of a shelf, and how many grams of each, come nearest to a colour.
#pragma once

#include <limits>
#include <optional>
#include <string>
#include <vector>

#include "base/result.h"
#include "match/in_words.h"
#include "match/search.h"

namespace witnessline::match {

/// A colorant on the shelf.
struct Tin {
  std::string name;
  Spectrum absorption_per_m, scattering_per_m;  ///< K and S of its dry film
  double dry_volume_m3_per_kg = 0;              ///< dry film a kilogram of it leaves
  double left_kg = std::numeric_limits<double>::infinity();
  double price_per_kg = 0;     ///< in the shop's own currency; 0: not given
  bool irreplaceable = false;  ///< there will never be more
  bool poison = false;         ///< holds lead or another poisonous metal: not for spraying
  bool separated = true;       ///< false: K and S of it could not be told apart, so it cannot be used
};

/// When a match has to hold.
enum class MatchWhen { on_the_day, as_aged, both };
constexpr auto words(const MatchWhen*) { return std::array{"on_the_day", "as_aged", "both"}; }

struct LampWeight {
  Lamp lamp = Lamp::D65;
  double weight = 1;
};

/// The colour to be met.
struct Aim {
  Reflectance reflectance;
  double specular_share = 1;      ///< of the face's own reflection its reading holds: 1 included, 0 excluded
  std::vector<LampWeight> lamps;  ///< the first is the one metamerism is counted from
  Observer observer = Observer::deg10;
  Closeness closeness = Closeness::worst;
  MatchWhen when = MatchWhen::on_the_day;
};

/// A clear that will lie on the colour: it absorbs, and does not scatter.
struct ClearAbove {
  Spectrum absorption_per_m, yellowing_per_m;
  double thickness_m = 0;
  double yellowing_on_the_day = 0, yellowing_as_aged = 0;  ///< units of yellowing() (optics/yellowing.h)
};

/// What the colour is laid over, how thick, and under what.
struct LaidFilm {
  Reflectance ground;           ///< as read, face included
  bool ground_is_wood = false;  ///< bare wood, see body_of_bare_wood
  double film_m = 0;            ///< dry film of the colour
  double film_log_sd = 0.15;    ///< how well a hand keeps to it (log-normal). ESTIMATE
  double coat_m = 0;            ///< dry film one coat leaves
  AirFace face;                 ///< of the finished surface
  std::optional<ClearAbove> clear;
};

struct Weighing {
  double batch_kg = 0;
  double step_kg = 0;            ///< resolution of the scale
  double allowed_delta_e = 0.2;  ///< what half a step in every weighing may cost
};

/// What answers are put in order by.
enum class RankBy { closeness, metamerism, colorants, scarce_stock, hiding };
constexpr auto words(const RankBy*) {
  return std::array{"closeness", "metamerism", "colorants", "scarce_stock", "hiding"};
}

struct MatchChoice {
  int most_colorants = most_in_recipe;
  int answers = 5;
  RankBy rank_by = RankBy::closeness;
};

struct Pour {
  std::size_t tin = 0;
  double mass_kg = 0;     ///< rounded to the scale
  double exact_kg = 0;    ///< before rounding
  double running_kg = 0;  ///< what the scale shows after it, not set to zero in between
};

struct ViewDifference {
  View view;
  Lab aim, lab;
  double delta_e = 0;
};

/// The planned film, without the clear, over the black and the white of a contrast chart.
struct ContrastPanel {
  Reflectance black, white;
};

struct Recipe {
  std::string chosen_for;   ///< "first choice, best hiding"
  std::vector<Pour> pours;  ///< in weighing order: largest first, so that the strong ones go in by drops at the end
  double batch_kg = 0;      ///< as rounded
  std::vector<ViewDifference> views;    ///< as rounded, every lamp on the day, then as aged where a clear lies on it
  double closeness = 0;                 ///< as rounded, over the views that count
  double exact_closeness = 0;           ///< before rounding
  double half_step_closeness = 0;       ///< with every weighing off by half a step, at the worst
  double smallest_batch_kg = 0;         ///< that can be weighed, see least_steps; 0: none that the shelf can fill
  std::string smallest_batch_why;       ///< what sets it, or why there is none: a plain clause
  double metamerism = 0;                ///< largest special index from the first lamp
  double scarce_share = 0;              ///< largest share of what is left that it takes of an irreplaceable tin
  double price = 0;                     ///< of the tins whose price is given
  double contrast_ratio = 0;            ///< of the planned film [1]
  std::optional<double> hiding_film_m;  ///< dry film of contrast ratio 0.98; none: no film up to 1 mm hides
  int hiding_coats = 0;                 ///< coats of that; 0: none hides
  Verdict verdict{};                    ///< of the worst view that counts
  Reflectance reflectance, reflectance_aged;
  ContrastPanel over_chart;
};

/// How close it would come without one of the limits.
struct Limit {
  std::string without;  ///< "the stock on the shelf"
  double closeness = 0;
};

struct Match {
  std::vector<Recipe> recipes;  ///< at least one; a further colorant must earn 0.1 Delta E
  std::string why_not_closer;   ///< one sentence
  std::vector<Limit> limits;
  std::size_t subsets = 0;  ///< looked at
  std::vector<Note> notes;
};

/// The best recipes for `aim`. Law: see search() and LaidFilm. Valid: tins of one kind of binder; opaque and
/// translucent films without flakes. Departs: crowding of pigments; no change of index under the clear. Errors: no
/// lamp, more than 40 tins or none, an aim that is no reflectance, stock or weights below zero, a film without
/// thickness, a batch the shelf cannot fill. Each names its key.
Result<Match> match(const std::vector<Tin>&, const Aim&, const LaidFilm&, const Weighing&, const MatchChoice& = {});

/// Y over black divided by Y over a white of 0.80 [1].
/// Source: iso6504_3. Valid: films under lamp D65, 10 degree; what is asked for there is 0.98.
double contrast_ratio(const ColorantDepths& film, AirFace);
/// As read with `specular_share` of the face's own reflection. Charts: as contrast_ratio().
ContrastPanel contrast_panel(const ColorantDepths& film, AirFace, double specular_share);
/// The thinnest film [m] that reaches `wanted`, of K and S per metre. None: not within 1 mm.
std::optional<double> hiding_film(const Spectrum& absorption_per_m, const Spectrum& scattering_per_m, AirFace,
                                  double wanted = 0.98);

}  // namespace witnessline::match
