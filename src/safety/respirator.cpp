#include "safety/respirator.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>
#include <limits>
#include <utility>

#include "safety/rounded.h"

namespace witnessline::safety {

CartridgeAnswer cartridge_for(const VapourFacts& of, double peak_share) {
  constexpr double holds_from_K = 343.15, holds_up_to_share = 200e-6;  // cartridge_rule: 70 degC, 200 ppm
  if (!of.passes_cartridges.empty())
    return {of.name, CartridgeFit::does_not_hold,
            fmt::format("Organic-vapour cartridges do not hold {}: supplied air, or none of it in the air.", of.name),
            of.passes_cartridges};
  if (!of.boiling_point_K || !of.molar_mass_kg_mol)
    return {of.name, CartridgeFit::not_known,
            fmt::format("What is in {} is not known, so no cartridge can be relied on: read its safety data sheet.",
                        of.name),
            "cartridge_rule"};
  if (*of.boiling_point_K < holds_from_K)
    return {
        of.name, CartridgeFit::holds_briefly,
        fmt::format("Boils at {:.0f} degC, so it passes an organic-vapour cartridge early: none is credited with it. "
                    "Wear one all the same, fresh each session.",
                    *of.boiling_point_K - 273.15),
        "cartridge_rule"};
  if (!std::isfinite(peak_share))
    return {of.name, CartridgeFit::not_known,
            fmt::format("How much {} is breathed is not known, so no cartridge is credited with it.", of.name),
            "cartridge_rule"};
  if (peak_share > holds_up_to_share)
    return {of.name, CartridgeFit::too_much,
            fmt::format("About {} ppm where you breathe: more than the 200 ppm an organic-vapour cartridge is credited "
                        "with.",
                        two_figures(1e6 * peak_share)),
            "cartridge_rule"};
  return {
      of.name, CartridgeFit::holds,
      fmt::format("An organic-vapour cartridge holds it for a shift: about {} ppm where you breathe, 200 ppm at most. "
                  "Change it by a schedule, not by smell.",
                  two_figures(1e6 * peak_share)),
      "cartridge_rule"};
}

std::vector<CartridgeAnswer> cartridges_for(std::span<const VapourFlow> flows, double temperature_K,
                                            double peak_of_all_share) {
  const auto vapour = [&](const VapourFlow& f) {
    if (f.of.harmless || f.liquid_m3_s <= 0) return 0.0;
    if (!f.of.density_kg_m3 || !f.of.molar_mass_kg_mol) return std::numeric_limits<double>::quiet_NaN();
    return f.liquid_m3_s * vapour_per_liquid(*f.of.density_kg_m3, *f.of.molar_mass_kg_mol, temperature_K);
  };
  double all = 0;
  for (const VapourFlow& f : flows) all += vapour(f);
  std::vector<CartridgeAnswer> answers;
  for (const VapourFlow& f : flows)
    if (!f.of.harmless && f.liquid_m3_s > 0)
      answers.push_back(cartridge_for(f.of, peak_of_all_share * vapour(f) / all));
  return answers;
}

bool all_hold(std::span<const CartridgeAnswer> answers) {
  return std::all_of(answers.begin(), answers.end(),
                     [](const CartridgeAnswer& a) { return a.fit == CartridgeFit::holds; });
}

CartridgeAnswer cartridge_against(const std::string& poison) {
  return {poison, CartridgeFit::does_not_hold,
          fmt::format("No cartridge can be relied on against {}{}: supplied air, worn by somebody trained for it. What "
                      "cartridges hold of the other solvents does not count here.",
                      poison, poison.find("isocyanate") == poison.npos ? "" : ", which gives no warning"),
          "common_practice"};
}

AirVerdict verdict_of(const AirAsked& asked, std::optional<double> fan_m3_s, const InTheRoom& who) {
  if (who.poison_mist) return AirVerdict::do_not_spray;
  if (!fan_m3_s) return AirVerdict::not_known;
  // A comparison with a demand that is not known is false both ways.
  if (asked.fire.value > *fan_m3_s || asked.face.band.low > *fan_m3_s) return AirVerdict::too_little;
  if (!who.nobody && who.worn_of_limit > 1) return AirVerdict::too_little;
  if (!std::isfinite(asked.ruling.value) || !std::isfinite(who.of_limit)) return AirVerdict::not_known;
  if (who.nobody)
    return who.of_limit <= 1 && !who.poison_vapour ? AirVerdict::enough : AirVerdict::enough_with_nobody_in;
  if (who.poison_vapour) return AirVerdict::not_known;
  return who.of_limit <= 1 ? AirVerdict::enough : AirVerdict::enough_with_respirator;
}

}  // namespace witnessline::safety
