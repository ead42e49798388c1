// What lights the vapour of a liquid, and what may stand near it.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "safety/ventilation.h"

namespace witnessline::safety {

/// The lowest flash point and autoignition temperature among what evaporates.
struct Ignition {
  std::optional<double> flash_K, autoignition_K;
  std::string flash_of, autoignition_of;
  std::vector<std::string> unknown;       ///< vapours of which one of the two is missing: taken as easily lit
  double water_m3_s = 0, burns_m3_s = 0;  ///< of the liquid

  /// Whether lamps, fan and switches must be those made for explosive air. Law: yes, but for water that carries less
  /// than its own volume of liquids which are all known and flash above 60 degC, where a liquid no longer counts as
  /// flammable. Source: ghs_flammable; the half is an ESTIMATE (docs/estimates.md).
  bool needs_rated_gear() const;
};
Ignition ignition_of(std::span<const VapourFlow>);
/// The easier lit of two, and what is unknown of either.
Ignition either_of(Ignition, const Ignition&);

/// Highest surface temperature class of electrical equipment that stays below an autoignition temperature: "T3".
/// Law: T1 450, T2 300, T3 200, T4 135, T5 100, T6 85 degC at most. Source: iec60079_20_1 (classes of IEC 60079-0).
std::string temperature_class(double autoignition_K);

/// In plain sentences: when it lights, how hot a surface may be. Empty where nothing that burns evaporates.
std::string ignition_advice(const Ignition&, double room_K);

}  // namespace witnessline::safety
