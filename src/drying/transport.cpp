#include "drying/transport.h"

#include <algorithm>
#include <cmath>

namespace witnessline::drying {

Transport::Transport(const std::function<double(double)>& diffusivity_m2_s,
                     const std::function<double(double)>& activity) {
  constexpr double h = 1.0 / pieces;
  // Four Gauss-Legendre points a piece. Source: press2007 4.6.
  constexpr double at[]{-0.8611363115940526, -0.3399810435848563, 0.3399810435848563, 0.8611363115940526};
  constexpr double weight[]{0.3478548451374538, 0.6521451548625461, 0.6521451548625461, 0.3478548451374538};
  // Past saturation free liquid lies in the film: the activity only creeps, so that it can still be inverted.
  constexpr double creep = 1e-4;
  nodes_.resize(pieces + 1);
  double flux_potential = 0, active = 0;
  bool saturated = false;
  for (int i = 0; i <= pieces; ++i) {
    const double p = h * i;
    if (i > 0) {
      double sum = 0;
      for (int k = 0; k < 4; ++k) sum += weight[k] * diffusivity_m2_s(p + 0.5 * h * (at[k] - 1.0));
      flux_potential += 0.5 * h * sum;
      const double law = activity(p);
      saturated = saturated || law >= 1.0;
      active = saturated ? std::max(active, 1.0) + creep * h : std::max(law, active + creep * h);
    }
    const double d = 1e-5;
    const double slope =
        saturated ? creep
        : i == 0  ? activity(d) / d
                  : std::max(creep, (activity(p + (i < pieces ? d : 0)) - activity(p - d)) / (i < pieces ? 2 * d : d));
    nodes_[static_cast<std::size_t>(i)] = {flux_potential, h * diffusivity_m2_s(p), active, h * slope};
  }
  // A piece never overshoots when its slopes are at most three times its rise.
  for (std::size_t i = 0; i < pieces; ++i) {
    const double most = 3.0 * (nodes_[i + 1].active - nodes_[i].active);
    nodes_[i].active_slope = std::min(nodes_[i].active_slope, most);
    nodes_[i + 1].active_slope = std::min(nodes_[i + 1].active_slope, most);
  }
}

double Transport::inverse(double wanted, double Node::*value, double Node::*slope) const {
  if (wanted <= 0) return wanted / (nodes_[0].*slope * pieces);
  if (wanted >= nodes_.back().*value) return 1.0;
  const auto above = std::upper_bound(nodes_.begin(), nodes_.end(), wanted,
                                      [value](double w, const Node& node) { return w < node.*value; });
  double low = static_cast<double>(above - nodes_.begin() - 1) / pieces, high = low + 1.0 / pieces,
         p = 0.5 * (low + high);
  for (int round = 0; round < 60; ++round) {
    const Sloped here = read(p, value, slope);
    (here.value < wanted ? low : high) = p;
    double next = here.slope > 0 ? p - (here.value - wanted) / here.slope : low;
    if (!(next > low && next < high)) next = 0.5 * (low + high);
    if (std::abs(next - p) <= 1e-15 * (1.0 + p)) return next;
    p = next;
  }
  return p;
}

double Transport::fraction_at(double activity) const { return inverse(activity, &Node::active, &Node::active_slope); }
double Transport::fraction_at_potential(double flux_potential) const {
  return inverse(flux_potential, &Node::flux_potential, &Node::flux_potential_slope);
}

std::shared_ptr<const Transport> transport_of(const Resin& resin, const FilmSolvent& solvent, const FreeVolume& how,
                                              double temperature_K) {
  return std::make_shared<const Transport>(
      [&](double p) { return film_diffusivity_m2_s(p, resin, solvent, how, temperature_K); },
      [&](double p) { return solvent_activity(p, resin, solvent); });
}

std::shared_ptr<const Transport> transport_of_wood() {
  constexpr double diffusivity_m2_s = 1e-11, saturated_fraction = 0.2;
  return std::make_shared<const Transport>([](double) { return diffusivity_m2_s; },
                                           [](double p) { return p / saturated_fraction; });
}

AirSide::AirSide(const Volatile& solvent, const Airflow& given, double transfer_factor) {
  Airflow air = given;
  if (solvent.family != SolventFamily::water) air.relative_humidity = 0;
  const OpenFace face(std::span(&solvent, 1), air);
  flux_.assign(pieces + 1, 0.0);
  double film_K = 0;
  for (int i = 1; i <= pieces; ++i) {
    const double activity[]{static_cast<double>(i) / pieces};
    double flux_mol_m2s[1];
    film_K = face.film_temperature_K(activity, film_K);
    face.flux_mol_m2s(activity, film_K, flux_mol_m2s);
    flux_[static_cast<std::size_t>(i)] =
        std::max(0.0, transfer_factor * solvent.molar_volume_m3_mol() * flux_mol_m2s[0]);
  }
  slope_at_zero_ = flux_[1] * pieces;
}

AirSide AirSide::straight(double slope_m_s) {
  AirSide made;
  for (int i = 0; i <= pieces; ++i) made.flux_.push_back(slope_m_s * i / pieces);
  made.slope_at_zero_ = slope_m_s;
  return made;
}

}  // namespace witnessline::drying
