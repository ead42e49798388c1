#include "history/history_sample.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "bench/ageing_laws.h"
#include "bench/wear_unknowns.h"
#include "optics/gloss.h"

namespace witnessline::history {

namespace {

constexpr double year_s = unit::year.scale, hour_s = 3600, Mlx_h = 3.6e9;

constexpr double curve_step = 0.1;
constexpr std::size_t curve_points = 121;

double logistic(double x) { return 1 / (1 + std::exp(-x)); }

double normal_below(double x) { return 0.5 * std::erfc(-x / std::numbers::sqrt2); }
/// The standard normal that a share of draws lies below.
double quantile_of(double share) {
  double low = -8, high = 8;
  for (int i = 0; i < 60; ++i) {
    const double middle = 0.5 * (low + high);
    (normal_below(middle) < share ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

/// Some instruments were hardly ever played: kept in a case, put away (WearUnknown::hardly_played). Law: below that
/// quantile hours fall to a few, without a corner.
double log_share_played(double z_play) {
  static const double unplayed_below = quantile_of(wear_unknown(WearUnknown::hardly_played).value);
  constexpr double steep = 12, least = -5;
  const double below = unplayed_below - z_play;
  return std::max(least, below > 3 ? -steep * below : -steep * 0.05 * std::log1p(std::exp(below / 0.05)));
}

/// Hours against it, over the hours of play (ESTIMATE, spread in z_touch).
constexpr std::array<double, touch_count> usual_share{0.9, 0.25, 0.6, 0.6, 0.1, 0.8, 0.6, 0.8, 0.3, 1.0};

constexpr double log_two_pi = 1.8378770664093453;
double log_normal_density(double x, double mean, double sd) {
  const double d = (x - mean) / sd;
  return -0.5 * d * d - std::log(sd) - 0.5 * log_two_pi;
}

constexpr double grade_sd = 0.75, most_strays = 40;
bool counted(Observation::Kind k) {
  return k == Observation::Kind::checks_across || k == Observation::Kind::checks_along;
}

/// log of the density of what was seen where it shares the life, and where it does not.
struct Both {
  double fits, strays;
};
Both both(const Observation& s, double expected) {
  if (counted(s.kind)) {
    const double strays = s.seen <= most_strays ? -std::log(most_strays + 1) : -1e3;
    int sign = 0;  // std::lgamma writes it to a variable of the whole program, and chains run side by side
    return {s.seen * std::log(expected) - expected - ::lgamma_r(s.seen + 1, &sign), strays};
  }
  if (s.kind == Observation::Kind::tarnish) {
    const double low = s.seen < 0.5 ? 0 : normal_below((s.seen - 0.5 - expected) / grade_sd);
    const double high = s.seen > 2.5 ? 1 : normal_below((s.seen + 0.5 - expected) / grade_sd);
    return {std::log(std::max(high - low, 1e-300)), std::log(0.25)};
  }
  return {log_normal_density(s.seen, expected, s.sd),
          log_normal_density(s.seen, expected, std::hypot(s.sd, s.astray_sd))};
}

}  // namespace

YellowCurve::YellowCurve(const CoatOptics& clear) : at_(curve_points) {
  const Reflectance white = flat_reflectance(0.85);
  for (std::size_t i = 0; i < curve_points; ++i) {
    const ColumnCoat coat{clear, 60e-6, 0, curve_step * static_cast<double>(i)};
    at_[i] = yellowness_e313(to_xyz(reflectance({coat}, white, {}), Lamp::D65, Observer::deg10), Observer::deg10);
  }
  for (std::size_t i = curve_points; i-- > 0;) at_[i] -= at_[0];
}

double YellowCurve::added(double units) const {
  const double x = std::clamp(units / curve_step, 0.0, static_cast<double>(curve_points - 1) - 1e-9);
  const auto i = static_cast<std::size_t>(x);
  return at_[i] + (x - static_cast<double>(i)) * (at_[i + 1] - at_[i]);
}

double usual_share_of(std::size_t touch) { return usual_share.at(touch); }

HistorySample past_of(const std::vector<double>& z, const Ask& ask) {
  HistorySample p;
  p.age_s = ask.age_s * std::exp(ask.log_sd * z[z_age]);
  const double age_a = p.age_s / year_s;
  p.cased_share = logistic(1.3 * z[z_cased]);
  // Half of what 200 lx for ten hours a day give, while it is out of its case.
  p.light_lx_s = 0.36 * Mlx_h * age_a * (1 - p.cased_share) * std::exp(1.0 * z[z_light]);
  p.play_s = 120 * hour_s * age_a * std::exp(1.2 * z[z_play] + log_share_played(z[z_play]));
  p.shocks = 0.5 * age_a * std::exp(1.2 * z[z_shocks]);
  p.coldest_K = 268.15 + 8 * z[z_coldest];
  p.humidity_swing = std::min(0.5, 0.15 * std::exp(0.45 * z[z_swing]));
  p.grime_kg_m2 = 0.5e-3 * std::exp(0.7 * z[z_grime] + 0.3 * 1.2 * z[z_play]);
  for (std::size_t t = 0; t < touch_count; ++t)
    p.touch_s[t] = p.play_s * usual_share[t] * std::exp(0.7 * z[z_touch + t]);
  return p;
}

double expected(const Observation& s, const std::vector<double>& z, const HistorySample& p, const Ask& ask,
                const YellowCurve& curve, double factor) {
  const double age_a = p.age_s / year_s;
  switch (s.kind) {
    case Observation::Kind::yellow: {
      const std::size_t ground = z_touch + touch_count + 2 * s.which;
      const double dark_lx_s = 0.05 * Mlx_h * age_a * std::exp(1.0 * z[z_dark_rate]);
      const double dose_lx_s = factor * (p.light_lx_s * s.share + dark_lx_s) * std::exp(0.7 * z[z_light_rate]);
      const double units = yellowing(dose_lx_s) * s.film_m / 60e-6;
      return 15 + 15 * z[ground] + std::exp(0.5 * z[ground + 1]) * curve.added(units);
    }
    case Observation::Kind::sheen: {
      const double fresh_m = 20e-9 * std::exp(0.4 * z[z_fresh_face]);
      const Dulling by{45e-9 * std::exp(0.5 * z[z_aged_dull]), 60e-9 * std::exp(0.5 * z[z_handled_dull])};
      const double handled_s = factor * s.share * p.play_s, age_s = s.share > 0 ? p.age_s : factor * p.age_s;
      return specular_gloss(1.5, dulled_roughness_m(fresh_m, age_s, handled_s, by), 60);
    }
    case Observation::Kind::checks_across: {
      const double cooled_K = std::max(0.0, 294.15 - p.coldest_K);
      const double ratio = ask.channel_ratio * s.film_m / 60e-6 * (cooled_K / 40) * (cooled_K / 40) *
                           (0.5 + age_a / 60) * std::exp(1.0 * z[z_tough]);
      const double opened = 0.05 * std::exp(1.0 * z[z_opened]) * ratio * ratio / (1 + ratio * ratio);
      const double per_m = 140 * std::exp(0.5 * z[z_starters]) * -std::expm1(-p.shocks * factor * opened);
      return 0.05 + s.over_m * per_m;
    }
    case Observation::Kind::checks_along: {
      const double swing = p.humidity_swing / 0.15;
      const double opened = 0.01 * std::exp(1.2 * z[z_seasons]) * swing * swing * s.film_m / 60e-6;
      return 0.05 + s.over_m * 100 * std::exp(0.6 * z[z_starters_along]) * -std::expm1(-factor * age_a * opened);
    }
    case Observation::Kind::string_wear: {
      static const ConditionedWear &fret = wear_unknown(WearUnknown::fret_wear),
                                   &board = wear_unknown(WearUnknown::fingerboard_wear);
      const double rate_mm = s.which == 0 ? fret.value * std::exp(fret.sd_ln * z[z_string_rate])
                                          : board.value * std::exp(board.sd_ln * z[z_board_rate]);
      return factor * 1e-3 * rate_mm * p.play_s / (1000 * hour_s);
    }
    case Observation::Kind::film_wear: {
      // The same contact that a wear step lays, on a plain slab.
      const auto by = static_cast<Touch>(s.which);
      const double sd = wear_unknown(wear_of(by, by == Touch::buckle)).sd_ln;
      const double rate_m_h = film_pace_m_h(by) * std::exp(sd * z[z_film_rate]);
      return std::min(s.film_m, factor * rate_m_h * p.touch_s[s.which] / hour_s);
    }
    case Observation::Kind::tarnish:
      return 1 + 0.8 * std::log(std::max(factor * age_a, 0.01) / 30) + 0.3 * std::log1p(p.play_s / (2000 * hour_s)) +
             0.6 * std::log(p.humidity_swing / 0.15) + 0.6 * z[z_tarnish];
    case Observation::Kind::dirt:
      return std::log(factor * p.grime_kg_m2 / 1e-3);
  }
  return 0;
}

double log_likelihood(const Observation& s, double expected) {
  const auto [fits, strays] = both(s, expected);
  const double a = std::log1p(-astray_chance) + fits, b = std::log(astray_chance) + strays, top = std::max(a, b);
  return top + std::log(std::exp(a - top) + std::exp(b - top));
}

double stray_chance(const Observation& s, double expected) {
  const auto [fits, strays] = both(s, expected);
  return 1 / (1 + (1 - astray_chance) / astray_chance * std::exp(std::min(700.0, fits - strays)));
}

double departure(const Observation& s, double expected) {
  if (counted(s.kind)) return 2 * (std::sqrt(s.seen + 0.375) - std::sqrt(expected + 0.375));
  return (s.seen - expected) / (s.kind == Observation::Kind::tarnish ? grade_sd : s.sd);
}

double seen_drawn(const Observation& s, double expected, bool stray, const std::function<double()>& next) {
  const auto drawn_normal = [&] {
    const double radius = std::sqrt(-2 * std::log(next()));
    return radius * std::cos(2 * std::numbers::pi * next());
  };
  if (counted(s.kind)) {
    if (stray) return std::floor(next() * (most_strays + 1));
    double count = 0;  // one arrival after the other
    for (double at = -std::log(next()); at < expected; at -= std::log(next())) ++count;
    return count;
  }
  if (s.kind == Observation::Kind::tarnish)
    return stray ? std::floor(4 * next()) : std::clamp(std::round(expected + grade_sd * drawn_normal()), 0.0, 3.0);
  return expected + (stray ? std::hypot(s.sd, s.astray_sd) : s.sd) * drawn_normal();
}

}  // namespace witnessline::history
