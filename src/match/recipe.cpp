#include "match/recipe.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

#include "colour/metamerism.h"
#include "optics/kubelka_munk.h"

namespace witnessline::match {

namespace {

// Masses whole on the shelf's order.
std::vector<double> on_shelf(const Candidate& candidate, const std::vector<double>& mass_kg, std::size_t tins) {
  std::vector<double> all(tins, 0.0);
  for (std::size_t j = 0; j < mass_kg.size(); ++j) all[candidate.which[j]] = mass_kg[j];
  return all;
}

std::vector<double> exact_masses(const Candidate& candidate, double batch_kg) {
  std::vector<double> mass_kg;
  for (std::size_t j = 0; j < static_cast<std::size_t>(candidate.count); ++j)
    mass_kg.push_back(static_cast<double>(candidate.share[j]) * batch_kg);
  return mass_kg;
}

// Fewer steps of the scale than this, and a weighing is a guess. ESTIMATE: half a step is then a tenth of it.
constexpr double least_steps = 5;

// Up to the next figure that is easily said and poured.
double round_figure_kg(double kg) {
  const double decade = std::pow(10.0, std::floor(std::log10(kg) + 1e-9));
  for (const double figure : {1.0, 1.2, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0})
    if (kg <= figure * decade * (1 + 1e-9)) return figure * decade;
  return 10 * decade;
}

struct SmallestBatch {
  double kg = 0;
  std::string why;
};

SmallestBatch smallest_batch(const RecipeMaking& making, const Candidate& candidate, double exact) {
  const auto& [shelf, aim, laying, weighing, problem] = making;
  const auto too_small = [&, &weighing = weighing](double batch_kg) {
    return half_step_closeness(making, candidate, batch_kg) > exact + weighing.allowed_delta_e;
  };
  double low = std::log(2 * weighing.step_kg), high = std::log(1e5 * weighing.step_kg);
  while (too_small(std::exp(high)) && high < 30) low = high, high += std::log(10);
  while (high - low > 0.01) {
    const double middle = (low + high) / 2;
    (too_small(std::exp(middle)) ? low : high) = middle;
  }
  const double by_half_steps_kg = std::exp(high);
  const auto end = candidate.share.begin() + candidate.count;
  const auto least = std::min_element(candidate.share.begin(), end);
  const Tin& strong = shelf[candidate.which[static_cast<std::size_t>(least - candidate.share.begin())]];
  const double by_mass_kg = least_steps * weighing.step_kg / static_cast<double>(*least);

  const double kg = round_figure_kg(std::max(by_half_steps_kg, by_mass_kg));
  const std::string reason =
      by_mass_kg > by_half_steps_kg
          ? fmt::format("{} is then {:g} steps of the scale", strong.name, least_steps)
          : fmt::format("half a step in every weighing then costs {:g} Delta E", weighing.allowed_delta_e);
  for (std::size_t j = 0; j < static_cast<std::size_t>(candidate.count); ++j) {
    const double wanted_kg = static_cast<double>(candidate.share[j]) * kg;
    const Tin& tin = shelf[candidate.which[j]];
    if (wanted_kg > tin.left_kg + weighing.step_kg)
      return {0,
              fmt::format("it would be {:.4g} g, where {}, and that takes {:.4g} g of {} of which {:.4g} g are left: "
                          "let {} down with clear before it is weighed, or use a finer scale",
                          1e3 * kg, reason, 1e3 * wanted_kg, tin.name, 1e3 * tin.left_kg, strong.name)};
  }
  return {kg, reason};
}

// ISO 6504-3 lays films on charts of Y below 5 and of 80 plus or minus 2 (memory).
constexpr double white_chart = 0.80;

}  // namespace

ContrastPanel contrast_panel(const ColorantDepths& film, AirFace face, double specular_share) {
  ContrastPanel panel;
  const double light = inside_of(white_chart, face, 1);
  for (int b = 0; b < bands; ++b) {
    const FilmOptics optics = film_optics({film.absorption[b], film.scattering[b]});
    panel.black[b] = seen_outside(optics.reflectance, face, specular_share);
    panel.white[b] = seen_outside(over_ground(optics, light), face, specular_share);
  }
  return panel;
}

double contrast_ratio(const ColorantDepths& film, AirFace face) {
  const ContrastPanel panel = contrast_panel(film, face, 1);
  return to_xyz(panel.black, Lamp::D65, Observer::deg10).y / to_xyz(panel.white, Lamp::D65, Observer::deg10).y;
}

std::optional<double> hiding_film(const Spectrum& absorption_per_m, const Spectrum& scattering_per_m, AirFace face,
                                  double wanted) {
  const auto hides = [&](double film_m) {
    ColorantDepths film;
    for (int b = 0; b < bands; ++b)
      film.absorption[b] = absorption_per_m[b] * film_m, film.scattering[b] = scattering_per_m[b] * film_m;
    return contrast_ratio(film, face) >= wanted;
  };
  double low = std::log(1e-8), high = std::log(1e-3);
  if (!hides(std::exp(high))) return std::nullopt;
  while (high - low > 1e-4) {
    const double middle = (low + high) / 2;
    (hides(std::exp(middle)) ? high : low) = middle;
  }
  return std::exp(high);
}

double closeness_of(const RecipeMaking& making, const Candidate& candidate, const std::vector<double>& mass_kg) {
  Candidate moved = candidate;
  const double sum = std::accumulate(mass_kg.begin(), mass_kg.end(), 0.0);
  for (std::size_t j = 0; j < mass_kg.size(); ++j) moved.share[j] = static_cast<float>(mass_kg[j] / sum);
  const std::vector<float> delta_e = differences(making.problem, moved);
  if (making.aim.closeness == Closeness::worst) return *std::max_element(delta_e.begin(), delta_e.end());
  double squares = 0;
  for (std::size_t v = 0; v < delta_e.size(); ++v) squares += making.problem.weight[v] * delta_e[v] * delta_e[v];
  return std::sqrt(squares);
}

std::vector<double> rounded_masses(const RecipeMaking& making, const Candidate& candidate, double batch_kg) {
  const double step = making.weighing.step_kg, whole = std::round(batch_kg / step) * step;
  const std::vector<double> exact = exact_masses(candidate, batch_kg);
  std::vector<double> best;
  double least = std::numeric_limits<double>::infinity();
  bool best_whole = false;
  for (unsigned up = 0; up < 1u << exact.size(); ++up) {
    std::vector<double> mass_kg = exact;
    bool there = true;
    double sum = 0;
    for (std::size_t j = 0; j < exact.size(); ++j) {
      mass_kg[j] =
          (std::floor(std::min(exact[j], making.shelf[candidate.which[j]].left_kg) / step) + (up >> j & 1u)) * step;
      // A share on its bound is single precision: a thousandth of a step is no lack.
      there = there && mass_kg[j] <= making.shelf[candidate.which[j]].left_kg + 1e-3 * step;
      sum += mass_kg[j];
    }
    if (!there || !(sum > 0)) continue;
    // The batch that was asked for, to the step, wherever the stock allows.
    const bool is_whole = std::abs(sum - whole) < 0.5 * step;
    if (best_whole && !is_whole) continue;
    const double closeness = closeness_of(making, candidate, mass_kg);
    if (closeness < least || (is_whole && !best_whole)) least = closeness, best = mass_kg, best_whole = is_whole;
  }
  expects(!best.empty(), "rounded down there is always enough");
  return best;
}

double half_step_closeness(const RecipeMaking& making, const Candidate& candidate, double batch_kg) {
  const std::vector<double> exact = exact_masses(candidate, batch_kg);
  double worst = 0;
  for (unsigned up = 0; up < 1u << exact.size(); ++up) {
    std::vector<double> mass_kg = exact;
    double sum = 0;
    for (std::size_t j = 0; j < exact.size(); ++j)
      sum += mass_kg[j] = std::max(0.0, exact[j] + ((up >> j & 1u) ? 0.5 : -0.5) * making.weighing.step_kg);
    if (sum > 0) worst = std::max(worst, closeness_of(making, candidate, mass_kg));
  }
  return worst;
}

Recipe recipe_of(const RecipeMaking& making, const Candidate& candidate) {
  const auto& [shelf, aim, laying, weighing, problem] = making;
  Recipe r;
  const std::vector<double> exact_kg = exact_masses(candidate, weighing.batch_kg);
  const std::vector<double> mass_kg = rounded_masses(making, candidate, weighing.batch_kg);
  for (std::size_t j = 0; j < mass_kg.size(); ++j)
    if (mass_kg[j] > 0) r.pours.push_back({candidate.which[j], mass_kg[j], exact_kg[j], 0});
  // Largest first: an overshoot of a strong colorant cannot be taken out, so it goes in last, by drops.
  // Source: common_practice.
  std::stable_sort(r.pours.begin(), r.pours.end(), [](const Pour& a, const Pour& b) { return a.mass_kg > b.mass_kg; });
  for (Pour& p : r.pours) {
    const Tin& tin = shelf[p.tin];
    r.batch_kg += p.mass_kg;
    p.running_kg = r.batch_kg;
    r.price += p.mass_kg * tin.price_per_kg;
    if (tin.irreplaceable && tin.left_kg > 0) r.scarce_share = std::max(r.scarce_share, p.mass_kg / tin.left_kg);
  }

  const auto seen = [&, &shelf = shelf, &laying = laying, &aim = aim](const std::vector<double>& masses, bool aged) {
    return laid(mixed_tins(shelf, on_shelf(candidate, masses, shelf.size())), laying, aim.specular_share, aged);
  };
  const std::size_t count = views_that_count(aim, laying).size();
  r.reflectance = seen(mass_kg, false), r.reflectance_aged = seen(mass_kg, true);
  r.views = differences(all_views(aim, laying), aim, r.reflectance, r.reflectance_aged);
  r.closeness = closeness_of(r.views, count, aim);
  r.exact_closeness =
      closeness_of(differences(all_views(aim, laying), aim, seen(exact_kg, false), seen(exact_kg, true)), count, aim);
  r.half_step_closeness = half_step_closeness(making, candidate, weighing.batch_kg);
  const SmallestBatch smallest = smallest_batch(making, candidate, r.exact_closeness);
  r.smallest_batch_kg = smallest.kg, r.smallest_batch_why = smallest.why;
  double worst = 0;
  for (std::size_t v = 0; v < count; ++v) worst = std::max(worst, r.views[v].delta_e);
  r.verdict = verdict_on(worst);
  for (std::size_t l = 1; l < aim.lamps.size(); ++l)
    r.metamerism = std::max(
        r.metamerism,
        special_metamerism_index(aim.reflectance, aim.when == MatchWhen::as_aged ? r.reflectance_aged : r.reflectance,
                                 aim.lamps[0].lamp, aim.lamps[l].lamp, aim.observer));

  const MixedTins mixed = mixed_tins(shelf, on_shelf(candidate, mass_kg, shelf.size()));
  ColorantDepths film;
  for (int b = 0; b < bands; ++b) {
    film.absorption[b] = mixed.absorption_per_m[b] * laying.film_m;
    film.scattering[b] = mixed.scattering_per_m[b] * laying.film_m;
  }
  r.contrast_ratio = contrast_ratio(film, laying.face);
  r.over_chart = contrast_panel(film, laying.face, aim.specular_share);
  r.hiding_film_m = hiding_film(mixed.absorption_per_m, mixed.scattering_per_m, laying.face);
  if (r.hiding_film_m) r.hiding_coats = static_cast<int>(std::ceil(*r.hiding_film_m / laying.coat_m - 1e-9));
  return r;
}

}  // namespace witnessline::match
