#include "cracking/film_stress.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "materials/properties.h"
#include "materials/wood.h"

namespace witnessline::cracking {

namespace {
/// The datums of `properties`, in order.
Result<std::vector<double>> data_of(const Material& material, const std::vector<Property>& properties) {
  std::vector<double> values;
  std::vector<Error> faults;
  for (const Property p : properties) {
    if (const Datum* datum = material.find(p))
      values.push_back(datum->value);
    else
      faults.push_back({fmt::format("{} has no {}", material.id, row_of(p).key),
                        {"", 0, 0, material.id},
                        "a value with its source",
                        "give it in the material's file"});
  }
  if (!faults.empty()) return faults;
  return values;
}
}  // namespace

Result<CrackingFilm> cracking_film(const Material& material) {
  const auto data = data_of(material, {Property::modulus, Property::expansion, Property::cure_shrinkage,
                                       Property::glass_transition, Property::fracture_energy});
  if (!data) return data.errors();
  const std::vector<double>& of = *data;
  return CrackingFilm{{of[0], 0.38}, of[1], of[2], of[3], of[4]};
}

double equivalent_modulus_Pa(double open_Pa, double depth_Pa, double shear_Pa, double poisson) {
  const double mean_Pa = std::sqrt(open_Pa * depth_Pa);
  const double rho = mean_Pa / (2 * shear_Pa) - poisson * std::sqrt(depth_Pa / open_Pa);
  return mean_Pa / std::sqrt((1 + rho) / 2);
}

CrackingWood CrackingWood::turned() const {
  return {ground_Pa.turned(), poisson, expansion_per_K.turned(), movement.turned()};
}

Result<CrackingWood> cracking_wood(const Material& material, double tangential) {
  expects(tangential >= 0 && tangential <= 1, "a share lies between 0 and 1");
  const auto data =
      data_of(material, {Property::modulus_along, Property::modulus_across, Property::expansion_along,
                         Property::expansion_across, Property::shrinkage_radial, Property::shrinkage_tangential});
  if (!data) return data.errors();
  const std::vector<double>& of = *data;
  constexpr double shrinkage_along_frac = 0.0015;  // fpl282, ch. 4: 0.1 to 0.2 %
  CrackingWood wood;
  wood.ground_Pa = {equivalent_modulus_Pa(of[0], of[1], 0.075 * of[0], wood.poisson),
                    equivalent_modulus_Pa(of[1], of[1], (material.conifer ? 0.005 : 0.02) * of[0], wood.poisson)};
  constexpr double moist_over_dry = 1 + 0.38 / 0.12 * 0.09;  // kubler1973, straight to 9 % moisture: see the header
  wood.expansion_per_K = {of[2], moist_over_dry * of[3]};
  wood.movement = {movement_coefficient(shrinkage_along_frac),
                   (1 - tangential) * movement_coefficient(of[4]) + tangential * movement_coefficient(of[5])};
  return wood;
}

ByGrain forced_strain(const CrackingFilm& film, const CrackingWood& wood, double cooled_K, double moisture_gain_frac) {
  return {(film.expansion_per_K - wood.expansion_per_K.along) * cooled_K + wood.movement.along * moisture_gain_frac,
          (film.expansion_per_K - wood.expansion_per_K.across) * cooled_K + wood.movement.across * moisture_gain_frac};
}

ByGrain elastic_stress_Pa(const Elastic& film, const ByGrain& strain) {
  const double stiff_Pa = film.plane_strain_Pa();
  return {stiff_Pa * (strain.along + film.poisson * strain.across),
          stiff_Pa * (strain.across + film.poisson * strain.along)};
}

double relaxation_time_s(double temperature_K, double glass_transition_K) {
  constexpr double at_transition_s = 100, below_K_per_decade = 10;  // ESTIMATE: see docs/estimates.md
  const double over_K = temperature_K - glass_transition_K;
  const double decades = over_K > 0 ? -17.44 * over_K / (51.6 + over_K) : -over_K / below_K_per_decade;
  return at_transition_s * std::pow(10, decades);
}

double moisture_time_s(double thickness_m, double temperature_K) {
  constexpr double at_20_degC_m2_s = 1e-10, activation_J_mol = 38e3, gas_J_mol_K = 8.314462618;  // ESTIMATE
  const double diffusion_m2_s =
      at_20_degC_m2_s * std::exp(-activation_J_mol / gas_J_mol_K * (1 / temperature_K - 1 / 293.15));
  return thickness_m * thickness_m / (std::numbers::pi * std::numbers::pi * diffusion_m2_s);
}

StressState as_set(const CrackingFilm& film, double temperature_K, double moisture_frac) {
  return {elastic_stress_Pa(film.elastic, {film.cure_shrinkage_frac, film.cure_shrinkage_frac}), temperature_K,
          moisture_frac};
}

namespace {
/// Stress over a spell: what was there dies away at rate a; what the wood brings grows at rate b and dies away with it.
struct Easing {
  double start_Pa, brought_Pa, a, b;  ///< brought_Pa: all the wood would bring to a film that never eased

