// What to add to a batch whose panel did not come out as wanted.
#pragma once

#include "base/figure.h"
#include "match/learn.h"
#include "match/match.h"

namespace witnessline::match {

/// A batch in the cup, and the panel laid from it.
struct BatchPanel {
  std::vector<double> mass_kg;  ///< in the cup now, a tin of the shelf
  Reflectance read;             ///< the dry panel, laid as planned
  double log_sd = 0.15;         ///< how well the panel's dry film is known (log-normal)
};

/// How well the shelf is known: of each band log K of every tin, then log S.
struct ShelfKnowledge {
  std::vector<Matrix> log_covariance;
  double misfit = 0.02;  ///< of the shelf's model [1]
};
/// The same doubt for every tin and band. ESTIMATE: 0.15, as between two tins of one colour.
ShelfKnowledge plain_knowledge(std::size_t tins, double log_sd = 0.15);

struct CorrectChoice {
  double tolerance_delta_e = 1;
  int most_additions = 3;
  double most_added = 3;  ///< times the batch in the cup; beyond that a new batch is mixed
};

struct Correction {
  std::vector<Pour> additions;         ///< largest first; none: it is close enough, or nothing helps
  std::vector<Pour> batch;             ///< the whole batch after them
  std::vector<Pour> next_batch;        ///< the same at the size the batch has now, for mixing again
  double batch_kg = 0;                 ///< after the additions
  std::vector<ViewDifference> before;  ///< as the panel was read
  std::vector<ViewDifference> after;   ///< as predicted with the additions
  double closeness_before = 0, closeness_after = 0;
  double likely_after = 0;      ///< mean over what the tins, the law, the film and the weighing may be
  Band likely_band;             ///< 90 of 100 panels; see likely_panels()
  double predicted_before = 0;  ///< how far off the panel was predicted to be before it was read
  bool within = false;          ///< the additions bring it within the tolerance
  bool spared = false;          ///< some tin that cannot be replaced was left shut, where it could have been used
  double panel_film_ratio = 1;  ///< of the panel's film to the planned one, as found
  std::vector<Tin> shelf;       ///< as known after the panel
  ShelfKnowledge known;
  std::vector<Note> notes;
};

/// The smallest additions that bring a batch well within the tolerance, without tins that cannot be replaced where
/// others do; else just within it; else as near as they can. Lead and its like come into a batch that held none only
/// where nothing else gets within the tolerance.
/// Law: the shelf's K and S as the panel has changed them (learned()); what the panel still reads apart from the
/// prediction is carried over, in XYZ under each lamp. For a mass added the nearest mixture is found with what is in
/// the cup as lower bound; the least mass that comes within half the tolerance is taken, of up to three colorants.
/// Valid: additions that leave the batch of its kind. Departs: the part carried over is taken as unchanged by the
/// additions. Errors: as match(); a batch of nothing, a reading that is no reflectance.
Result<Correction> correct(const std::vector<Tin>&, const ShelfKnowledge&, const Aim&, const LaidFilm&, const Weighing&,
                           const BatchPanel&, const CorrectChoice& = {});

}  // namespace witnessline::match
