#include <limits>

#include "app/published/published.h"
#include "cracking/driving.h"
#include "materials/wood.h"
#include "solvents/vapour.h"

namespace witnessline::app {

namespace {
constexpr double none = std::numeric_limits<double>::quiet_NaN();

Elastic film_of(const Numbers& in) { return {1e9 * in["E_GPa"], in["nu"]}; }

/// A film of 1 um, 1 GPa, no Poisson's ratio, pulled with 1 MPa: h sigma^2 / E' is 1e-3 J/m2.
constexpr double unit_energy_J_m2 = 1e-3;
constexpr Elastic unit_film{1e9, 0};

void add_energy_checks(Registry& registry) {
  registry.add("energy_number_surface", {},
               [](const Numbers&) { return surface_crack_energy_J_m2(1e6, 1e-6, unit_film) / unit_energy_J_m2; });
  registry.add("energy_number_channel", {"alpha", "beta"}, [](const Numbers& in) {
    return channel_energy_J_m2(1e6, 1e-6, unit_film, {in["alpha"], in["beta"]}) / unit_energy_J_m2;
  });
  registry.add("energy_number_loose", {},
               [](const Numbers&) { return stored_energy_J_m2(1e6, 1e-6, unit_film) / unit_energy_J_m2; });
  registry.add("channel_g", {"alpha", "beta"}, [](const Numbers& in) { return channel_g({in["alpha"], in["beta"]}); });
  const auto of_pair = [](const Numbers& in) {
    return mismatch({1e9 * in["film_GPa"], in["film_nu"]}, {1e9 * in["ground_GPa"], in["ground_nu"]});
  };
  const std::vector<std::string> pair{"film_GPa", "film_nu", "ground_GPa", "ground_nu"};
  registry.add("channel_g_of_pair", pair, [of_pair](const Numbers& in) { return channel_g(of_pair(in)); });
  registry.add("mismatch_alpha", pair, [of_pair](const Numbers& in) { return of_pair(in).alpha; });
  registry.add("mismatch_beta", pair, [of_pair](const Numbers& in) { return of_pair(in).beta; });
  // A film on an orthotropic ground, by the isotropic one that stands for it.
  registry.add(
      "channel_g_on_wood", {"film_GPa", "film_nu", "open_GPa", "depth_GPa", "shear_GPa", "nu"}, [](const Numbers& in) {
        CrackingWood wood;
        wood.ground_Pa.along =
            equivalent_modulus_Pa(1e9 * in["open_GPa"], 1e9 * in["depth_GPa"], 1e9 * in["shear_GPa"], in["nu"]);
        return channel_g(mismatch({1e9 * in["film_GPa"], in["film_nu"]}, wood.ground(true)));
      });
  // Stress at the tip of a crack that ends at the ground, and what is left where neither is stiffer.
  registry.add("tip_power", {"alpha", "beta"}, [](const Numbers& in) { return tip_power({in["alpha"], in["beta"]}); });
  registry.add("flaw_energy", {"alpha", "beta", "depth_share"}, [](const Numbers& in) {
    return FlawEnergy({in["alpha"], in["beta"]}).at(in["depth_share"]);
  });
  registry.add("eased_stress", {"sigma_MPa", "t_over_tau"},
               [](const Numbers& in) { return 1e-6 * eased_Pa(1e6 * in["sigma_MPa"], in["t_over_tau"], 1); });
  registry.add("check_opening", {"E_GPa", "nu", "sigma_MPa", "depth_um"}, [](const Numbers& in) {
    return 1e6 * opening_m(1e6 * in["sigma_MPa"], 1e-6 * in["depth_um"], film_of(in));
  });
  registry.add("onset_thickness", {"Gc_J_m2", "sigma_MPa", "E_GPa", "nu"}, [](const Numbers& in) {
    return 1e6 * onset_thickness_m(1e6 * in["sigma_MPa"], in["Gc_J_m2"], film_of(in), {}).value_or(none);
  });
}
}  // namespace

void add_cracking_checks(Registry& registry) {
  add_energy_checks(registry);
  registry.add("shadow_length", {"g", "h"}, [](const Numbers& in) { return shadow_length_m(in["h"], in["g"]); });
  registry.add("share_in_array", {"H_over_l"}, [](const Numbers& in) { return share_in_array(in["H_over_l"]); });
  registry.add("share_midway", {"H_over_l"}, [](const Numbers& in) { return share_midway(in["H_over_l"]); });
  registry.add("closest_spacing", {"Gc_over_G"},
               [](const Numbers& in) { return closest_spacing(in["Gc_over_G"]).value_or(none); });
  registry.add("cold_stress", {"E_GPa", "nu", "film_per_K", "ground_per_K", "drop_K"}, [](const Numbers& in) {
    CrackingFilm film;
    film.elastic = film_of(in), film.expansion_per_K = in["film_per_K"];
    CrackingWood ground;
    ground.expansion_per_K = {in["ground_per_K"], in["ground_per_K"]};
    return 1e-6 * elastic_stress_Pa(film.elastic, forced_strain(film, ground, in["drop_K"], 0)).along;
  });
  // Solvent of a film shut up in a box, over its lower explosive limit.
  registry.add("box_of_explosive_limit", [&registry](const PublishedRow& row) -> Result<double> {
    const Result<Numbers> in = numbers(row, {"solvent_g", "box_L"});
    if (!in) return in.errors();
    const Material* material = registry.library.find(row.subject);
    const auto share = material ? share_of_explosive_limit(*material, 1e-3 * (*in)["solvent_g"], 1e-3 * (*in)["box_L"])
                                : std::optional<double>();
    if (!share)
      return Error{
          "no such solvent, or no explosive limit of it", {row.file, row.line, 0, row.quantity}, "a solvent", ""};
    return *share;
  });
  // What a wood of the library does across the grain to a film between two humidities.
  registry.add("moisture_strain", [&registry](const PublishedRow& row) -> Result<double> {
    const Result<Numbers> in = numbers(row, {"T_degC", "RH_from_pct", "RH_to_pct"});
    if (!in) return in.errors();
    const Material* material = registry.library.find(row.subject);
    if (!material) return Error{"no such wood", {row.file, row.line, 0, row.quantity}, "a wood of the library", ""};
    const Result<CrackingWood> wood = cracking_wood(*material, 1);
    if (!wood) return wood.errors();
    const double temperature_K = (*in)["T_degC"] + 273.15;
    const double gain = equilibrium_moisture_fraction(temperature_K, (*in)["RH_to_pct"] / 100) -
                        equilibrium_moisture_fraction(temperature_K, (*in)["RH_from_pct"] / 100);
    return -forced_strain({}, *wood, 0, gain).across;
  });
}

}  // namespace witnessline::app
