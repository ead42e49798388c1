#include "drying/settled.h"

#include <algorithm>
#include <cmath>

#include "drying/belief.h"

namespace witnessline::drying {

namespace {
constexpr double thinnest_m = 1e-6, thickest_m = 1e-3;
constexpr int thicknesses = 10, slices = 50, rounds = 22;

/// Means of u over the whole coat, and volume fraction over its outer part, with p at the bottom.
struct Means {
  double share = 0, outer_fraction = 0;
};
Means means(const Transport& transport, double bottom, double outer_part) {
  const double deepest = transport.flux_potential(bottom).value;
  double whole = 0, outer = 0, outer_slices = 0;
  for (int i = 0; i < slices; ++i) {
    const double z = (i + 0.5) / slices, p = std::min(0.99, transport.fraction_at_potential(deepest * (1 - z * z)));
    const double u = p / (1 - p);
    whole += u / slices;
    if (z >= 1 - outer_part) outer += u, ++outer_slices;
  }
  outer /= std::max(outer_slices, 1.0);
  return {whole, outer / (1 + outer)};
}
}  // namespace

SettledAllowance::SettledAllowance(const Transport& transport, double outer_fraction, double depth_m) {
  for (int i = 0; i < thicknesses; ++i) {
    const double dry_m = thinnest_m * std::pow(thickest_m / thinnest_m, i / (thicknesses - 1.0));
    const double part = std::min(1.0, depth_m / dry_m);
    double low = 0, high = 0.95;
    for (int round = 0; round < rounds; ++round) {
      const double middle = 0.5 * (low + high);
      (means(transport, middle, part).outer_fraction > outer_fraction ? high : low) = middle;
    }
    dry_m_.push_back(dry_m), share_.push_back(means(transport, low, part).share);
  }
}

double SettledAllowance::share(double dry_m) const {
  const double at =
      std::clamp(std::log(std::max(dry_m, thinnest_m) / thinnest_m) / std::log(thickest_m / thinnest_m), 0.0, 1.0) *
      (thicknesses - 1);
  const auto i = std::min(static_cast<std::size_t>(at), share_.size() - 2);
  return share_[i] + (at - static_cast<double>(i)) * (share_[i + 1] - share_[i]);
}

namespace {
bool not_cured(const Cure& cure, Use use, double dry_m, double cured_s) {
  return cure.rate_per_s > 0 && cured_s < cure_time_s(cure, criterion_of(use).cured, cured_at_K, dry_m);
}
}  // namespace

bool Softness::too_soft(double dry_m, double share, double cured_s) const {
  return share > cuts.share(dry_m) || not_cured(cure, Use::scuff, dry_m, cured_s);
}
bool Softness::still_sinks(double dry_m, double share, double cured_s) const {
  return share > settled_allowance.share(dry_m) || not_cured(cure, Use::level, dry_m, cured_s);
}

Softness softness_of(const Material& material, const FilmSolvent& given) {
  constexpr double room_K = 294.15;
  const DrawnPhysics usual = physics_of({});
  FilmSolvent solvent = given;
  solvent.glass_transition_K += usual.solvent_transition_K;
  const Resin resin = resin_of(material, solvent);
  const double glass_keeps = usual.how.glass_keeps;
  const auto transport = transport_of(resin, solvent, usual.how, room_K);
  const auto allowed = [&](Use use) {
    return SettledAllowance(*transport, solvent_allowed(use, resin, solvent, room_K, usual.harder_K, glass_keeps),
                            criterion_of(use).depth_m);
  };
  return {allowed(Use::scuff), allowed(Use::level), drying_of(material).cure};
}

}  // namespace witnessline::drying
