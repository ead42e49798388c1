// Supplies: whether what stands on the shelf holds out for a plan, and whether its tins may be used.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "base/figure.h"
#include "bench/paint.h"
#include "job/job.h"

namespace witnessline::job {

/// A tin with what is in it: the parts of the mixture of the job it is named by.
PaintTin with_parts(const PaintTin&, const Job&);
/// What a person calls a material of the library or a mixture of the job.
std::string name_of(const std::string& id, const Job&, const Library&);
/// How much of it is on the shelf, all tins added up; none: no tin of it.
std::optional<double> on_shelf_m3(const std::string& id, const Job&);

/// What is used, as it is taken from the shelf: a mixture from a tin of that mixture until the tin is empty; the rest
/// of it, and every other mixture, as its parts.
std::vector<Used> taken_from_shelf(const std::vector<Used>&, const Job&);

/// What a plan asks of one material that its gun lays, or of one mixture that stands mixed on the shelf.
struct Supply {
  Figure needed;         ///< with test cards and what stays in the gun, 95 % band
  double beside_m3 = 0;  ///< of that, what the steps do not book: cards, cup, hose and strainer, at every filling
  Figure enough;         ///< chance that the shelf holds out; not known where the shelf has none
  std::string give_up;   ///< first, where that chance is below nine in ten
  std::string strain;    ///< common practice, no source
};
/// By id of what stands on the shelf. What a mixture's tin does not hold of the median is asked of its parts. Law:
/// enough_of() on what the steps book, with the spreads, card, cup and loss of `usual`; loss and card are shared by the
/// parts of the mix. Tins of one material are added up.
std::map<std::string, Supply> supplies_of(const Job&, const Run&, const Library&);

/// One note a material whose shelf has less than nine chances in ten of holding out; one a tin of the job that the plan
/// uses, with its verdict.
std::vector<Note> notes_on_supplies(const Job&, const Run&, const Library&);

/// Tins judged not to be used: each holds the steps back that lay its material.
std::vector<HoldPoint> refused_tins(const Job&, const Plan&, const Run&, const Library&);

}  // namespace witnessline::job
