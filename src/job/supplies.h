// Supplies: whether what stands on the shelf holds out for a plan, and whether its tins may be used.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "base/figure.h"
#include "job/job.h"

namespace witnessline::job {

/// What a plan asks of one material that its gun lays.
struct Supply {
  Figure needed;         ///< with test cards and what stays in the gun, 95 % band
  double beside_m3 = 0;  ///< of that, what the steps do not book: cards, cup, hose and strainer, at every filling
  Figure enough;         ///< chance that the shelf holds out; not known where nothing stands there
  std::string give_up;   ///< first, where that chance is below nine in ten
  std::string strain;    ///< common practice, no source
};
/// By material id. Law: enough_of() on what the steps book, with the spreads, card, cup and loss of `usual`; loss and
/// card are shared by the parts of the mix. Tins of one material are added up.
std::map<std::string, Supply> supplies_of(const Job&, const Run&, const Library&);

/// One note a material whose shelf has less than nine chances in ten of holding out; one a tin of the job that the plan
/// uses, with its verdict.
std::vector<Note> notes_on_supplies(const Job&, const Run&, const Library&);

/// Tins judged not to be used: each holds the steps back that lay its material.
std::vector<HoldPoint> refused_tins(const Job&, const Plan&, const Run&, const Library&);

}  // namespace witnessline::job
