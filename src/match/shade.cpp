#include "match/shade.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

#include "base/chance.h"
#include "base/random.h"
#include "match/least_difference.h"
#include "materials/coverage.h"
#include "numerics/statistics.h"
#include "optics/face.h"

namespace witnessline::match {

namespace {

constexpr double opaque_to_texture_m = 1e-3;  // a film this thick has an air face of its own everywhere

std::vector<ColumnCoat> laid(const ShadeAsk& ask, const std::vector<ShadeStep>& steps) {
  std::vector<ColumnCoat> coats = ask.ground.coats;
  for (const ColumnCoat& coat : toner_films(ask, steps)) coats.push_back(coat);
  return coats;
}

Reflectance seen(const ShadeAsk& ask, std::vector<ColumnCoat> coats, bool with_clear) {
  if (with_clear) coats.insert(coats.end(), ask.over.begin(), ask.over.end());
  return reflectance(coats, ask.ground.bare, {}, ask.geometry);
}

double difference(const ShadeAsk& ask, const std::vector<ShadeStep>& steps, const std::vector<Lab>& target) {
  return mean_difference(colours(shaded(ask, steps), ask), target);
}

void set_strengths(std::vector<ShadeStep>& steps, const std::vector<double>& strengths) {
  for (std::size_t i = 0; i < steps.size(); ++i) steps[i].strength_kg_m3 = strengths[i];
}

// Strengths nearest to the target for coats as they are.
double fit_strengths(const ShadeAsk& ask, std::vector<ShadeStep>& steps, const std::vector<Lab>& target) {
  std::vector<double> usual, most(steps.size(), ask.most_strength_kg_m3);
  for (const ShadeStep& s : steps) {
    // A usual amount darkens the middle of the spectrum by about a fifth.
    const ColumnCoat coat = toned_coat(ask.toners[s.toner], ask.carrier, ask.laying, 1);
    const ColumnCoat clear = toned_coat(ask.toners[s.toner], ask.carrier, ask.laying, 0);
    double depth = 0;
    for (int b = 4; b < 30; ++b)
      depth +=
          (coat.optics.absorption_per_m[b] * coat.thickness_m - clear.optics.absorption_per_m[b] * clear.thickness_m +
           coat.optics.scattering_per_m[b] * coat.thickness_m) *
          s.coats / 26;
    usual.push_back(std::clamp(0.1 / std::max(depth, 1e-9), 1e-3 * ask.most_strength_kg_m3, ask.most_strength_kg_m3));
  }
  std::vector<ShadeStep> trial = steps;
  set_strengths(steps, nearest_amounts(
                           [&](const std::vector<double>& strengths) {
                             set_strengths(trial, strengths);
                             return colours(shaded(ask, trial), ask);
                           },
                           target, usual, most));
  return difference(ask, steps, target);
}

// How far one toner's coats move the colour.
double moved_by(const ShadeAsk& ask, std::vector<ShadeStep> steps, std::size_t which) {
  const std::vector<Lab> with = colours(shaded(ask, steps), ask);
  steps[which].coats = 0;
  return mean_difference(colours(shaded(ask, steps), ask), with);
}

// Whole coats that a hand can steer, strengths a scale can weigh.
ShadeRecipe realised(const ShadeAsk& ask, std::vector<ShadeStep> steps, const std::vector<Lab>& target) {
  for (int round = 0; round < 5; ++round) {
    for (std::size_t i = 0; i < steps.size(); ++i) {
      ShadeStep& s = steps[i];
      if (s.strength_kg_m3 == 0) continue;
      int coats = static_cast<int>(std::ceil(moved_by(ask, steps, i) / ask.coat_delta_e - 1e-6));
      // Never fewer than hold so much dye at the greatest strength.
      coats = std::max(coats, static_cast<int>(std::ceil(s.coats * s.strength_kg_m3 / ask.most_strength_kg_m3 - 1e-6)));
      if (s.strength_kg_m3 >= 0.98 * ask.most_strength_kg_m3) coats = std::max(coats, 2 * s.coats);
      s.coats = std::clamp(coats, 1, ask.most_coats);
    }
    std::erase_if(steps, [](const ShadeStep& s) { return s.strength_kg_m3 == 0; });
    fit_strengths(ask, steps, target);
  }
  std::erase_if(steps, [](const ShadeStep& s) { return s.strength_kg_m3 == 0; });
  ShadeRecipe recipe;
  recipe.exact_delta_e = difference(ask, steps, target);

  // Rounded up or down, whichever way together comes nearest.
  const std::vector<ShadeStep> exact = steps;
  double least = 1e300;
  for (unsigned up = 0; up < (1u << exact.size()); ++up) {
    std::vector<ShadeStep> rounded = exact;
    for (std::size_t i = 0; i < rounded.size(); ++i) {
      const double in_steps = std::floor(exact[i].strength_kg_m3 / ask.strength_step_kg_m3 + 1e-9) + ((up >> i) & 1u);
      rounded[i].strength_kg_m3 = std::min(in_steps * ask.strength_step_kg_m3, ask.most_strength_kg_m3);
    }
    const double off = difference(ask, rounded, target);
    if (off < least) least = off, steps = rounded;
  }
  std::erase_if(steps, [](const ShadeStep& s) { return s.strength_kg_m3 == 0; });

  std::vector<std::pair<double, ShadeStep>> ordered;
  for (ShadeStep s : steps) {
    s.dry_m = toned_coat(ask.toners[s.toner], ask.carrier, ask.laying, s.strength_kg_m3).thickness_m;
    ordered.emplace_back(to_lab(shaded(ask, {s}), ask.lamps[0], ask.observer).l, s);
  }
  std::stable_sort(ordered.begin(), ordered.end(), [](const auto& a, const auto& b) { return a.first > b.first; });
  for (const auto& [lightness, s] : ordered) recipe.steps.push_back(s);

  std::vector<ShadeStep> so_far;
  for (const ShadeStep& s : recipe.steps) {
    so_far.push_back(s);
    for (int coat = 1; coat <= s.coats; ++coat) {
      so_far.back().coats = coat;
      AfterCoat after{s.toner, coat, seen(ask, laid(ask, so_far), false), shaded(ask, so_far), 0};
      after.delta_e = mean_difference(colours(after.under_clear, ask), target);
      recipe.after.push_back(after);
    }
  }
  const std::vector<Lab> reached = colours(shaded(ask, recipe.steps), ask);
  for (std::size_t l = 0; l < reached.size(); ++l) recipe.delta_e.push_back(delta_e_2000(reached[l], target[l]));
  recipe.mean_delta_e = mean_difference(reached, target);
  return recipe;
}

Reflectance shifted(Reflectance r, double by) {
  for (double& v : r.at) v = std::clamp(v + by, 1e-4, 1.0);
  return r;
}

// Ground, target, toners and coats drawn anew: what comes of the recipe sprayed blind.
void say_uncertainty(const ShadeAsk& ask, ShadeRecipe& recipe) {
  constexpr int draws = 400;
  std::vector<double> off;
  for (int d = 0; d < draws; ++d) {
    const Key key = Key{}.with("shade").with(static_cast<std::uint64_t>(d));
    ShadeAsk drawn = ask;
    drawn.ground.bare = shifted(ask.ground.bare, ask.reading_sd * normal(key.with("ground")));
    const Reflectance target = shifted(ask.target, ask.reading_sd * normal(key.with("target")));
    std::vector<ColumnCoat> coats = ask.ground.coats;
    for (std::size_t i = 0; i < recipe.steps.size(); ++i) {
      const ShadeStep& s = recipe.steps[i];
      const Toner& toner = ask.toners[s.toner];
      ColumnCoat coat = toned_coat(toner, ask.carrier, ask.laying, s.strength_kg_m3);
      // Strength by the toner's own uncertainty, film by its coats' scatter.
      const double strength = std::exp(toner.strength_log_sd * normal(key.with(toner.id)));
      for (int b = 0; b < bands; ++b)
        coat.optics.absorption_per_m[b] *= strength, coat.optics.scattering_per_m[b] *= strength;
      double film = 0;
      for (int c = 0; c < s.coats; ++c)
        film += std::exp(ask.laying.landing_log_sd * normal(key.with(i).with(static_cast<std::uint64_t>(c))));
      coat.thickness_m *= film;
      coats.push_back(coat);
    }
    off.push_back(mean_difference(colours(seen(drawn, std::move(coats), true), ask), colours(target, ask)));
  }
  recipe.likely_delta_e = std::accumulate(off.begin(), off.end(), 0.0) / draws;
  recipe.verdict = verdict_on(recipe.likely_delta_e);
  recipe.out_of_reach = verdict_on(recipe.mean_delta_e) == Verdict::another_panel;
  std::sort(off.begin(), off.end());
  recipe.delta_e_low = quantile(off, 0.025), recipe.delta_e_high = quantile(off, 0.975);
  const auto share = [&](double limit) {
    return static_cast<double>(std::upper_bound(off.begin(), off.end(), limit) - off.begin()) / draws;
  };
  recipe.within_1 = bounded_chance(share(1)), recipe.within_2 = bounded_chance(share(2));
}

std::vector<Error> faults_of(const ShadeAsk& ask) {
  std::vector<Error> faults;
  const auto fault = [&](std::string what, std::string expected, std::string fix, const char* key = "") {
    faults.push_back({std::move(what), {"", 0, 0, key}, std::move(expected), std::move(fix)});
  };
  if (ask.toners.empty()) fault("no toner to shade with", "one toner or more", "name those on the shelf", "toners");
  if (ask.lamps.empty()) fault("no lamp to judge under", "one lamp or more", "D65, A and LED-B3 are usual", "lamps");
  const auto positive = [&](double v, const std::string& what) {
    if (!(v > 0) || !std::isfinite(v)) fault(what + " is not above zero", "a number above zero", "");
  };
  positive(ask.laying.wet_m, "the wet film of a coat");
  positive(ask.carrier.density_kg_m3, "the density of " + ask.carrier.id);
  positive(ask.carrier.volume_solids_fraction, "the volume solids of " + ask.carrier.id);
  positive(ask.strength_step_kg_m3, "the step of strength");
  positive(ask.most_strength_kg_m3, "the greatest strength");
  positive(ask.coat_delta_e, "the change a coat may make");
  if (!(ask.laying.thinner_per_part >= 0)) fault("thinner below zero", "0 or more", "");
  if (ask.most_toners < 1 || ask.most_toners > 3) fault("toners in a recipe", "1 to 3", "");
  if (ask.most_coats < 1) fault("coats in a recipe", "1 or more", "");
  for (const Toner& t : ask.toners) {
    positive(t.density_kg_m3, "the density of " + t.id);
    positive(t.volume_solids_fraction, "the volume solids of " + t.id);
    for (int b = 0; b < bands; ++b)
      if (!(t.dry.absorption_per_m[b] >= 0) || !(t.dry.scattering_per_m[b] >= 0)) {
        fault(fmt::format("{} has absorption or scattering below zero at {:.0f} nm", t.id, band_nm(b)), "0 or more",
              "a noisy spray-out: read it again, thicker");
        break;
      }
  }
  for (const auto& [name, r] : {std::pair{"ground", &ask.ground.bare}, {"target", &ask.target}})
    for (int b = 0; b < bands; ++b)
      if (!((*r)[b] >= 0 && (*r)[b] <= 1.5)) {
        fault(fmt::format("the {} reads {:g} at {:.0f} nm", name, (*r)[b], band_nm(b)), "a factor from 0 to 1",
              "per cent? divide by 100");
        break;
      }
  return faults;
}

}  // namespace

Ground ground_of_reading(const Reflectance& seen_now, bool coated, double refractive_index, const Geometry& geometry) {
  if (!coated) return {seen_now, {}};
  const AirFace wood = air_face(wood_index, geometry.illumination_deg);
  const AirFace face = air_face(refractive_index, geometry.illumination_deg);
  Ground ground;
  for (int b = 0; b < bands; ++b) {
    const double body = std::clamp(inside_of(seen_now[b], face, geometry.specular_included ? 1 : 0), 0.0, 1.0);
    // The bare wood that would have this body (body_of_bare_wood inverted).
    ground.bare[b] = (1 - bare_wood_face_share) * body + bare_wood_face_share * seen_outside(body, wood, 1);
  }
  ColumnCoat there;  // its absorption is in the body already
  there.optics.refractive_index = refractive_index;
  there.thickness_m = opaque_to_texture_m;
  ground.coats.push_back(there);
  return ground;
}

TintedClear tinted(const Carrier& carrier, const std::vector<Tinting>& with) {
  double liquid = 1, solids = carrier.volume_solids_fraction;  // to one volume of carrier
  for (const Tinting& t : with) {
    expects(t.toner && t.strength_kg_m3 >= 0, "a toner at a strength of zero or more");
    const double volume = t.strength_kg_m3 / t.toner->density_kg_m3;
    liquid += volume, solids += volume * t.toner->volume_solids_fraction;
  }
  TintedClear made;
  made.volume_solids_fraction = solids / liquid;
  made.dry.refractive_index = 0;
  const auto add = [&](const CoatOptics& one, double share) {
    for (int b = 0; b < bands; ++b) {
      made.dry.absorption_per_m[b] += share * one.absorption_per_m[b];
      made.dry.scattering_per_m[b] += share * one.scattering_per_m[b];
      made.dry.yellowing_per_m[b] += share * one.yellowing_per_m[b];
    }
    made.dry.refractive_index += share * one.refractive_index;
  };
  add(carrier.dry, carrier.volume_solids_fraction / solids);
  for (const Tinting& t : with)
    add(t.toner->dry, t.strength_kg_m3 / t.toner->density_kg_m3 * t.toner->volume_solids_fraction / solids);
  return made;
}

ColumnCoat toned_coat(const Toner& toner, const Carrier& carrier, const Laying& laying, double strength_kg_m3) {
  const TintedClear clear = tinted(carrier, {{&toner, strength_kg_m3}});
  ColumnCoat coat;
  coat.optics = clear.dry;
  coat.thickness_m = dry_film_m(laying.wet_m, clear.volume_solids_fraction, laying.thinner_per_part);
  return coat;
}

std::vector<ColumnCoat> toner_films(const ShadeAsk& ask, const std::vector<ShadeStep>& steps) {
  std::vector<ColumnCoat> films;
  for (const ShadeStep& s : steps) {
    if (s.coats == 0) continue;
    ColumnCoat coat = toned_coat(ask.toners[s.toner], ask.carrier, ask.laying, s.strength_kg_m3);
    coat.thickness_m *= s.coats;  // coats of one mixture are one film (kubelka1954)
    films.push_back(coat);
  }
  return films;
}

std::vector<Lab> colours(const Reflectance& r, const ShadeAsk& ask) {
  std::vector<Lab> seen;
  for (const Lamp lamp : ask.lamps) seen.push_back(to_lab(r, lamp, ask.observer));
  return seen;
}

Reflectance shaded(const ShadeAsk& ask, const std::vector<ShadeStep>& steps) {
  return seen(ask, laid(ask, steps), true);
}

Result<Shading> shade(const ShadeAsk& ask) {
  if (std::vector<Error> faults = faults_of(ask); !faults.empty()) return faults;
  const std::vector<Lab> target = colours(ask.target, ask);
  Shading answer;
  answer.reach = reach_of(ask);

  struct Candidate {
    std::vector<ShadeStep> steps;
    double off = 0;
  };
  const auto by_nearness = [](const Candidate& a, const Candidate& b) { return a.off < b.off; };
  const auto tried = [&](std::vector<ShadeStep> steps) {
    constexpr int coats_to_start_with = 3;
    for (ShadeStep& s : steps) s.coats = coats_to_start_with;
    const double off = fit_strengths(ask, steps, target);
    return Candidate{std::move(steps), off};
  };
  // Sets of one toner, then of two, three: the larger ones grown from the best of the smaller.
  constexpr std::size_t starting_from = 12;
  std::vector<Candidate> all, layer{{{}, answer.reach.ground_delta_e}};
  for (int size = 1; size <= ask.most_toners; ++size) {
    std::vector<std::vector<std::size_t>> seen_sets;
    std::vector<Candidate> next;
    for (const Candidate& smaller : layer)
      for (std::size_t t = 0; t < ask.toners.size(); ++t) {
        std::vector<std::size_t> set{t};
        for (const ShadeStep& s : smaller.steps) set.push_back(s.toner);
        std::sort(set.begin(), set.end());
        if (std::adjacent_find(set.begin(), set.end()) != set.end() ||
            std::find(seen_sets.begin(), seen_sets.end(), set) != seen_sets.end())
          continue;
        seen_sets.push_back(set);
        std::vector<ShadeStep> steps;
        for (const std::size_t each : set) steps.push_back({each, 0, 0, 0});
        next.push_back(tried(std::move(steps)));
      }
    std::stable_sort(next.begin(), next.end(), by_nearness);
    if (size > 1 && next.size() > starting_from) next.resize(starting_from);  // all single toners go on
    all.insert(all.end(), next.begin(), next.end());
    layer = std::move(next);
  }
  std::stable_sort(all.begin(), all.end(), by_nearness);

  constexpr double earned_by_a_toner = 0.1;  // ESTIMATE: a further tin to mix is worth a tenth of a Delta E
  const auto rank = [&](const ShadeRecipe& r) {
    return r.mean_delta_e + earned_by_a_toner * static_cast<double>(r.steps.size());
  };
  const auto same = [](const ShadeRecipe& a, const ShadeRecipe& b) {
    return std::equal(a.steps.begin(), a.steps.end(), b.steps.begin(), b.steps.end(),
                      [](const ShadeStep& x, const ShadeStep& y) { return x.toner == y.toner; });
  };
  for (std::size_t i = 0; i < std::min<std::size_t>(all.size(), 3 * ask.recipes + 6); ++i) {
    ShadeRecipe made = realised(ask, all[i].steps, target);
    if (std::none_of(answer.recipes.begin(), answer.recipes.end(), [&](const auto& r) { return same(r, made); }))
      answer.recipes.push_back(std::move(made));
  }
  std::stable_sort(answer.recipes.begin(), answer.recipes.end(),
                   [&](const ShadeRecipe& a, const ShadeRecipe& b) { return rank(a) < rank(b); });
  if (answer.recipes.size() > ask.recipes) answer.recipes.resize(ask.recipes);
  for (ShadeRecipe& r : answer.recipes) say_uncertainty(ask, r);

  if (!answer.reach.obstacle.empty())
    answer.notes.push_back(
        {Severity::caution, fmt::format("This ground is {} for the target.", answer.reach.obstacle), "ground"});
  const ShadeRecipe& best = answer.recipes.front();
  if (best.steps.empty())
    answer.notes.push_back({Severity::information, "No toner brings the ground nearer: clear alone.", "recipe"});
  else if (best.mean_delta_e > 2 && answer.reach.perfect_delta_e <= 1 &&
           std::none_of(best.steps.begin(), best.steps.end(), [&](const ShadeStep& s) {
             return s.coats == ask.most_coats && s.strength_kg_m3 > 0.97 * ask.most_strength_kg_m3;
           }))
    answer.notes.push_back(
        {Severity::caution,
         "None of these toners has the hue needed. Get another dye; the ground itself allows the target.", "toners"});
  for (const ShadeStep& s : best.steps)
    if (s.coats == ask.most_coats && s.strength_kg_m3 > 0.97 * ask.most_strength_kg_m3)
      answer.notes.push_back(
          {Severity::caution,
           fmt::format("{} is too weak, even at full strength in {} coats.", ask.toners[s.toner].id, s.coats),
           "toners"});
  if (!best.out_of_reach && best.within_2 < 0.5)
    answer.notes.push_back({Severity::caution,
                            fmt::format("Sprayed without a panel, this comes within 2 Delta E in {}. "
                                        "Spray a panel of the same wood first, and stop one coat short to look.",
                                        in_a_hundred(best.within_2)),
                            "recipe"});
  return answer;
}

}  // namespace witnessline::match
