#include "safety/respirator.h"

#include <fmt/format.h>

#include <cmath>
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

bool cartridges_hold(std::span<const VapourFlow> flows) {
  for (const VapourFlow& f : flows) {
    if (f.of.harmless || f.liquid_m3_s <= 0) continue;
    const CartridgeFit fit = cartridge_for(f.of).fit;
    if (fit == CartridgeFit::does_not_hold || fit == CartridgeFit::not_known) return false;
  }
  return true;
}

AirVerdict verdict_of(const AirAsked& asked, std::optional<double> fan_m3_s, const InTheRoom& who) {
  if (!fan_m3_s) return AirVerdict::not_known;
  const bool filtered = who.worn != Respirator::none && (who.worn == Respirator::supplied_air || who.cartridges_hold);
  const double credit = filtered ? protection_factor(who.worn) : 1.0;
  // A comparison with a demand that is not known is false both ways.
  if (asked.fire.value > *fan_m3_s || asked.face.value > *fan_m3_s) return AirVerdict::too_little;
  if (!who.nobody && asked.breathing.value > *fan_m3_s * credit) return AirVerdict::too_little;
  if (!std::isfinite(asked.ruling.value)) return AirVerdict::not_known;
  if (asked.breathing.value <= *fan_m3_s) return AirVerdict::enough;
  return who.nobody ? AirVerdict::enough_with_nobody_in : AirVerdict::enough_with_respirator;
}

}  // namespace witnessline
