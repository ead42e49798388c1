// Where a cut must stop: what is known of the coats at one place, and what a cut from the air side comes to.
#pragma once

#include <optional>
#include <unordered_map>
#include <vector>

#include "view/readings.h"

namespace witnessline::view {

inline constexpr double edge_share = 0.5;  ///< ESTIMATE: a block takes up to twice as much near an edge as on the flat

/// Dry film of one coat at a place [m].
struct FilmEstimate {
  double laid = 0, left = 0;
  double laid_sd = 0, left_sd = 0;
};

/// Law: left = laid - taken, taken = `most_m` (in any state so far) less `now_m` (signed: a cut that passed the bottom
/// counts whole). For a coat found, laid is the survey's mean, not the drawn unevenness of the film. Standard
/// deviations: 10 % of what was laid, the survey's spread, 25 % of what was taken, independent (ESTIMATE).
FilmEstimate known_film(double most_m, double now_m, std::optional<double> surveyed_m, double spread_share);

/// A coat as a cut meets it.
struct CoatLeft {
  double film_m = 0, sd_m = 0;
  Origin origin{};
  bool hazard = false;
};

/// One thing a cut comes to: a coat by its index, or the wood (index = how many coats there are).
struct CutTarget {
  std::size_t coat = 0;
  StopFor why{};
  double above_m = 0, sd_m = 0;  ///< dry film above it
  /// A restorer cuts to the thinnest the film may be, not to what it most likely is [m].
  double depth_m(double share) const;
};

/// The next coat, the first original coat and the wood, each once; a hazard ends the list. `coats` air side first.
std::vector<CutTarget> cut_targets(const std::vector<CoatLeft>& coats);

/// Places within 4 mm of an edge (ESTIMATE), where a block or buff cuts more.
class EdgeBand {
 public:
  explicit EdgeBand(const Body&);
  bool holds(Vec3) const;

 private:
  std::unordered_map<std::uint64_t, std::vector<Vec3>> cells_;  ///< vertices of the edge
};

}  // namespace witnessline::view
