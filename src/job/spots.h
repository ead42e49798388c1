// Spot tests a plan needs before it sprays over what was there before; those not answered hold it back.
#pragma once

#include "job/job.h"

namespace witnessline::job {

/// Questions still open, one a kind of spot and coat, each holding back the first step that lays there.
/// Law: over every old coat and wood that was finished before: fisheye; a light coat over a dye or a red: bleed;
/// where it may lift: wrinkle; where it only sits on top: bond.
/// Source: common_practice. Departs: asks only by what the job says is there.
std::vector<HoldPoint> open_spots(const Job&, const Plan&, const Run&, const Library&);

/// True when dye in the film can come up through what is laid over it: a toner, or a colour that is red in full film.
bool may_bleed(const Material&);
/// True when a coat of it is light enough for that to show.
bool light(const Material&);

}  // namespace witnessline::job
