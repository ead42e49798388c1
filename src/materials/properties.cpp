#include "materials/properties.h"

#include <algorithm>
#include <array>

namespace witnessline::materials {

namespace {
constexpr Unit mPas{"mPa_s", 1e-3}, mN_m{"mN_m", 1e-3}, GPa{"GPa", 1e9}, per_MK{"um_m_K", 1e-6}, J_m2{"J_m2"},
    g_mol{"g_mol", 1e-3}, cm3_mol{"cm3_mol", 1e-6}, kJ_mol{"kJ_mol", 1e3}, root_MPa{"MPa05", 1e3}, ppm{"ppm", 1e-6},
    kg_m3{"kg_m3"};

// Bounds are wide: they catch slips of unit and decimal point, not unusual materials.
constexpr std::array table{
    PropertyRow{Property::density, "density_kg_m3", kg_m3, "kg/m3", 50, 12000, "as supplied, at 20 to 25 degC"},
    PropertyRow{Property::dry_density, "dry_density_kg_m3", kg_m3, "kg/m3", 500, 8000, "of the dry film"},
    PropertyRow{Property::volume_solids, "volume_solids_pct", unit::pct, "1", 0, 100,
                "dry film volume left by a volume of the liquid as supplied"},
    PropertyRow{Property::viscosity, "viscosity_mPa_s", mPas, "Pa.s", 0.1, 1e5, "as supplied, at 20 to 25 degC"},
    PropertyRow{Property::refractive_index, "refractive_index", unit::none, "1", 1, 3, "sodium D line"},
    PropertyRow{Property::surface_tension, "surface_tension_mN_m", mN_m, "N/m", 5, 100, "at 20 degC"},
    PropertyRow{Property::glass_transition, "glass_transition_degC", unit::degC, "K", -120, 300, "of the dry film"},
    PropertyRow{Property::modulus, "modulus_GPa", GPa, "Pa", 1e-4, 100, "Young's modulus of the dry film"},
    PropertyRow{Property::expansion, "expansion_um_m_K", per_MK, "1/K", 0, 1000,
                "linear thermal expansion of the dry film"},
    PropertyRow{Property::fracture_energy, "fracture_energy_J_m2", J_m2, "J/m2", 0.01, 1e5, "of the dry film"},
    PropertyRow{Property::cure_shrinkage, "cure_shrinkage_pct", unit::pct, "1", 0, 30,
                "linear shrinkage after the film has set"},
    PropertyRow{Property::transfer_efficiency, "transfer_efficiency_pct", unit::pct, "1", 1, 100,
                "share of the sprayed solids that lands on a large panel"},
    PropertyRow{Property::drawdown_thickness, "drawdown_thickness_um", unit::um, "m", 1, 1000,
                "dry film of the drawdown whose spectra are given"},

    PropertyRow{Property::molar_mass, "molar_mass_g_mol", g_mol, "kg/mol", 10, 1000, "of the pure substance"},
    PropertyRow{Property::molar_volume, "molar_volume_cm3_mol", cm3_mol, "m3/mol", 10, 1000,
                "of the liquid at 25 degC"},
    PropertyRow{Property::boiling_point, "boiling_point_degC", unit::degC, "K", -50, 400, "at 101.325 kPa"},
    PropertyRow{Property::antoine_a, "antoine_a", unit::none, "1", 1, 30,
                "A of log10(p/Pa) = A - B/(T/K + C); valid in T_K"},
    PropertyRow{Property::antoine_b, "antoine_b_K", unit::K, "K", 100, 10000, "B of the same"},
    PropertyRow{Property::antoine_c, "antoine_c_K", unit::K, "K", -300, 300, "C of the same"},
    PropertyRow{Property::heat_of_vaporisation, "heat_of_vaporisation_kJ_mol", kJ_mol, "J/mol", 5, 200, "at 25 degC"},
    PropertyRow{Property::diffusion_volume, "diffusion_volume_cm3_mol", cm3_mol, "m3/mol", 1, 500,
                "of the molecule, for its diffusivity in air"},
    PropertyRow{Property::evaporation_rate, "evaporation_rate", unit::none, "1", 0, 50,
                "by volume, n-butyl acetate = 1"},
    PropertyRow{Property::hansen_d, "hansen_d_MPa05", root_MPa, "Pa^0.5", 0, 40, "dispersion parameter"},
    PropertyRow{Property::hansen_p, "hansen_p_MPa05", root_MPa, "Pa^0.5", 0, 40, "polar parameter"},
    PropertyRow{Property::hansen_h, "hansen_h_MPa05", root_MPa, "Pa^0.5", 0, 50, "hydrogen-bonding parameter"},
    PropertyRow{Property::hansen_radius, "hansen_radius_MPa05", root_MPa, "Pa^0.5", 0.5, 30,
                "radius of the film former's solubility sphere"},
    PropertyRow{Property::flash_point, "flash_point_degC", unit::degC, "K", -100, 400, "closed cup; the lowest rules",
                Ruling::lowest},
    PropertyRow{Property::lower_explosive_limit, "lower_explosive_limit_pct", unit::pct, "1", 0.1, 100,
                "by volume in air; the lowest rules", Ruling::lowest},
    PropertyRow{Property::upper_explosive_limit, "upper_explosive_limit_pct", unit::pct, "1", 0.1, 100,
                "by volume in air"},
    PropertyRow{Property::autoignition, "autoignition_degC", unit::degC, "K", 50, 1000, "the lowest rules",
                Ruling::lowest},
    PropertyRow{Property::exposure_limit, "exposure_limit_ppm", ppm, "1", 0.001, 1e5,
                "eight-hour average by volume; the lowest rules", Ruling::lowest},
    PropertyRow{Property::danger_limit, "danger_limit_ppm", ppm, "1", 0.001, 1e6,
                "immediately dangerous to life or health; the lowest rules", Ruling::lowest},

    PropertyRow{Property::modulus_along, "modulus_along_GPa", GPa, "Pa", 0.5, 40, "along the grain, 12 % moisture"},
    PropertyRow{Property::modulus_across, "modulus_across_GPa", GPa, "Pa", 0.05, 10,
                "across the grain, mean of radial and tangential, 12 % moisture"},
    PropertyRow{Property::expansion_along, "expansion_along_um_m_K", per_MK, "1/K", 0, 100,
                "linear thermal, along the grain"},
    PropertyRow{Property::expansion_across, "expansion_across_um_m_K", per_MK, "1/K", 0, 200,
                "linear thermal, across the grain, mean of radial and tangential"},
    PropertyRow{Property::shrinkage_radial, "shrinkage_radial_pct", unit::pct, "1", 0.5, 20, "green to ovendry"},
    PropertyRow{Property::shrinkage_tangential, "shrinkage_tangential_pct", unit::pct, "1", 0.5, 20,
                "green to ovendry"},
    PropertyRow{Property::specific_gravity, "specific_gravity", unit::none, "1", 0.05, 1.5,
                "ovendry mass over volume at 12 % moisture"},

    PropertyRow{Property::dilution_ratio_aromatic, "dilution_ratio_aromatic", unit::none, "1", 0.1, 20,
                "parts of toluene that one part carries in nitrocellulose lacquer, 8 g in 100 mL"},
    PropertyRow{Property::dilution_ratio_aliphatic, "dilution_ratio_aliphatic", unit::none, "1", 0.1, 20,
                "parts of petroleum spirit that one part carries in nitrocellulose lacquer, 8 g in 100 mL"},
};

constexpr bool in_order() {
  for (std::size_t i = 0; i < table.size(); ++i)
    if (static_cast<std::size_t>(table[i].property) != i) return false;
  return true;
}
static_assert(in_order(), "one row a property, in the order of the enum");
}  // namespace

std::span<const PropertyRow> property_table() { return table; }

const PropertyRow& row_of(Property property) { return table[static_cast<std::size_t>(property)]; }

std::string_view stem(const PropertyRow& row) {
  return row.unit.symbol.empty() ? row.key : row.key.substr(0, row.key.size() - row.unit.symbol.size() - 1);
}

std::span<const Property> required_of(Role role) {
  using P = Property;
  static constexpr std::array wood{P::density,       P::specific_gravity, P::shrinkage_radial, P::shrinkage_tangential,
                                   P::modulus_along, P::modulus_across};
  static constexpr std::array coat{P::density, P::dry_density, P::volume_solids, P::refractive_index};
  static constexpr std::array solvent{P::density};
  switch (role) {
    case Role::wood:
      return wood;
    case Role::clear:
    case Role::colorant:
    case Role::toner:
    case Role::primer:
    case Role::sealer:
    case Role::filler:
      return coat;
    case Role::solvent:
    case Role::cleaner:
    case Role::compound:
      return solvent;
  }
  return {};
}

}  // namespace witnessline::materials
