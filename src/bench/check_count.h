// Checks counted on untouched parts: the evidence that sets how new ones run and how far apart they lie.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "base/describe.h"
#include "base/units.h"

namespace witnessline::bench {

enum class CheckRun { across, along };
constexpr auto words(const CheckRun*) { return std::array{"across", "along"}; }

/// Checks counted along a line; none counted is evidence too.
struct CheckCount {
  std::string name;
  CheckRun run{};
  int counted = 0;
  double over_m = 0.1;
  double film_m = 60e-6;
};
template <class V>
void describe(V& v, CheckCount& c) {
  v(member("name", "the part and the line").must(), c.name);
  v(member("run", "checks run across the grain or along it").must(), c.run);
  v(member("counted", "how many cross the line; 0 if none").within(0, 500).must(), c.counted);
  v(member("over_mm", "length of the line, square to the checks", unit::mm).within(5, 2000).must(), c.over_m);
  v(member("film_um", "finish there, as far as known", unit::um).within(1, 1000), c.film_m);
}

/// Length of checks on an area, over that area, by how they run [1/m]; the inverse is their mean distance.
struct CheckPattern {
  double across_per_m = 0, along_per_m = 0;
  double per_m() const { return across_per_m + along_per_m; }
  double share_across() const { return per_m() > 0 ? across_per_m / per_m() : 0; }
};

/// What all rows together show. Law: length over area = checks met over the length of line that meets them.
/// Source: santalo1976.
struct CountedChecks {
  CheckPattern pattern;
  int counted = 0;
  double film_m = 60e-6;  ///< mean over the rows
  /// The same finish laid `film_m` thick. Law: distance goes with thickness. Source: xia2000.
  CheckPattern in_film(double thick_m) const;
};
/// Empty without rows. With `counted` 0 the parts show none.
std::optional<CountedChecks> counted_checks(const std::vector<CheckCount>&);

}  // namespace witnessline::bench
