#include "bench/shop_time.h"

#include <algorithm>
#include <cmath>

namespace witnessline::bench {

namespace {

/// Usual hours for one solid or hollow body. Common practice, no source: from memory, each good to about a half either
/// way; practice gives 20 to 40 h for the finish of one instrument.
constexpr double usual_h(ShopWork work) {
  switch (work) {
    case ShopWork::strip_down:
      return 1.0;  // strings, hardware and electrics off, bagged and labelled
    case ShopWork::photographs:
      return 0.75;  // before, on the way and after, with the card of scale and colour
    case ShopWork::masking:
      return 0.25;  // a step, to cut tape, paper and plugs; the tape itself by area
    case ShopWork::gun_cleaning:
      return 0.5;  // a step, to mix, strain and clean the gun
    case ShopWork::test_panels:
      return 2.0;  // cards sealed, sprayed, dried, held beside the body, and sprayed again
    case ShopWork::reassembly:
      return 1.5;
    case ShopWork::setting_up:
      return 1.5;
  }
  return 0;
}
constexpr double job_log_sd = 0.35;  // ESTIMATE: half to twice, from job to job

}  // namespace

KnownTime time_of(ShopWork work, std::span<const ShopTime> own, double pace) {
  const auto logged = std::find_if(own.begin(), own.end(), [&](const ShopTime& t) { return t.work == work; });
  KnownTime known{usual_h(work) * 3600.0 * pace, {}, Kind::estimate};
  double log_sd = job_log_sd;
  if (logged != own.end())
    known.time_s = logged->time_s, known.kind = Kind::measured,
    log_sd *= std::sqrt(1.0 + 1.0 / logged->logged) / std::sqrt(2.0);
  known.band_s = {known.time_s * std::exp(-1.96 * log_sd), known.time_s * std::exp(1.96 * log_sd)};
  return known;
}

}  // namespace witnessline::bench
