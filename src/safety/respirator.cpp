#include "safety/respirator.h"

#include <fmt/format.h>

#include <utility>

namespace witnessline {

CartridgeAnswer cartridge_for(const VapourFacts& of) {
  constexpr double holds_from_K = 343.15;  // cartridge_rule: 70 degC
  if (of.id == "methanol")
    return {of.name, CartridgeFit::does_not_hold,
            "Organic-vapour cartridges do not hold methanol: supplied air, or none of it in the air.",
            "cartridge_rule"};
  if (of.id == "dichloromethane")
    return {of.name, CartridgeFit::does_not_hold,
            "Organic-vapour cartridges do not hold dichloromethane: supplied air only, and its use is restricted.",
            "cfr1910_1052"};
  if (!of.boiling_point_K || !of.molar_mass_kg_mol)
    return {of.name, CartridgeFit::not_known,
            fmt::format("What is in {} is not known, so no cartridge can be relied on: read its safety data sheet.",
                        of.name),
            "cartridge_rule"};
  if (*of.boiling_point_K < holds_from_K)
    return {of.name, CartridgeFit::holds_briefly,
            fmt::format("Boils at {:.0f} degC, so it passes an organic-vapour cartridge early: fresh cartridges each "
                        "session, changed by the clock.",
                        *of.boiling_point_K - 273.15),
            "cartridge_rule"};
  return {of.name, CartridgeFit::holds,
          fmt::format("An organic-vapour cartridge holds {} for a shift at up to 200 ppm; change it by a schedule, not "
                      "by smell.",
                      of.name),
          "cartridge_rule"};
}

std::string skin_notation(const std::string& material) {
  static constexpr std::pair<const char*, const char*> noted[] = {
      {"butyl_glycol", "cfr1910_1000"}, {"methanol", "niosh_rel"},  {"butanol", "niosh_rel"},
      {"toluene", "eu_ioelv"},          {"xylene", "eu_ioelv"},     {"m_xylene", "eu_ioelv"},
      {"p_xylene", "eu_ioelv"},         {"pm_acetate", "eu_ioelv"}, {"lacquer_thinner", "eu_ioelv"},
  };
  for (const auto& [id, source] : noted)
    if (material == id) return source;
  return {};
}

}  // namespace witnessline
