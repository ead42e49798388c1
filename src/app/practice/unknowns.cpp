// What was conditioned on practice: each unknown with its width before and after, and the answers that move with it.
#include <fmt/format.h>

#include <cmath>

#include "app/practice/practice.h"
#include "bench/wear_unknowns.h"
#include "drying/belief.h"

namespace witnessline::app {

namespace {

/// Answers that a drying unknown moves beside the times of `dry` and the waits of plans.
const char* moved_by(Unknown which) {
  switch (which) {
    case Unknown::hardness:
    case Unknown::resin_transition:
      return "dry: level, buff, case, and what is too soft to cut; check steps that refuse a soft film";
    case Unknown::glass:
    case Unknown::jump:
      return "dry: solvent left after weeks, level and buff; freezer cautions of checks";
    case Unknown::kept:
      return "dry: solvent left after months, how far a hollow still sinks; freezer cautions of checks";
    case Unknown::binder:
      return "dry: shellac, oil, and films that cure";
    case Unknown::wet_diffusivity:
    case Unknown::solvent_transition:
    case Unknown::transfer:
    case Unknown::laid:
      break;
  }
  return "dry: touch, handle, recoat; waits of plans";
}

std::string spelt(std::string word) {
  for (char& c : word)
    if (c == '_') c = ' ';
  return word;
}

}  // namespace

std::string unknowns_section() {
  std::string text =
      "\n## What was conditioned, and what moves with it\n\n"
      "Every value is an ESTIMATE. Width: one standard deviation, of the value for drying, as a factor for wear.\n\n"
      "| unknown | before practice | after practice | answers that move |\n|---|---|---|---|\n";
  constexpr auto drying = words(static_cast<const Unknown*>(nullptr));
  for (const Conditioned& c : conditioned_unknowns())
    text += fmt::format("| {} [{}] | {:.3g} +- {:.2g} | {:.3g} +- {:.2g} | {} |\n",
                        spelt(drying[static_cast<std::size_t>(c.unknown)]), c.unit, c.prior, c.prior_sd, c.mean, c.sd,
                        moved_by(c.unknown));
  constexpr auto wear = words(static_cast<const WearUnknown*>(nullptr));
  for (std::size_t i = 0; i < wear.size(); ++i) {
    const ConditionedWear& c = wear_unknown(static_cast<WearUnknown>(i));
    text += fmt::format("| {} [{}] | {:.3g}, a factor of {:.1f} | {:.3g}, a factor of {:.1f} | {} |\n", spelt(wear[i]),
                        c.unit, c.prior, std::exp(c.prior_sd_ln), c.value, std::exp(c.sd_ln), c.moves);
  }
  return text;
}

}  // namespace witnessline::app
