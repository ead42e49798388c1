#include "materials/wood.h"

#include "app/published/published.h"
#include "materials/air.h"

namespace witnessline::app {

namespace {
constexpr double degC(double t) { return t + 273.15; }

Result<double> movement_coefficient_of(const Registry& registry, const PublishedRow& row) {
  const auto direction = row.inputs.find("direction");
  if (direction == row.inputs.end() || (direction->second != "radial" && direction->second != "tangential"))
    return Error{"input 'direction' is missing", {row.file, row.line, 0, row.quantity}, "radial or tangential", ""};
  const Result<double> shrinkage = datum_of_subject(
      registry, row, direction->second == "radial" ? Property::shrinkage_radial : Property::shrinkage_tangential);
  if (!shrinkage) return shrinkage.errors();
  return movement_coefficient(*shrinkage) / 100;  // per per cent of moisture
}

Result<double> volume_shrinkage_of(const Registry& registry, const PublishedRow& row) {
  const Result<double> radial = datum_of_subject(registry, row, Property::shrinkage_radial);
  const Result<double> tangential = datum_of_subject(registry, row, Property::shrinkage_tangential);
  if (!radial) return radial.errors();
  if (!tangential) return tangential.errors();
  return 100 * volume_shrinkage_fraction(*radial, *tangential);
}

Result<double> bending_modulus_of(const Registry& registry, const PublishedRow& row) {
  const Result<double> along = datum_of_subject(registry, row, Property::modulus_along);
  if (!along) return along.errors();
  return *along / 1.10 / 1e9;  // fpl282, Table 5-3 footnote c
}

void add_air_checks(Registry& registry) {
  registry.add("saturation_pressure", {"T_degC"},
               [](const Numbers& in) { return saturation_pressure_Pa(degC(in["T_degC"])); });
  registry.add("saturation_humidity_ratio", {"T_degC", "p_Pa"}, [](const Numbers& in) {
    return humidity_ratio(saturation_pressure_Pa(degC(in["T_degC"])), in["p_Pa"]);
  });
  registry.add("dew_point", {"T_degC", "RH_pct"},
               [](const Numbers& in) { return dew_point_K(degC(in["T_degC"]), in["RH_pct"] / 100) - 273.15; });
  registry.add("wet_bulb", {"T_degC", "RH_pct", "p_Pa"}, [](const Numbers& in) {
    return wet_bulb_K(degC(in["T_degC"]), in["RH_pct"] / 100, in["p_Pa"]) - 273.15;
  });
  const std::vector<std::string> two_thermometers{"T_dry_degC", "T_wet_degC", "p_Pa"};
  const auto ratio = [](const Numbers& in) {
    return humidity_ratio_of_wet_bulb(degC(in["T_dry_degC"]), degC(in["T_wet_degC"]), in["p_Pa"]);
  };
  const auto humidity = [ratio](const Numbers& in) {
    return vapour_pressure_of_ratio_Pa(ratio(in), in["p_Pa"]) / saturation_pressure_Pa(degC(in["T_dry_degC"]));
  };
  registry.add("humidity_ratio_of_wet_bulb", two_thermometers, ratio);
  registry.add("relative_humidity_of_wet_bulb", two_thermometers, humidity);
  registry.add("dew_point_of_wet_bulb", two_thermometers,
               [humidity](const Numbers& in) { return dew_point_K(degC(in["T_dry_degC"]), humidity(in)) - 273.15; });
  registry.add("enthalpy_of_wet_bulb", two_thermometers, [ratio](const Numbers& in) {
    return moist_air_enthalpy_J_kg(degC(in["T_dry_degC"]), ratio(in)) / 1000;
  });
  registry.add("volume_of_wet_bulb", two_thermometers, [ratio](const Numbers& in) {
    return moist_air_volume_m3_kg(degC(in["T_dry_degC"]), ratio(in), in["p_Pa"]);
  });
}
}  // namespace

void add_wood_checks(Registry& registry) {
  add_air_checks(registry);
  registry.add("equilibrium_moisture", {"T_degC", "RH_pct"}, [](const Numbers& in) {
    return 100 * equilibrium_moisture_fraction(degC(in["T_degC"]), in["RH_pct"] / 100);
  });
  registry.add("movement_coefficient",
               [&registry](const PublishedRow& row) { return movement_coefficient_of(registry, row); });
  registry.add("volume_shrinkage", [&registry](const PublishedRow& row) { return volume_shrinkage_of(registry, row); });
  registry.add("bending_modulus", [&registry](const PublishedRow& row) { return bending_modulus_of(registry, row); });
  registry.add("specific_gravity_of_basic", {"basic", "MC_pct"},
               [](const Numbers& in) { return specific_gravity(in["basic"], in["MC_pct"] / 100); });
  registry.add("wood_density", {"G", "MC_pct"},
               [](const Numbers& in) { return wood_density_kg_m3(in["G"], in["MC_pct"] / 100); });
  registry.add("movement", {"width_mm", "C_per_pct", "MC_change_pct"}, [](const Numbers& in) {
    return 1000 * movement_m(in["width_mm"] / 1000, 100 * in["C_per_pct"], in["MC_change_pct"] / 100);
  });
}

}  // namespace witnessline::app
