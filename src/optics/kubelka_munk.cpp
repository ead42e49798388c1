#include "optics/kubelka_munk.h"

#include <algorithm>
#include <cmath>

#include "base/result.h"

namespace witnessline::optics {

FilmOptics film_optics(OpticalDepth depth) {
  const double k = depth.absorption, s = depth.scattering;
  expects(k >= 0 && s >= 0, "optical depths are not negative");
  const double t = std::sqrt(k * (k + 2 * s));
  // sinh and cosh times 2 exp(-t), so that thick films do not overflow.
  const double fade = std::exp(-t), fade2 = fade * fade;
  const double sinh_over_t = t > 1e-9 ? -std::expm1(-2 * t) / t : 2.0, cosh_t = 1 + fade2;
  const double below = (k + s) * sinh_over_t + cosh_t;
  return {s * sinh_over_t / below, 2 * fade / below};
}

double over_ground(FilmOptics film, double ground) {
  return film.reflectance + film.transmittance * film.transmittance * ground / (1 - film.reflectance * ground);
}

double thick_reflectance(double k_over_s) {
  // 1 / (1 + q + sqrt(q^2 + 2q)) is the same number without the cancellation.
  return 1 / (1 + k_over_s + std::sqrt(k_over_s * (k_over_s + 2)));
}

double k_over_s(double thick_reflectance) {
  return (1 - thick_reflectance) * (1 - thick_reflectance) / (2 * thick_reflectance);
}

namespace {

// Past this b S X the two grounds differ by less than a reading can tell: S is then a lower bound, K/S is still right.
constexpr double hiding = 5;

// The nearest film on the edge of what can be: one that only absorbs, only scatters, or hides the ground.
OpticalDepth nearest_film(double over_dark, double over_light, double dark, double light) {
  const double white = std::clamp(over_dark, 0.0, 0.9999);
  const double thick = std::clamp((over_dark + over_light) / 2, 1e-4, 0.9999);
  const double k = k_over_s(thick), b = std::sqrt(k * (k + 2));
  const OpticalDepth candidates[] = {
      {std::max(0.0, -0.5 * std::log(std::max(over_light, 1e-6) / light)), 0},
      {0, std::max(0.0, (white - dark) / ((1 - dark) * (1 - white)))},
      {k * hiding / b, hiding / b},
  };
  const auto misfit = [&](const OpticalDepth& depth) {
    const FilmOptics film = film_optics(depth);
    return std::hypot(over_ground(film, dark) - over_dark, over_ground(film, light) - over_light);
  };
  return *std::min_element(std::begin(candidates), std::end(candidates),
                           [&](const auto& one, const auto& two) { return misfit(one) < misfit(two); });
}

}  // namespace

InverseFilm film_from_two_grounds(double over_dark, double over_light, double dark, double light) {
  expects(dark >= 0 && dark < light && light <= 1, "two grounds, the first darker");
  const double a = ((over_light - over_dark) * (1 + light * dark) - (light - dark) * (1 + over_light * over_dark)) /
                   (2 * (over_light * dark - over_dark * light));
  if (std::abs(a - 1) < 1e-12 && over_dark >= dark && over_dark < 1)  // K = 0, where the closed form is 0 / 0
    return {{0, (over_dark - dark) / ((1 - dark) * (1 - over_dark))}, false};
  if (std::isfinite(a) && a > 1) {
    const double b = std::sqrt(a * a - 1);
    const double film = (a - over_dark) / b, ground = (a - dark) / b;
    const double tanh_bsx = (ground - film) / (film * ground - 1);  // arcoth(film) - arcoth(ground) = artanh of this
    if (tanh_bsx >= 0 && tanh_bsx < std::tanh(hiding)) {
      const double sx = std::atanh(tanh_bsx) / b;
      return {{(a - 1) * sx, sx}, false};
    }
  }
  return {nearest_film(over_dark, over_light, dark, light), true};
}

}  // namespace witnessline::optics
