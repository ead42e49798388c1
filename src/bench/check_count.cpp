#include "bench/check_count.h"

namespace witnessline::bench {

CheckPattern CountedChecks::in_film(double thick_m) const {
  const double thinner = film_m / thick_m;
  return {pattern.across_per_m * thinner, pattern.along_per_m * thinner};
}

std::optional<CountedChecks> counted_checks(const std::vector<CheckCount>& rows) {
  if (rows.empty()) return {};
  double over_m[2] = {0, 0}, film_m = 0;
  int counted[2] = {0, 0};
  for (const CheckCount& row : rows) {
    over_m[static_cast<int>(row.run)] += row.over_m, counted[static_cast<int>(row.run)] += row.counted;
    film_m += row.film_m / static_cast<double>(rows.size());
  }
  const auto per_m = [&](CheckRun run) {
    const auto r = static_cast<std::size_t>(run);
    return over_m[r] > 0 ? counted[r] / over_m[r] : 0.0;
  };
  return CountedChecks{{per_m(CheckRun::across), per_m(CheckRun::along)}, counted[0] + counted[1], film_m};
}

}  // namespace witnessline::bench
