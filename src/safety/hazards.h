// Hazards of bench work: for each the question that holds steps back, and the cautions that go with it.
#pragma once

#include <array>
#include <span>
#include <string_view>

#include "base/modules.h"

namespace witnessline::safety {

/// What can hurt. `none`: a hold point of the job's own.
enum class Hazard {
  none,
  old_pigments,
  poison_mist,
  tin_contents,
  spraying_air,
  drying_air,
  ignition,
  breathing,
  skin,
  hardener,
  nitrocellulose_residue,
  oily_rags,
  nitrate_plastic,
  wheel,
  blades,
  cold
};
constexpr auto words(const Hazard*) {
  return std::array{"none",
                    "old_pigments",
                    "poison_mist",
                    "tin_contents",
                    "spraying_air",
                    "drying_air",
                    "ignition",
                    "breathing",
                    "skin",
                    "hardener",
                    "nitrocellulose_residue",
                    "oily_rags",
                    "nitrate_plastic",
                    "wheel",
                    "blades",
                    "cold"};
}

/// One fact or rule; source: a key of data/sources.bib, or "common_practice" where nobody printed it.
struct Caution {
  std::string_view says, source;
};

std::string_view question_of(Hazard);
std::span<const Caution> cautions_of(Hazard);
/// What goes where afterwards.
std::span<const Caution> waste_of(Hazard);

}  // namespace witnessline::safety