  double at(double t) const {
    const double slow = std::min(a, b), apart = std::abs(a - b);
    const double grown = apart * t < 1e-12 ? t : -std::expm1(-apart * t) / apart;
    return start_Pa * std::exp(-a * t) + brought_Pa * b * std::exp(-slow * t) * grown;
  }
  /// Greatest value from 0 to `end`: at an end, or where the slope is nought.
  double peak_Pa(double end) const {
    double greatest = std::max(at(0), at(end));
    if (a != b) {
      const double q = brought_Pa * b / (a - b);  // sigma = (start - q) exp(-a t) + q exp(-b t)
      const double ratio = a * (q - start_Pa) / (q * b);
      if (q != 0 && ratio > 0)
        if (const double t = std::log(ratio) / (a - b); t > 0 && t < end) greatest = std::max(greatest, at(t));
    }
    return greatest;
  }
};
}  // namespace

SpellStress through(const Spell& spell, const StressState& before, const CrackingFilm& film, const CrackingWood& wood,
                    double wood_m) {
  expects(spell.duration_s >= 0 && wood_m > 0, "a spell lasts and wood has a thickness");
  const double a = 1 / relaxation_time_s(spell.temperature_K, film.glass_transition_K);
  const double b = 1 / moisture_time_s(wood_m, spell.temperature_K);
  const double end_frac = equilibrium_moisture_fraction(spell.temperature_K, spell.relative_humidity);
  const ByGrain cold =
      elastic_stress_Pa(film.elastic, forced_strain(film, wood, before.temperature_K - spell.temperature_K, 0));
  const ByGrain moved = elastic_stress_Pa(film.elastic, forced_strain(film, wood, 0, end_frac - before.moisture_frac));
  const Easing along{before.stress_Pa.along + cold.along, moved.along, a, b};
  const Easing across{before.stress_Pa.across + cold.across, moved.across, a, b};
  const double t = spell.duration_s;
  return {{{along.at(t), across.at(t)},
           spell.temperature_K,
           end_frac + (before.moisture_frac - end_frac) * std::exp(-b * t)},
          {along.peak_Pa(t), across.peak_Pa(t)}};
}

std::vector<SpellStress> through(const std::vector<Spell>& spells, StressState state, const CrackingFilm& film,
                                 const CrackingWood& wood, double wood_m) {
  std::vector<SpellStress> all;
  for (const Spell& spell : spells) {
    all.push_back(through(spell, state, film, wood, wood_m));
    state = all.back().after;
  }
  return all;
}

ByGrain channel_energies_J_m2(const ByGrain& stress_Pa, double thickness_m, const CrackingFilm& film,
                              const CrackingWood& wood) {
  return {channel_energy_J_m2(stress_Pa.along, thickness_m, film.elastic, mismatch(film.elastic, wood.ground(true))),
          channel_energy_J_m2(stress_Pa.across, thickness_m, film.elastic, mismatch(film.elastic, wood.ground(false)))};
}

}  // namespace witnessline::cracking
