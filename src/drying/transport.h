// Transport: how solvent passes through one coat at one temperature, as tables the column solver reads. AirSide: how it
// leaves the film into the air.
#pragma once

#include <functional>
#include <memory>
#include <vector>

#include "drying/resin.h"

namespace witnessline::drying {

/// A value and its slope.
struct Sloped {
  double value = 0, slope = 0;
};

/// Over the volume fraction p of solvent, 0..1: F(p), the diffusivity integrated from the dry film, so that the flux in
/// solids-fixed coordinates is -dF/dz; and the activity a(p), never falling.
/// Law: J = -D (1-p)^2 du/dz with u = p/(1-p) is -D dp/dz. Source: crank1975, ch. 10.6 (solids-fixed axes).
/// Cubic pieces through exact values and slopes; below 0 on along the slope there.
class Transport {
 public:
  /// From any two laws; diffusivity > 0, activity(0) = 0.
  Transport(const std::function<double(double)>& diffusivity_m2_s, const std::function<double(double)>& activity);

  Sloped flux_potential(double p) const {
    return read(p, &Node::flux_potential, &Node::flux_potential_slope);
  }  ///< F [m2/s], dF/dp
  Sloped activity(double p) const { return read(p, &Node::active, &Node::active_slope); }
  /// p of an activity; beyond that of p = 1: 1.
  double fraction_at(double activity) const;
  /// p of an F; beyond that of p = 1: 1.
  double fraction_at_potential(double flux_potential) const;

 private:
  struct Node {
    double flux_potential, flux_potential_slope, active, active_slope;  ///< slopes times the spacing
  };
  static constexpr int pieces = 1024;
  std::vector<Node> nodes_;

  Sloped read(double p, double Node::*value, double Node::*slope) const {
    if (p <= 0) return {nodes_[0].*slope * pieces * p, nodes_[0].*slope * pieces};
    const double x = p * pieces;
    const int i = x < pieces ? static_cast<int>(x) : pieces - 1;
    const double t = x - i;
    const Node &a = nodes_[static_cast<std::size_t>(i)], &b = nodes_[static_cast<std::size_t>(i) + 1];
    const double rise = b.*value - a.*value, c2 = 3 * rise - 2 * a.*slope - b.*slope,
                 c3 = a.*slope + b.*slope - 2 * rise;
    return {a.*value + t * (a.*slope + t * (c2 + t * c3)), pieces * (a.*slope + t * (2 * c2 + 3 * t * c3))};
  }
  double inverse(double wanted, double Node::*value, double Node::*slope) const;
};

/// Of a coat.
std::shared_ptr<const Transport> transport_of(const Resin&, const FilmSolvent&, const FreeVolume&,
                                              double temperature_K);
/// Of wood under the first coat. Law: constant diffusivity 1e-11 m2/s, activity p/0.2. ESTIMATE (diffusivity within a
/// factor 10, uptake 0.1 to 0.3): wood takes solvent up and gives it back late.
std::shared_ptr<const Transport> transport_of_wood();

/// Volume of solvent that leaves the face of a film into the air by its activity there [m/s].
class AirSide {
 public:
  /// Law: film theory with Stefan flow and heat balance (solvents/evaporation.h), the liquid's vapour pressure times
  /// the activity; `transfer_factor` scales it (1: as computed; a weighed panel gives the shop's own). Water leaves
  /// into the water of the air: below the air's humidity none does, at saturation none at all. Other solvents dry as in
  /// dry air.
  AirSide(const Volatile&, const Airflow&, double transfer_factor = 1.0);
  /// Straight: flux = slope x activity [m/s].
  static AirSide straight(double slope_m_s);

  Sloped flux_m_s(double activity) const {
    if (activity <= 0) return {slope_at_zero_ * activity, slope_at_zero_};
    const double x = activity * pieces;
    const int i = x < pieces ? static_cast<int>(x) : pieces - 1;
    const double rise = flux_[static_cast<std::size_t>(i) + 1] - flux_[static_cast<std::size_t>(i)];
    return {flux_[static_cast<std::size_t>(i)] + (x - i) * rise, rise * pieces};
  }

 private:
  static constexpr int pieces = 64;
  AirSide() = default;
  std::vector<double> flux_;
  double slope_at_zero_ = 0;
};

}  // namespace witnessline::drying
