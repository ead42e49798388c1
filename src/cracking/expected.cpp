#include "cracking/expected.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace witnessline::cracking {

namespace {
/// Share of places where a normal logarithm stays below `log_drive`.
double share_weaker(double log_drive, double sd) {
  return sd > 0 ? 0.5 * std::erfc(-log_drive / (sd * std::sqrt(2.0))) : log_drive >= 0 ? 1.0 : 0.0;
}
}  // namespace

double ExpectedChecks::spacing_m() const {
  return length_m_per_m2 > 0 ? 1 / length_m_per_m2 : std::numeric_limits<double>::infinity();
}

ExpectedChecks expected_checks(const CheckDrive& drive, const Flawed& film) {
  ExpectedChecks all;
  if (drive.depth_m <= 0) return all;
  const bool opens_along = drive.spot_opens_along();
  const double runs = opens_along ? drive.run().along : drive.run().across;
  if (!(runs > 0)) return all;
  // From one patch to the next, both ways.
  const double on = share_weaker(std::log(runs), film.toughness_log_sd);
  const double run_m = std::min(film.longest_m, film.toughness_length_m * (1 + 2 * on / std::max(1e-6, 1 - on)));
  constexpr int classes = 48;  // of flaws, by rising depth, equally many in each
  for (int i = 0; i < classes; ++i) {
    const double drives = drive.from_flaw(-film.depth_share * std::log1p(-(i + 0.5) / classes), opens_along);
    if (drives > 0) all.per_m2 += film.flaws_per_m2 / classes * share_weaker(std::log(drives), film.toughness_log_sd);
  }
  all.length_m_per_m2 = all.per_m2 * run_m;
  return all;
}

}  // namespace witnessline::cracking
