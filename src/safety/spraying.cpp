#include "safety/spraying.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "base/result.h"

namespace witnessline::safety {

namespace {

constexpr double never_s = std::numeric_limits<double>::infinity();

/// What a film holds at the end of spraying, over what it would hold were nothing to leave, per second of gun.
double held_s(const Spraying& s) {
  double sum = 0;
  for (int coat = 0; coat < s.coats; ++coat) {
    const double since_s = s.end_s() - coat * (s.coat_s + s.flash_s) - s.coat_s;
    sum += std::exp(-since_s / s.fade_s) * -std::expm1(-s.coat_s / s.fade_s) * s.fade_s;
  }
  return sum;
}

}  // namespace

Releases releases_of(const Spraying& s, double vapour_m3_s, bool moved) {
  expects(s.fade_s > 0 && s.coat_s > 0, "a coat takes time to spray and to dry");
  Releases r;
  const double landed_m3_s = vapour_m3_s * s.landed_fraction, last_s = moved ? s.end_s() : never_s;
  for (int coat = 0; coat < s.coats; ++coat) {
    const double from_s = coat * (s.coat_s + s.flash_s), until_s = from_s + s.coat_s;
    r.spraying.push_back({from_s, until_s, vapour_m3_s, 0});
    if (landed_m3_s <= 0) continue;
    // The film fills while it is sprayed, dM/dt = landed - M/fade: steady less one fading, and one more after.
    r.spraying.push_back({from_s, last_s, -landed_m3_s, s.fade_s});
    if (until_s < last_s) r.spraying.push_back({until_s, last_s, landed_m3_s, s.fade_s});
  }
  if (moved) r.drying.push_back({0, never_s, landed_m3_s * held_s(s) / s.fade_s, s.fade_s});
  return r;
}

std::vector<VapourFlow> drying_flows(const Spraying& s) {
  std::vector<VapourFlow> flows = s.flows;
  for (VapourFlow& f : flows) f.liquid_m3_s *= s.landed_fraction * held_s(s) / s.fade_s;
  return flows;
}

AirRecord air_record(std::span<const Release> releases, double air_m3_s, double volume_m3, double mixing_factor,
                     double shown_s) {
  constexpr double day_s = 8 * 3600.0;
  AirRecord record;
  const double breathed_m3_s = air_m3_s / mixing_factor;
  for (const double t : moments_of(releases, 0, shown_s)) {
    record.time_s.push_back(t);
    record.room_share.push_back(concentration(releases, air_m3_s, volume_m3, t));
    record.breathing_share.push_back(concentration(releases, breathed_m3_s, volume_m3, t));
  }
  record.peak_room_share = *std::max_element(record.room_share.begin(), record.room_share.end());
  record.peak_breathing_share = *std::max_element(record.breathing_share.begin(), record.breathing_share.end());
  double sum = 0;
  constexpr int steps = 960;  // half-minutes of the day
  for (int i = 0; i < steps; ++i) sum += concentration(releases, breathed_m3_s, volume_m3, day_s * (i + 0.5) / steps);
  record.breathing_day_share = sum / steps;
  return record;
}

}  // namespace witnessline::safety
