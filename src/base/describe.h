// One description of each struct a file, an answer or the page may hold. `describe(visitor, struct)` is found by
// argument-dependent lookup and names every member once; the codecs in job/ make TOML, JSON, JSON Schema and
// TypeScript from it. Enums say their words with `words(Enum*)`.
#pragma once

#include <limits>
#include <string_view>

#include "base/units.h"

#include "base/modules.h"

namespace witnessline::base {

/// What is said of one member.
struct Member {
  std::string_view key;                                   ///< as in files, with the unit as suffix: "wet_um"
  std::string_view doc;                                   ///< one plain sentence
  Unit unit = unit::none;                                 ///< bench unit of the key; the member itself is SI
  double low = -std::numeric_limits<double>::infinity();  ///< smallest value allowed [bench unit]
  double high = std::numeric_limits<double>::infinity();  ///< largest value allowed [bench unit]
  bool required = false;                                  ///< must be given in a file

  constexpr Member must() const {
    Member m = *this;
    m.required = true;
    return m;
  }
  constexpr Member within(double lowest, double highest) const {
    Member m = *this;
    m.low = lowest;
    m.high = highest;
    return m;
  }
};

constexpr Member member(std::string_view key, std::string_view doc, Unit unit = unit::none) { return {key, doc, unit}; }

// A described struct reads:
//   template <class Visitor> void describe(Visitor& v, Spray& s) {
//     v(member("mixture", "what is sprayed").must(), s.mixture);
//     v(member("wet_um", "wet film of one coat", unit::um).within(5, 500), s.wet_m);
//   }
// and an enum:
//   constexpr auto words(const LiftBy*) { return std::array{"swab", "scrape", "chip", "rub"}; }

}  // namespace witnessline::base
