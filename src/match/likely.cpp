#include "match/likely.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <numeric>

#include "base/random.h"
#include "match/setting.h"
#include "numerics/statistics.h"

namespace witnessline::match {

namespace {

constexpr Key seed{95};

// Errors of one spectrum go together over this distance, to 1/e. ESTIMATE for lacquer: as the errors of measured films
// left out do (docs/validation/colour.md).
constexpr double alike_nm = 150;

// The steepest slope of an opaque film's reflectance on log K: R (1 - R) / (1 + R) at R = sqrt(2) - 1
// (kubelka1948: K / S = (1 - R)^2 / 2R).
constexpr double steepest = 0.1716;

// Lower root of the covariance of log K, then log S, of the tins poured.
Eigen::MatrixXd root_of(const Matrix& covariance, const std::vector<Pour>& pours, std::size_t tins) {
  const auto n = static_cast<Eigen::Index>(2 * pours.size());
  const auto at = [&](Eigen::Index i) {
    const std::size_t place = static_cast<std::size_t>(i);
    const std::size_t of = place / pours.size();
    return static_cast<int>(pours[place % pours.size()].tin + of * tins);
  };
  Eigen::MatrixXd of_pours(n, n);
  for (Eigen::Index i = 0; i < n; ++i)
    for (Eigen::Index j = 0; j < n; ++j) of_pours(i, j) = covariance(at(i), at(j));
  // What is known exactly has no variance; a trace of it keeps the root real.
  of_pours.diagonal().array() += 1e-12;
  return of_pours.llt().matrixL();
}

// An error over the bands, of variance 1 in each.
Spectrum error_over_bands(const Key& key) {
  const double kept = std::exp(-band_step_nm / alike_nm), fresh = std::sqrt(1 - kept * kept);
  Spectrum error;
  for (int b = 0; b < bands; ++b) {
    const double next = normal(key.with(static_cast<std::uint64_t>(b)));
    error[b] = b == 0 ? next : kept * error[b - 1] + fresh * next;
  }
  return error;
}

}  // namespace

std::vector<Reflectance> likely_panels(const std::vector<Tin>& shelf, const ShelfKnowledge& known,
                                       const LaidFilm& laying, double specular_share, const PouredFilm& poured,
                                       int draws) {
  expects(known.log_covariance.size() == bands && !poured.pours.empty(), "a recipe of a shelf that is known somehow");
  const std::size_t n = poured.pours.size();
  std::vector<Eigen::MatrixXd> root;
  for (const Matrix& covariance : known.log_covariance) root.push_back(root_of(covariance, poured.pours, shelf.size()));

  std::vector<Reflectance> panels;
  for (int draw = 0; draw < draws; ++draw) {
    const Key key = seed.with(static_cast<std::uint64_t>(draw));
    std::vector<Spectrum> errors;  // of log K, then log S, of each tin
    for (std::size_t i = 0; i < 2 * n; ++i) errors.push_back(error_over_bands(key.with("tin").with(i)));
    const Spectrum of_law = error_over_bands(key.with("law"));
    std::vector<double> volume_m3;
    for (std::size_t i = 0; i < n; ++i) {
      const Pour& p = poured.pours[i];
      const double kg = p.mass_kg + (uniform(key.with("scale").with(i)) - 0.5) * poured.step_kg;
      volume_m3.push_back(std::max(kg, 0.0) * shelf[p.tin].dry_volume_m3_per_kg);
    }
    const double sum_m3 = std::accumulate(volume_m3.begin(), volume_m3.end(), 0.0);
    MixedTins film;
    for (int b = 0; b < bands; ++b) {
      Eigen::VectorXd off(static_cast<Eigen::Index>(2 * n));
      for (std::size_t i = 0; i < 2 * n; ++i) off[static_cast<Eigen::Index>(i)] = errors[i][b];
      const Eigen::VectorXd log_off = root[static_cast<std::size_t>(b)] * off;
      for (std::size_t i = 0; i < n; ++i) {
        const Tin& tin = shelf[poured.pours[i].tin];
        const auto k = static_cast<Eigen::Index>(i), s = static_cast<Eigen::Index>(n + i);
        film.absorption_per_m[b] += volume_m3[i] / sum_m3 * tin.absorption_per_m[b] * std::exp(log_off[k]);
        film.scattering_per_m[b] += volume_m3[i] / sum_m3 * tin.scattering_per_m[b] * std::exp(log_off[s]);
      }
      film.absorption_per_m[b] *= std::exp(known.misfit / steepest * of_law[b]);
    }
    LaidFilm drawn = laying;
    drawn.film_m *= std::exp(laying.film_log_sd * normal(key.with("film")));
    panels.push_back(laid(film, drawn, specular_share, poured.under_aged_clear));
  }
  return panels;
}

LikelyCloseness likely_closeness(const std::vector<Tin>& shelf, const ShelfKnowledge& known, const Aim& aim,
                                 const LaidFilm& laying, const Weighing& weighing, const Recipe& recipe) {
  constexpr int draws = 400;
  const std::vector<View> views = views_that_count(aim, laying);
  PouredFilm poured{recipe.pours, weighing.step_kg, false};
  const std::vector<Reflectance> day = likely_panels(shelf, known, laying, aim.specular_share, poured, draws);
  poured.under_aged_clear = aim.when != MatchWhen::on_the_day;
  const std::vector<Reflectance> later =
      poured.under_aged_clear ? likely_panels(shelf, known, laying, aim.specular_share, poured, draws) : day;
  std::vector<double> closeness;
  for (std::size_t d = 0; d < draws; ++d)
    closeness.push_back(closeness_of(differences(views, aim, day[d], later[d]), views.size(), aim));
  LikelyCloseness likely;
  likely.mean = std::accumulate(closeness.begin(), closeness.end(), 0.0) / draws;
  likely.band = central_band(closeness, 0.9);
  return likely;
}

}  // namespace witnessline::match
