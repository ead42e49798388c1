#include "match/learn.h"

#include <Eigen/Dense>
#include <cmath>

#include "match/fit_bands.h"

namespace witnessline::match {

namespace {

using Eigen::MatrixXd;
using Eigen::VectorXd;

struct BandFit {
  VectorXd constants;
  MatrixXd covariance;
};

BandFit updated(int band, const VectorXd& before, MatrixXd covariance, const FilmReading& panel,
                const FilmThickness& thickness, AirFace face, double misfit) {
  const auto n = before.size() / 2;
  const auto grounds = static_cast<Eigen::Index>(panel.over.size());
  VectorXd x = before;
  MatrixXd slopes(grounds, 2 * n), gain;
  for (int round = 0; round < 6; ++round) {
    slopes.setZero();
    VectorXd off(grounds), on_thickness(grounds);
    MixedFilm film;
    for (Eigen::Index i = 0; i < n; ++i) {
      const double share = panel.shares[static_cast<std::size_t>(i)];
      film.absorption += share * std::exp(x[i]), film.scattering += share * std::exp(x[n + i]);
    }
    for (Eigen::Index g = 0; g < grounds; ++g) {
      const OverGround& over = panel.over[static_cast<std::size_t>(g)];
      const FilmSlopes at = film_slopes(film, thickness.ratio, ground_inside(over.ground[band], face), face);
      off[g] = over.film[band] - at.reflectance;
      on_thickness[g] = at.on_log_absorption + at.on_log_scattering;
      for (Eigen::Index i = 0; i < n; ++i) {
        const double share = panel.shares[static_cast<std::size_t>(i)];
        if (share == 0) continue;
        slopes(g, i) = at.on_log_absorption * share * std::exp(x[i]) / film.absorption;
        slopes(g, n + i) = at.on_log_scattering * share * std::exp(x[n + i]) / film.scattering;
      }
    }
    MatrixXd noise = misfit * misfit * MatrixXd::Identity(grounds, grounds) +
                     thickness.log_sd * thickness.log_sd * on_thickness * on_thickness.transpose();
    const MatrixXd spread = slopes * covariance * slopes.transpose() + noise;
    gain = covariance * slopes.transpose() * spread.ldlt().solve(MatrixXd::Identity(grounds, grounds));
    const VectorXd next = before + gain * (off - slopes * (before - x));
    VectorXd move = next - x;
    // exp() must stay a number, and no panel tells more than a factor of four at once.
    for (Eigen::Index i = 0; i < 2 * n; ++i) move[i] = std::clamp(move[i], -0.7, 0.7);
    x = (x + move).cwiseMax(-14.0).cwiseMin(7.0);
    if (move.cwiseAbs().maxCoeff() < 1e-6) break;
  }
  MatrixXd after = covariance - gain * slopes * covariance;
  return {x, (after + after.transpose()) / 2};
}

}  // namespace

Result<Learned> learned(const ColorantSet& set, const FilmReading& panel, const Learning& learning) {
  if (set.log_covariance.size() != bands)
    return Error{"the set does not state its uncertainty", {}, "one covariance per band", "characterise it first"};
  if (panel.over.empty()) return Error{"the panel's ground is missing", panel.where, "a film and its ground", ""};
  const auto checked =
      predict(set, panel.shares, panel.over[0].ground, {panel.thickness_ratio, panel.thickness_log_sd});
  if (!checked) return checked.errors();
  for (const OverGround& over : panel.over)
    for (const double r : over.film.at)
      if (!std::isfinite(r) || r < 0 || r > 1.5)
        return Error{"the panel's reading is not a reflectance", panel.where, "0 to 1", "per cent? divide by 100"};

  Learned now{set, {panel.thickness_ratio, panel.thickness_log_sd}};
  const auto n = static_cast<Eigen::Index>(set.colorants.size());
  const double misfit = std::max(set.misfit, learning.misfit);
  for (int round = 0; round < 3; ++round) {
    now.thickness = thickness_from_reading(now.set, panel, misfit);
    for (int b = 0; b < bands; ++b) {
      VectorXd before(2 * n);
      MatrixXd covariance(2 * n, 2 * n);
      const Matrix& known = set.log_covariance[static_cast<std::size_t>(b)];
      for (Eigen::Index i = 0; i < n; ++i) {
        const ColorantModel& c = set.colorants[static_cast<std::size_t>(i)];
        before[i] = std::log(std::max(c.absorption[b], 1e-6)),
        before[n + i] = std::log(std::max(c.scattering[b], 1e-6));
      }
      for (Eigen::Index i = 0; i < 2 * n; ++i)
        for (Eigen::Index j = 0; j < 2 * n; ++j) covariance(i, j) = known(static_cast<int>(i), static_cast<int>(j));
      const double drift = learning.drift_log_sd * learning.drift_log_sd;
      for (Eigen::Index i = 0; i < n; ++i)
        if (panel.shares[static_cast<std::size_t>(i)] > 0) covariance(i, i) += drift, covariance(n + i, n + i) += drift;

      const BandFit fit = updated(b, before, covariance, panel, now.thickness, set.face, misfit);
      Matrix& after = now.set.log_covariance[static_cast<std::size_t>(b)];
      for (Eigen::Index i = 0; i < 2 * n; ++i)
        for (Eigen::Index j = 0; j < 2 * n; ++j) after(static_cast<int>(i), static_cast<int>(j)) = fit.covariance(i, j);
      for (Eigen::Index i = 0; i < n; ++i) {
        ColorantModel& c = now.set.colorants[static_cast<std::size_t>(i)];
        c.absorption[b] = std::exp(fit.constants[i]), c.scattering[b] = std::exp(fit.constants[n + i]);
        c.absorption_log_sd[b] = std::sqrt(std::max(fit.covariance(i, i), 0.0));
        c.scattering_log_sd[b] = std::sqrt(std::max(fit.covariance(n + i, n + i), 0.0));
      }
    }
  }
  now.set.thickness_ratio.push_back(now.thickness.ratio);
  return now;
}

}  // namespace witnessline::match
