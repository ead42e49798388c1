// Knocks: what a life leaves beside even rubbing: dings, chipped edges, buckle scratches.
#pragma once

#include "bench/contact.h"
#include "bench/step_context.h"

namespace witnessline::bench {

/// Where knocks fall and how hard they press there.
struct KnockField {
  std::vector<float> per_m2;       ///< of all knocks, the share that falls on a square metre there [1/m2]
  std::vector<float> pressure_Pa;  ///< mean under a flat thing that falls against the body
};
/// Law: half of the knocks are flat things pressed on the body from everywhere around it (press(), no tilt), the other
/// half small things that reach every place alike (ESTIMATE).
KnockField knock_field(const Body&, Key);

/// A chip's outline is ragged; its mean radius over half its width (ESTIMATE).
inline constexpr double chip_radius_share = 0.82;
/// 1 at vertices inside a chip's mean outline.
std::vector<char> under_chips(const Body&, std::span<const Mark>);

/// Adds the dings, chips and scratches of a life to the film, where `reach` is open, and takes the film of the chips
/// out of it: all coats from layer `keep_below` up inside their mean outline, booked as cut. Law: so many a year out of
/// its case and an hour of play (ESTIMATE); each falls into a cell of 12 mm with the chance of its area under the
/// field, its place and size drawn by seed and cell, so the mesh does not matter and a longer life keeps the marks of a
/// shorter one. Where the pressure of a knock is high the film chips; a chip ends at a check. Departs: a vertex is
/// inside or not, so the volume of few chips on a coarse mesh is right only on average.
void add_marks_of_life(StepContext&, const Life&, const ContactField&, const Reach& reach, std::size_t keep_below);

}  // namespace witnessline::bench
