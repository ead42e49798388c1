#include "safety/room.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "base/result.h"

namespace witnessline::safety {

namespace {

/// (1 - exp(-z)) / z, 1 at zero.
double mean_of_decay(double z) { return std::abs(z) < 1e-12 ? 1.0 : -std::expm1(-z) / z; }

/// Share of the room's air filled by one release.
double left_of(const Release& r, double air_m3_s, double volume_m3, double time_s) {
  if (time_s <= r.from_s) return 0;
  const double k = air_m3_s / volume_m3;
  const double end_s = std::min(time_s, r.until_s), x = end_s - r.from_s, since_s = time_s - end_s;
  // Both exponentials are written from the slower one, so neither grows.
  const double fade = r.fade_s > 0 ? 1.0 / r.fade_s : 0.0;
  const double in_s = std::exp(-std::min(k, fade) * x) * x * mean_of_decay(std::abs(k - fade) * x);
  return r.vapour_m3_s / volume_m3 * in_s * std::exp(-k * since_s);
}

}  // namespace

double protection_factor(Respirator respirator) {
  switch (respirator) {
    case Respirator::none:
      return 1;
    case Respirator::half_mask:
      return 10;
    case Respirator::full_face:
      return 50;
    case Respirator::powered_hood:
      return 25;
    case Respirator::supplied_air:
      return 1000;
  }
  return 1;
}

std::optional<double> fan_of(const Room& room) { return room.outdoors ? std::optional(1.0) : room.fan_m3_s; }
std::optional<double> volume_of(const Room& room) { return room.outdoors ? std::optional(20.0) : room.volume_m3; }
double mixing_of(const Room& room, bool booth_holds_face) {
  if (room.outdoors) return best_mixing_factor;
  return room.mixing_factor.value_or(booth_holds_face ? best_mixing_factor : worst_mixing_factor);
}

double release_m3_s(std::span<const Release> releases, double time_s) {
  double sum = 0;
  for (const Release& r : releases)
    if (time_s >= r.from_s && time_s < r.until_s)
      sum += r.vapour_m3_s * (r.fade_s > 0 ? std::exp(-(time_s - r.from_s) / r.fade_s) : 1.0);
  return sum;
}

double concentration(std::span<const Release> releases, double air_m3_s, double volume_m3, double time_s,
                     double first) {
  expects(volume_m3 > 0 && air_m3_s >= 0, "a room has a volume and its air does not flow backwards");
  double sum = first * std::exp(-air_m3_s / volume_m3 * time_s);
  for (const Release& r : releases) sum += left_of(r, air_m3_s, volume_m3, time_s);
  return std::max(0.0, sum);  // rounding only: what is let in is never negative
}

std::vector<double> moments_of(std::span<const Release> releases, double from_s, double until_s) {
  constexpr int looks = 240;
  std::vector<double> times;
  for (int i = 0; i <= looks; ++i) times.push_back(from_s + (until_s - from_s) * i / looks);
  for (const Release& r : releases)
    for (const double t : {r.from_s, r.until_s})
      if (std::isfinite(t) && t >= from_s && t <= until_s) times.push_back(t);
  std::sort(times.begin(), times.end());
  times.erase(std::unique(times.begin(), times.end()), times.end());
  return times;
}

double highest(std::span<const Release> releases, double air_m3_s, double volume_m3, double from_s, double until_s) {
  double most = 0;
  for (const double t : moments_of(releases, from_s, until_s))
    most = std::max(most, concentration(releases, air_m3_s, volume_m3, t));
  return most;
}

std::optional<double> clear_from_s(std::span<const Release> releases, double air_m3_s, double volume_m3, double below) {
  if (air_m3_s <= 0 || below <= 0) return std::nullopt;
  // Past the last start and stop vapour only fades; once the air falls it keeps falling.
  double last_s = 0, slowest_s = volume_m3 / air_m3_s;
  for (const Release& r : releases) {
    last_s = std::max(last_s, r.from_s);
    if (std::isfinite(r.until_s)) last_s = std::max(last_s, r.until_s);
    slowest_s = std::max(slowest_s, r.fade_s);
  }
  const auto at = [&](double t) { return concentration(releases, air_m3_s, volume_m3, t); };
  double end_s = last_s + slowest_s;
  for (int doubling = 0; at(end_s) > below || at(end_s * 1.0001) > at(end_s); ++doubling) {
    if (doubling == 60) return std::nullopt;  // a steady source that never stops
    end_s *= 2;
  }
  constexpr int looks = 4000;
  double low_s = -1;
  for (int i = looks; i-- > 0 && low_s < 0;)
    if (at(end_s * i / looks) > below) low_s = end_s * i / looks, end_s = end_s * (i + 1) / looks;
  if (low_s < 0) return 0.0;
  for (int i = 0; i < 60; ++i) (at(0.5 * (low_s + end_s)) > below ? low_s : end_s) = 0.5 * (low_s + end_s);
  return end_s;
}

double purge_time_s(double air_m3_s, double volume_m3, double from_fraction, double to_fraction) {
  expects(air_m3_s > 0 && volume_m3 > 0 && from_fraction > 0 && to_fraction > 0, "nothing clears without air");
  return std::max(0.0, volume_m3 / air_m3_s * std::log(from_fraction / to_fraction));
}

}  // namespace witnessline::safety
