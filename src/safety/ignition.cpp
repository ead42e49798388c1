#include "safety/ignition.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace witnessline::safety {

namespace {
constexpr double zero_K = 273.15;

void lower(std::optional<double>& lowest_K, std::string& of, const std::optional<double>& value_K,
           const std::string& name) {
  if (value_K && (!lowest_K || *value_K < *lowest_K)) lowest_K = value_K, of = name;
}
}  // namespace

Ignition ignition_of(std::span<const VapourFlow> flows) {
  Ignition ignition;
  for (const VapourFlow& flow : flows) {
    const VapourFacts& of = flow.of;
    if (flow.liquid_m3_s <= 0) continue;
    (of.harmless ? ignition.water_m3_s : ignition.burns_m3_s) += flow.liquid_m3_s;
    if (of.harmless) continue;
    lower(ignition.flash_K, ignition.flash_of, of.flash_point_K, of.name);
    lower(ignition.autoignition_K, ignition.autoignition_of, of.autoignition_K, of.name);
    if (!of.flash_point_K || !of.autoignition_K) ignition.unknown.push_back(of.name);
  }
  return ignition;
}

bool Ignition::needs_rated_gear() const {
  constexpr double flammable_K = zero_K + 60;
  if (burns_m3_s <= 0) return false;
  return !unknown.empty() || !flash_K || *flash_K <= flammable_K || water_m3_s < burns_m3_s;
}

/// Of two liquids that are not mixed, the one with less water decides.
Ignition either_of(Ignition all, const Ignition& more) {
  if (more.burns_m3_s > 0 &&
      (all.burns_m3_s <= 0 || more.water_m3_s * all.burns_m3_s < all.water_m3_s * more.burns_m3_s))
    all.water_m3_s = more.water_m3_s, all.burns_m3_s = more.burns_m3_s;
  lower(all.flash_K, all.flash_of, more.flash_K, more.flash_of);
  lower(all.autoignition_K, all.autoignition_of, more.autoignition_K, more.autoignition_of);
  for (const std::string& name : more.unknown)
    if (std::find(all.unknown.begin(), all.unknown.end(), name) == all.unknown.end()) all.unknown.push_back(name);
  return all;
}

std::string temperature_class(double autoignition_K) {
  constexpr std::array classes{450, 300, 200, 135, 100, 85};
  for (std::size_t i = 0; i < classes.size(); ++i)
    if (autoignition_K - zero_K > classes[i]) return fmt::format("T{}", i + 1);
  return "";
}

std::string ignition_advice(const Ignition& ignition, double room_K) {
  if (!ignition.flash_K && !ignition.autoignition_K && ignition.unknown.empty()) return {};
  std::string text;
  if (ignition.flash_K && *ignition.flash_K <= room_K + 5)
    text = fmt::format("{} flashes at {:.0f} degC: at {:.0f} degC any spark or flame lights its vapour.",
                       ignition.flash_of, *ignition.flash_K - zero_K, room_K - zero_K);
  else if (ignition.flash_K)
    text =
        fmt::format("{} flashes at {:.0f} degC: below that its still vapour does not light, but mist and wet rags do.",
                    ignition.flash_of, *ignition.flash_K - zero_K);
  if (!ignition.needs_rated_gear())
    return text +
           " What is sprayed is mostly water: an ordinary fan and lamps will do, unless local rules ask for more. Keep "
           "the "
           "mist off hot surfaces.";
  if (ignition.autoignition_K)
    text += fmt::format(
        "{}{} lights by itself on a surface of {:.0f} degC: no heater, hot-air gun, hot lamp or cigarette. Use lamps, "
        "a fan and switches rated for explosive air, temperature class {} or better.",
        text.empty() ? "" : " ", ignition.autoignition_of, *ignition.autoignition_K - zero_K,
        temperature_class(*ignition.autoignition_K));
  if (!ignition.unknown.empty())
    text +=
        fmt::format("{}Ignition data for {} are incomplete: assume any spark or hot surface lights {}.",
                    text.empty() ? "" : " ", listed(ignition.unknown), ignition.unknown.size() == 1 ? "it" : "them");
  return text;
}

}  // namespace witnessline::safety
