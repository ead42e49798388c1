// How near a panel of a recipe is likely to come, as well as tins, film and the law of mixing are known.
#pragma once

#include "base/figure.h"
#include "match/correct.h"

namespace witnessline::match {

/// A mixture as it was poured, and what is seen of it.
struct PouredFilm {
  std::vector<Pour> pours;
  double step_kg = 0;             ///< of the scale; each weighing lies within half of it
  bool under_aged_clear = false;  ///< read as aged, not as on the day
};

/// Panels as they may come out, `draws` of them, always the same.
/// Law: log K and log S of every tin poured vary as its covariance in each band says, each by itself and over the
/// wavelengths as exp(-distance / 150 nm); log K of the mixture as well, by what the shelf's model misses (its misfit,
/// taken where reflectance moves most with K); the film by its own doubt; each weighing within half a step. Valid: the
/// model of match(). Departs: ground and clear are taken as exact.
std::vector<Reflectance> likely_panels(const std::vector<Tin>&, const ShelfKnowledge&, const LaidFilm&,
                                       double specular_share, const PouredFilm&, int draws);

struct LikelyCloseness {
  double mean = 0;
  Band band;  ///< 90 of 100 panels
};

/// Of a recipe, over the views that count. Departs: the target's own doubt is not in it.
LikelyCloseness likely_closeness(const std::vector<Tin>&, const ShelfKnowledge&, const Aim&, const LaidFilm&,
                                 const Weighing&, const Recipe&);

}  // namespace witnessline::match
