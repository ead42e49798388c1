// Knocks: what a life leaves beside even rubbing: dings, chipped edges, buckle scratches.
#pragma once

#include "bench/contact.h"
#include "bench/doing.h"

namespace witnessline {

/// Where knocks fall and how hard they press there.
struct KnockField {
  std::vector<float> per_m2;       ///< of all knocks, the share that falls on a square metre there [1/m2]
  std::vector<float> pressure_Pa;  ///< mean under a flat thing that falls against the body
};
/// Law: half of the knocks are flat things pressed on the body from everywhere around it (press(), no tilt), the other
/// half small things that reach every place alike (ESTIMATE).
KnockField knock_field(const Body&, Key);

/// Adds the dings, chips and scratches of a life to the film, where `reach` is open.
/// Law: so many a year out of its case and an hour of play (ESTIMATE); each falls into a cell of 12 mm with the chance
/// of its area under the field, its place and size drawn by seed and cell, so the mesh does not matter and a longer
/// life keeps the marks of a shorter one. Where the pressure of a knock is high the film chips; a chip ends at a check.
void add_marks_of_life(Doing&, const Life&, const ContactField&, const Reach& reach);

}  // namespace witnessline
