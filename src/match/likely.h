// How near a panel of a recipe is likely to come, as well as the tins are known.
#pragma once

#include "base/figure.h"
#include "match/correct.h"

namespace witnessline {

struct LikelyCloseness {
  double mean = 0;
  Band band;  ///< 95 of 100 panels
};

/// Law: draws of log K and log S of the tins poured, from their covariance in each band with one draw for all bands,
/// and of each weighing within half a step of the scale. The same seed each time. Valid: the model of match(). Departs:
/// bands go off together, which is right for strength and too much for the misfit of a single band; the film's
/// thickness, the target's own doubt and what the model leaves out are not in it.
LikelyCloseness likely_closeness(const std::vector<Tin>&, const ShelfKnowledge&, const Aim&, const LaidFilm&,
                                 const Weighing&, const Recipe&);

}  // namespace witnessline
