#include "cracking/ageing.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace witnessline::cracking {

namespace {
constexpr double half_gone_s = 40 * 365.25 * 86400;  // ESTIMATE
constexpr double plasticiser_transition_K = 190;     // ESTIMATE: dibutyl phthalate 180 to 195 (memory)
constexpr double loss_per_s = std::numbers::ln2 / half_gone_s;
}  // namespace

double usual_plasticiser_frac(Binder binder) {
  switch (binder) {
    case Binder::nitrocellulose:
    case Binder::acrylic:
      return 0.2;
    case Binder::polyurethane:
    case Binder::two_pack_polyurethane:
    case Binder::polyester:
    case Binder::catalysed:
    case Binder::none:
      return 0;
    default:
      return 0.1;
  }
}

double plasticiser_left_frac(const FilmAge& age) { return age.plasticiser_frac * std::exp(-loss_per_s * age.stood_s); }

CrackingFilm aged(const CrackingFilm& film, const FilmAge& age, double usual_frac) {
  if (usual_frac <= 0) return film;
  const double left = plasticiser_left_frac(age);
  const double gone = std::clamp(1 - left / usual_frac, -1.0, 1.0);
  CrackingFilm now = film;
  now.fracture_energy_J_m2 *= std::exp(-2 * gone);
  now.elastic.modulus_Pa *= 1 + 0.6 * gone;
  const double resin_per_K = (1 / film.glass_transition_K - usual_frac / plasticiser_transition_K) / (1 - usual_frac);
  if (resin_per_K > 0) now.glass_transition_K = 1 / ((1 - left) * resin_per_K + left / plasticiser_transition_K);
  return now;
}

namespace {
constexpr double flow_Pa = 4e6;  // ESTIMATE
}

double eased_Pa(double stress_Pa, double duration_s, double tau_s) {
  const double left = std::tanh(stress_Pa / (2 * flow_Pa)) * std::exp(-duration_s / tau_s);
  // Past 18 the hyperbolic tangent is 1 to the last digit: nothing has eased that a double could tell.
  return std::abs(left) < 1 ? 2 * flow_Pa * std::atanh(left) : stress_Pa;
}

double ageing_stress_Pa(const CrackingFilm& film, const FilmAge& age, double temperature_K) {
  const double rate_per_s = plasticiser_left_frac(age) * loss_per_s / 3;
  const double tau_s = relaxation_time_s(temperature_K, film.glass_transition_K);
  const double slow_Pa =
      film.elastic.modulus_Pa / (1 - film.elastic.poisson) * rate_per_s * tau_s * -std::expm1(-age.stood_s / tau_s);
  return flow_Pa * std::asinh(slow_Pa / flow_Pa);
}

double toughness_after_shocks(int shocks) { return std::pow(std::max(1, shocks), -1.0 / 8); }

}  // namespace witnessline::cracking
