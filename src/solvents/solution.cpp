#include "solvents/solution.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

#include "materials/properties.h"

namespace witnessline::solvents {

namespace {
double square(double x) { return x * x; }
double square_distance(const Hansen& one, const Hansen& other) {
  return 4 * square(one.d - other.d) + square(one.p - other.p) + square(one.h - other.h);
}
constexpr double room_K = 298.15;
// ln of nothing left: far below anything that matters, and no infinity.
constexpr double least_fraction = 1e-300;
}  // namespace

Result<Volatile> volatile_of(const Material& material) {
  std::vector<Error> faults;
  const auto value = [&](Property property) {
    const Datum* datum = material.find(property);
    if (!datum)
      faults.push_back(
          {fmt::format("{} has no {}", material.name, row_of(property).key), {}, "", "add it to its data"});
    return datum ? datum->value : 0.0;
  };
  Volatile made;
  made.id = material.id;
  if (const std::optional<Hansen> hansen = hansen_of(material))
    made.hansen = *hansen;
  else
    faults.push_back({fmt::format("{} has no Hansen parameters", material.name), {}, "", "add them to its data"});
  made.molar_mass_kg_mol = value(Property::molar_mass);
  made.density_kg_m3 = value(Property::density);
  if (const Result<Groups> groups = groups_of(material))
    made.groups = *groups;
  else
    faults.insert(faults.end(), groups.errors().begin(), groups.errors().end());
  made.family = material.family;
  if (const Datum* ratio = material.find(Property::dilution_ratio_aromatic)) made.aromatic_ratio = ratio->value;
  if (const Datum* ratio = material.find(Property::dilution_ratio_aliphatic)) made.aliphatic_ratio = ratio->value;
  if (const std::optional<Antoine> antoine = antoine_of(material)) {
    made.antoine = *antoine;
    made.heat_of_vaporisation_J_mol = value(Property::heat_of_vaporisation);
    made.diffusion_volume_cm3_mol = value(Property::diffusion_volume) * 1e6;
  } else if (const Datum* boiling = material.find(Property::boiling_point); boiling && faults.empty()) {
    made.antoine = antoine_by_boiling_point(boiling->value);
    made.heat_of_vaporisation_J_mol = heat_of_vaporisation_J_mol(made.antoine, room_K);
    made.diffusion_volume_cm3_mol = made.molar_volume_m3_mol() * 1e6;
    made.stood_in = fmt::format("its vapour pressure is estimated from its boiling point, {:.0f} degC",
                                unit::degC.from_si(boiling->value));
  } else {
    faults.push_back({fmt::format("how fast {} leaves a film is not known: it has neither Antoine constants nor a "
                                  "boiling point",
                                  material.name),
                      {},
                      "",
                      "add them to its data"});
  }
  if (!faults.empty()) return faults;
  return made;
}

std::optional<FilmFormer> film_former_of(const Material& material) {
  const std::optional<Hansen> hansen = hansen_of(material);
  const Datum* radius = material.find(Property::hansen_radius);
  if (!hansen || !radius) return std::nullopt;
  const auto sd = [&](Property property) { return material.find(property)->sd; };
  // What is not known of its centre, averaged over directions, and of its radius.
  const double centre =
      (4 * square(sd(Property::hansen_d)) + square(sd(Property::hansen_p)) + square(sd(Property::hansen_h))) / 3;
  return FilmFormer{material.id, *hansen, radius->value, std::sqrt(centre + square(radius->sd)) / radius->value,
                    material.binder};
}

double flory_interaction(const Volatile& solvent, const Hansen& film_former, double temperature_K) {
  return hansen_scale * solvent.molar_volume_m3_mol() * square_distance(solvent.hansen, film_former) /
         (4 * gas_constant_J_molK * temperature_K);
}

Solution::Solution(std::vector<Volatile> solvents, std::optional<FilmFormer> film_former, double temperature_K,
                   Mixing wanted)
    : solvents_(std::move(solvents)), film_former_(std::move(film_former)), mixing_(wanted) {
  expects(solvents_.size() <= most_solvents, "no more solvents than a solution holds");
  expects(temperature_K > 0, "an absolute temperature");
  std::vector<Groups> groups;
  for (const Volatile& solvent : solvents_) {
    groups.push_back(solvent.groups);
    molar_volume_m3_mol_.push_back(solvent.molar_volume_m3_mol());
    dislike_mol_m3_.push_back(film_former_ ? flory_interaction(solvent, film_former_->hansen, temperature_K) /
                                                 solvent.molar_volume_m3_mol()
                                           : 0.0);
  }
  scale_mol_J_ = hansen_scale / (4 * gas_constant_J_molK * temperature_K);
  if (mixing_ == Mixing::groups) {
    if (std::all_of(groups.begin(), groups.end(), [](const Groups& one) { return one.known(); }))
      groups_.emplace(groups, temperature_K);
    else
      mixing_ = Mixing::regular;
  }
}

void Solution::activities(std::span<const double> of_the_film, std::span<double> activity) const {
  const std::size_t count = solvents_.size();
  expects(of_the_film.size() == count && activity.size() == count, "a volume fraction for each solvent");
  const bool dispersed = film_former_ && film_former_->binder == Binder::water_borne;
  const double liquid = dispersed ? std::accumulate(of_the_film.begin(), of_the_film.end(), 0.0) : 1.0;
  std::array<double, most_solvents> volume_fraction{};
  for (std::size_t i = 0; i < count && liquid > 0; ++i) volume_fraction[i] = of_the_film[i] / liquid;
  double solvent = 0, moles_mol_m3 = 0, disliked_mol_m3 = 0;
  for (std::size_t i = 0; i < count; ++i) {
    solvent += volume_fraction[i];
    moles_mol_m3 += volume_fraction[i] / molar_volume_m3_mol_[i];
    disliked_mol_m3 += volume_fraction[i] * dislike_mol_m3_[i];
  }
  if (moles_mol_m3 <= 0) {
    std::fill(activity.begin(), activity.end(), 0.0);
    return;
  }
  std::array<double, most_solvents> mole_fraction{}, ln_coefficient{};
  for (std::size_t i = 0; i < count; ++i)
    mole_fraction[i] = volume_fraction[i] / molar_volume_m3_mol_[i] / moles_mol_m3;
  if (mixing_ == Mixing::ideal) {
    std::copy_n(mole_fraction.begin(), count, activity.begin());
    return;
  }

  const double molar_volume_m3_mol = solvent / moles_mol_m3;
  if (groups_) {
    groups_->ln_coefficients({mole_fraction.data(), count}, {ln_coefficient.data(), count});
    for (std::size_t i = 0; i < count; ++i) {  // over the Flory term that is counted below
      const double size = molar_volume_m3_mol_[i] / molar_volume_m3_mol;
      ln_coefficient[i] -= std::log(size) + 1 - size;
    }
  } else {
    Hansen mean;
    for (std::size_t i = 0; i < count; ++i) {
      const double share = volume_fraction[i] / solvent;
      mean.d += share * solvents_[i].hansen.d;
      mean.p += share * solvents_[i].hansen.p;
      mean.h += share * solvents_[i].hansen.h;
    }
    for (std::size_t i = 0; i < count; ++i)
      ln_coefficient[i] = molar_volume_m3_mol_[i] * scale_mol_J_ * square_distance(solvents_[i].hansen, mean);
  }
  double mean_ln = 0;
  for (std::size_t i = 0; i < count; ++i) mean_ln += mole_fraction[i] * ln_coefficient[i];
  const double film_former = std::max(0.0, 1 - solvent);
  for (std::size_t i = 0; i < count; ++i)
    activity[i] =
        volume_fraction[i] <= least_fraction
            ? 0.0
            : volume_fraction[i] * std::exp(1 - molar_volume_m3_mol_[i] * moles_mol_m3 + solvent * ln_coefficient[i] +
                                            film_former * molar_volume_m3_mol_[i] *
                                                (moles_mol_m3 * mean_ln + dislike_mol_m3_[i] - disliked_mol_m3));
}

}  // namespace witnessline::solvents
