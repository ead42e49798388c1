// What a worn filter does against a vapour, and what gets in through the skin instead.
#pragma once

#include <array>
#include <string>

#include "base/describe.h"
#include "safety/ventilation.h"

namespace witnessline {

enum class CartridgeFit { holds, holds_briefly, does_not_hold, not_known };
constexpr auto words(const CartridgeFit*) { return std::array{"holds", "holds_briefly", "does_not_hold", "not_known"}; }

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

/// Law: methanol and dichloromethane pass; otherwise by boiling point, 70 degC and up holds for a shift at up to 200
/// ppm. Source: cfr1910_1052, cartridge_rule (memory). Departs: humidity above 85 % halves the life; a change schedule,
/// not the nose, says when to change.
CartridgeAnswer cartridge_for(const VapourFacts&);

/// Source of the notation that a solvent goes through the skin in amounts that count; empty: none known here, which is
/// no leave to touch it.
std::string skin_notation(const std::string& material);

}  // namespace witnessline
