// What is handled, and what of it can hurt: one function for every answer and every step of a plan.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "base/result.h"
#include "materials/material.h"
#include "safety/hazards.h"

namespace witnessline::safety {

/// Something handled: a material of the library, and what was seen of the tin or coat itself.
struct Handled {
  const Material* material = nullptr;  ///< nullptr: only what was seen is known of it
  std::string name;                    ///< as a person calls it; empty: the material's name
  bool old_colour = false;             ///< opaque paint of an age at which it counts as leaded, see counts_as_leaded()
  bool cured_film = false;             ///< a film hard for a year or more: not sprayed, mixed or curing any more
};

/// What is done to it. All false: it is read, matched or compared, and still stands on the bench.
struct Work {
  bool sprays = false;
  bool wets = false;  ///< wiped, swabbed, thinned, brushed
  bool cuts = false;  ///< sanded, scraped, rubbed through, buffed
  bool heats = false;
  bool opens = false;  ///< a tin's lid
};

/// Whether opaque paint of an age counts as leaded until a laboratory says otherwise: older than 30 years, or of no
/// known age. Source: common_practice (usc15_1278a: consumer paint was limited to 600 ppm in 1978, in other trades and
/// countries later).
bool counts_as_leaded(std::optional<double> years_old);

/// Adds each material of a mixture, under its own name.
void add_mixture(std::vector<Handled>&, const Mixture&, const Library&);

struct RaisedHazard {
  Hazard hazard = Hazard::none;
  Severity severity = Severity::caution;
  std::string text;             ///< what, where, what to do
  std::vector<std::string> of;  ///< ids of the materials it comes from; what was only seen has none
};

/// Every hazard of what is handled, the gravest first, each once for all it applies to. Hazards come from data of the
/// materials (holds) and from what was seen, never from ids or names.
std::vector<RaisedHazard> hazards_of(std::span<const Handled>, const Work&);

/// Those hazards as notes.
std::vector<Note> hazard_notes(std::span<const Handled>, const Work&);

/// What a paint's mist holds that no flow of air and no vapour cartridge makes safe: "lead and chromate", "isocyanate".
/// Empty: nothing known.
std::string poison_of_mist(const Material&);
/// What it gives off while it cures, beside its solvents: isocyanate, formaldehyde, styrene.
std::string given_off_curing(const Material&);
/// The metals of it alone, which stay poison in the dry film: lead, chromate, arsenic, mercury.
std::string metals_of(const Material&);

}  // namespace witnessline::safety
