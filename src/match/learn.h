// What one more panel teaches about a set of colorants.
#pragma once

#include "match/characterise.h"

namespace witnessline::match {

/// How far a panel may move a set.
struct Learning {
  double drift_log_sd = 0.05;  ///< by which a colorant's K and S differ from tin to tin. ESTIMATE
  double misfit = 0.02;        ///< least misfit a reading is credited with [1]; the set's own counts where larger
};

struct Learned {
  ColorantSet set;
  FilmThickness thickness;  ///< of the panel, as found
};

/// The set after a panel of known composition was read.
/// Law: in each band the most probable log K and log S under the set's own covariance and the reading (one step of
/// Bayes, taken to its fixed point by Gauss-Newton: an iterated extended Kalman update); thickness found before, its
/// doubt counted against the reading. Source: jazwinski1970 8.3. Valid: panels of the set's kind; a covariance a band.
/// Departs: bands are taken as independent; how thickness and strength trade off is known only through the doubt of the
/// thickness. Errors: as predict; a set without covariance.
Result<Learned> learned(const ColorantSet&, const FilmReading& panel, const Learning& = {});

}  // namespace witnessline::match
