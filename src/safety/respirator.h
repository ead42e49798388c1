// What a worn filter does against a vapour, and what gets in through the skin instead.
#pragma once

#include <array>
#include <string>
#include <vector>

#include "base/describe.h"
#include "safety/ventilation.h"

namespace witnessline::safety {

enum class CartridgeFit { holds, holds_briefly, too_much, does_not_hold, not_known };
constexpr auto words(const CartridgeFit*) {
  return std::array{"holds", "holds_briefly", "too_much", "does_not_hold", "not_known"};
}

/// Whether an organic-vapour cartridge may be relied on for one solvent.
struct CartridgeAnswer {
  std::string solvent;
  CartridgeFit fit = CartridgeFit::not_known;
  std::string says;  ///< one plain sentence
  std::string source;
};
template <class V>
void describe(V& v, CartridgeAnswer& c) {
  v(member("solvent", "what is breathed"), c.solvent);
  v(member("fit", "whether an organic-vapour cartridge holds it"), c.fit);
  v(member("says", "one plain sentence"), c.says);
  v(member("source", "key of its source"), c.source);
}

/// `peak_share`: the most of it in the air where people breathe [share by volume]; not finite: not known.
/// Law: methanol and dichloromethane pass; otherwise by boiling point, 70 degC and up holds for a shift at up to 200
/// ppm. Source: cfr1910_1052, cartridge_rule (memory). Departs: humidity above 85 % halves the life; several vapours
/// at once share one cartridge; a change schedule, not the nose, says when to change.
CartridgeAnswer cartridge_for(const VapourFacts&, double peak_share);

/// The same for all that turns to vapour together. `peak_of_all_share`: the most vapour where people breathe [share by
/// volume], which the solvents share as they evaporate.
std::vector<CartridgeAnswer> cartridges_for(std::span<const VapourFlow>, double temperature_K,
                                            double peak_of_all_share);
/// In place of those where the air holds a poison ("isocyanate"): no cartridge is relied on. Source: common_practice.
CartridgeAnswer cartridge_against(const std::string& poison);
/// True when every one is held for a shift: nothing less is credited.
bool all_hold(std::span<const CartridgeAnswer>);

enum class AirVerdict { enough, enough_with_respirator, enough_with_nobody_in, too_little, not_known, do_not_spray };
constexpr auto words(const AirVerdict*) {
  return std::array{"enough",      "enough_with_respirator", "enough_with_nobody_in", "too_little", "not_known",
                    "do_not_spray"};
}

/// Who is in the room: somebody at work in what they wear, or nobody until the air has cleared.
struct InTheRoom {
  double of_limit = 0;       ///< highest vapour where people breathe over its limit
  double worn_of_limit = 0;  ///< the same inside the respirator worn
  bool nobody = false;
  bool poison_mist = false;    ///< what is sprayed holds a poison: no air is enough
  bool poison_vapour = false;  ///< what is laid or dries gives one off that is not worked out
};
/// Whether a fan is enough. Fire and the booth's face are met by air alone; breathing may be met by a respirator that
/// is credited with the rest, or by keeping out. No fan given, or a demand not known: not known, unless what is known
/// is already too much.
AirVerdict verdict_of(const AirAsked&, std::optional<double> fan_m3_s, const InTheRoom&);

}  // namespace witnessline::safety
