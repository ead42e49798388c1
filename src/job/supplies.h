// Supplies: whether what stands on the shelf holds out for a plan, and whether its tins may be used.
#pragma once

#include <vector>

#include "job/job.h"

namespace witnessline {

/// One note a material the gun lays whose tin has less than nine chances in ten of holding out, with what to give up
/// first; one a tin of the job that the plan uses, with its verdict. Law: chance_enough() on what the steps book, its
/// spreads ESTIMATE: area 5 %, film, transfer and volume solids 15 % each, the tin 3 %, 20 mL lost a step in cup and
/// strainer, shared by the parts of the mix. Tins of one material are added up.
std::vector<Note> notes_on_supplies(const Job&, const Run&, const Library&);

}  // namespace witnessline
