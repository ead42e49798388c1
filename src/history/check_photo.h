// Checks counted on a photograph with a scale: how far apart they lie, which way they run, and how sure that is.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "base/figure.h"
#include "base/result.h"
#include "history/evidence.h"
#include "history/fine_lines.h"

namespace witnessline::history {

struct CheckPhotoAsked {
  double m_per_px = 0, scale_sd_frac = 0.01;
  double grain_rad = 0;  ///< 0: along the picture's width; counted against the clock, as seen
  bool pale = false;     ///< checks show paler than the finish
  double film_m = 60e-6;
  std::string name;  ///< of the place, for the evidence
};

/// Checks that run one way.
struct ChecksRun {
  CheckRun run{};
  int lines = 0;
  double length_m = 0;
  double crossings_per_m = 0;  ///< as found
  double spacing_m = 0;        ///< from one to the next along a line square to them; infinite: none found
  Band band;                   ///< 95 %, of the surface the photograph is a part of
  double square_rad = 0;       ///< how far their mean direction is from square to the grain, or from along it
  double spread_rad = 0;       ///< standard deviation of their direction
  double missed_frac = 0;      ///< of lines like those found, laid in elsewhere
  double false_frac = 0;       ///< of the length found, by lines of the other kind
  double evenness = 0;         ///< scatter of the gaps over their mean; 0: ruled, 1: as by chance
  /// The same as a count along a line; absent where most of what was found is as likely noise.
  std::optional<CheckCount> evidence;
};

struct CheckSeen {
  CheckRun run{};
  FineLine line;
};

struct CheckPhoto {
  double area_m2 = 0;  ///< looked at
  ChecksRun across, along;
  double aslant_m = 0;                      ///< lines neither across nor along
  double broad_m = 0;                       ///< lines broader than a check
  double least_contrast = 0;                ///< of a line 50 um wide, to be found
  std::vector<double> length_by_bearing_m;  ///< in 12 ways from along the grain, 15 degrees each, all narrow lines
  std::vector<CheckSeen> seen;              ///< longest first
  std::vector<Note> notes;
};

inline constexpr double coarsest_m = 0.1e-3;        ///< ESTIMATE: a pixel larger than this shows no check
inline constexpr double broadest_check_m = 0.4e-3;  ///< ESTIMATE: with its dirt and the blur of the picture
inline constexpr double least_check_m = 2e-3;       ///< ESTIMATE: shorter lines are taken for specks
inline constexpr std::size_t most_pixels = 12'000'000;

/// Law: fine lines within 30 degrees of square to the grain, and of along it; crossings a length of test lines square
/// to their mean direction; spacing is the inverse, put right for what is missed (the lines found are laid in
/// again elsewhere and looked for) and for what is false (lines of the other kind are as likely false ones). Band: a
/// Poisson count of (sum of lengths)^2 over sum of squares, the scale, and half of what was put right.
/// Source: santalo1976. Valid: pixel of 0.1 mm at most, flat and square on. Departs: faint checks are missed whatever
/// the found ones say; a scratch, a pore or late wood as fine and dark as a check is counted as one.
/// Errors: pixel too coarse; picture too small or too large; burnt out; only broad lines (out of focus, or figure);
/// lines too faint.
Result<CheckPhoto> count_checks(const Image&, const CheckPhotoAsked&, const std::string& file);

}  // namespace witnessline::history
