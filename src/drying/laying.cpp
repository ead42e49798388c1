#include "drying/laying.h"

#include <algorithm>
#include <cmath>

#include "base/result.h"

namespace witnessline::drying {

namespace {

/// Of the run, at a time scaled to another depth of solvent: the surface-limited loss takes time in proportion.
struct Left {
  double fraction, temperature_K;
};
Left left_at(const EvaporationRun& run, double time_s) {
  const auto& m = run.moments;
  if (time_s <= m.front().time_s) return {m.front().left_fraction, m.front().film_temperature_K};
  const auto after =
      std::lower_bound(m.begin(), m.end(), time_s, [](const EvaporationMoment& at, double t) { return at.time_s < t; });
  if (after == m.end()) return {m.back().left_fraction, m.back().film_temperature_K};
  const auto before = after - 1;
  const double t = (time_s - before->time_s) / (after->time_s - before->time_s);
  return {before->left_fraction + t * (after->left_fraction - before->left_fraction),
          before->film_temperature_K + t * (after->film_temperature_K - before->film_temperature_K)};
}

constexpr double flows_no_more_Pa_s = 100;  // moves less than 1 um/s at 150 um: it is set

/// When of its run a film lands.
double landing_s(const Setting& s) {
  return s.lost_in_flight > 0 ? s.run.time_to_lose_s(s.lost_in_flight).value_or(0) : 0;
}

struct Film {
  double depth_m, solids;
};
Film film_at(double wet_m, const Setting& s, double left) {
  const double solids_m = wet_m * s.solids_fraction, depth_m = solids_m + wet_m * (1 - s.solids_fraction) * left;
  return {depth_m, solids_m / depth_m};
}

}  // namespace

double wet_film_of_coat_m(const Gun& gun) {
  return gun.flow_m3_s * gun.transfer / (gun.speed_m_s * gun.fan_m * (1 - gun.overlap));
}

Overlapped overlapped(double fan_power, double spacing_ratio) {
  expects(spacing_ratio > 0, "passes lie apart");
  const auto at = [&](double x) {  // x and widths in fans
    double sum = 0;
    const int first = static_cast<int>(std::floor((x - 0.5) / spacing_ratio)),
              last = static_cast<int>(std::ceil((x + 0.5) / spacing_ratio));
    for (int i = first; i <= last; ++i) {
      const double u = 2 * (x - i * spacing_ratio);
      if (std::abs(u) < 1) sum += std::pow(1 - u * u, fan_power - 1);
    }
    return sum;
  };
  Overlapped out{1e300, 0, 0};
  constexpr int points = 2000;
  for (int i = 0; i < points; ++i) {
    // Ends of the fans and middles between are looked at exactly; they are where profiles turn.
    const double value = at(spacing_ratio * i / points);
    out.low = std::min(out.low, value), out.high = std::max(out.high, value), out.mean += value / points;
  }
  for (const double x : {0.0, 0.5 * spacing_ratio, std::fmod(0.5, spacing_ratio)}) {
    const double value = at(x);
    out.low = std::min(out.low, value), out.high = std::max(out.high, value);
  }
  return out;
}

double ripple(const Gun& gun) {
  const Overlapped o = overlapped(gun.fan_power, 1 - gun.overlap);
  return (o.high - o.low) / o.mean;
}

double run_until_ridges_m(const Gun& gun) {
  constexpr double pi = 3.14159265358979323846, hand = 0.15;
  return gun.fan_m * (1 - gun.overlap) / (8 * pi * std::hypot(0.5 * ripple(gun), hand));
}

double run_down_m(double wet_m, const Setting& s) {
  const double stretch = wet_m * (1 - s.solids_fraction) / s.solvent_m;  // of the run's time
  const double landed_s = landing_s(s), whole_s = (s.run.moments.back().time_s - landed_s) * stretch;
  constexpr int pieces = 400;
  double gone_m = 0, before = 0;
  for (int i = 0; i <= pieces; ++i) {
    // Finer at the start, where the film is thinnest in viscosity.
    const double share = static_cast<double>(i) / pieces, time_s = whole_s * share * share;
    const Left left = left_at(s.run, landed_s + time_s / stretch);
    const Film film = film_at(wet_m, s, left.fraction);
    const double mu = s.viscosity_Pa_s(film.solids, left.temperature_K);
    const double speed_m_s =
        mu > flows_no_more_Pa_s ? 0 : s.density_kg_m3 * gravity_m_s2 * film.depth_m * film.depth_m / (2 * mu);
    if (i > 0) {
      const double last = static_cast<double>(i - 1) / pieces;
      gone_m += 0.5 * (before + speed_m_s) * whole_s * (share * share - last * last);
    }
    before = speed_m_s;
    if (speed_m_s == 0) break;
  }
  return gone_m;
}

double thickest_wet_m(const Setting& s, double visible_m) {
  double low_m = 1e-7, high_m = 5e-3;
  if (run_down_m(high_m, s) < visible_m) return high_m;
  for (int halving = 0; halving < 60; ++halving) {
    const double middle_m = std::sqrt(low_m * high_m);
    (run_down_m(middle_m, s) < visible_m ? low_m : high_m) = middle_m;
  }
  return std::sqrt(low_m * high_m);
}

double film_after_m(double wet_m, double time_s, const Setting& s) {
  const double stretch = wet_m * (1 - s.solids_fraction) / s.solvent_m;
  return film_at(wet_m, s, left_at(s.run, landing_s(s) + time_s / stretch).fraction).depth_m;
}

}  // namespace witnessline::drying
