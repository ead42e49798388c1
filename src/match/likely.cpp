#include "match/likely.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <numeric>

#include "base/random.h"
#include "match/setting.h"

namespace witnessline {

namespace {

constexpr std::uint64_t draws = 400;
constexpr Key seed{95};

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

}  // namespace

LikelyCloseness likely_closeness(const std::vector<Tin>& shelf, const ShelfKnowledge& known, const Aim& aim,
                                 const LaidFilm& laying, const Weighing& weighing, const Recipe& recipe) {
  expects(known.log_covariance.size() == bands && !recipe.pours.empty(), "a recipe of a shelf that is known somehow");
  const std::size_t n = recipe.pours.size();
  std::vector<Eigen::MatrixXd> root;
  for (const Matrix& covariance : known.log_covariance) root.push_back(root_of(covariance, recipe.pours, shelf.size()));
  const std::vector<View> views = views_that_count(aim, laying);
  const bool aged = aim.when != MatchWhen::on_the_day;

  std::vector<double> closeness;
  for (std::uint64_t draw = 0; draw < draws; ++draw) {
    const Key key = seed.with(draw);
    Eigen::VectorXd off(static_cast<Eigen::Index>(2 * n));
    for (std::size_t i = 0; i < 2 * n; ++i) off[static_cast<Eigen::Index>(i)] = normal(key.with(i));
    std::vector<double> volume_m3;
    for (std::size_t i = 0; i < n; ++i) {
      const Pour& p = recipe.pours[i];
      const double kg = p.mass_kg + (uniform(key.with(100 + i)) - 0.5) * weighing.step_kg;
      volume_m3.push_back(std::max(kg, 0.0) * shelf[p.tin].dry_volume_m3_per_kg);
    }
    const double sum_m3 = std::accumulate(volume_m3.begin(), volume_m3.end(), 0.0);
    MixedTins film;
    for (int b = 0; b < bands; ++b) {
      const Eigen::VectorXd log_off = root[static_cast<std::size_t>(b)] * off;
      for (std::size_t i = 0; i < n; ++i) {
        const Tin& tin = shelf[recipe.pours[i].tin];
        const auto k = static_cast<Eigen::Index>(i), s = static_cast<Eigen::Index>(n + i);
        film.absorption_per_m[b] += volume_m3[i] / sum_m3 * tin.absorption_per_m[b] * std::exp(log_off[k]);
        film.scattering_per_m[b] += volume_m3[i] / sum_m3 * tin.scattering_per_m[b] * std::exp(log_off[s]);
      }
    }
    const Reflectance day = laid(film, laying, aim.specular_share, false);
    const Reflectance later = aged ? laid(film, laying, aim.specular_share, true) : day;
    closeness.push_back(closeness_of(differences(views, aim, day, later), views.size(), aim));
  }
  std::sort(closeness.begin(), closeness.end());
  LikelyCloseness likely;
  likely.mean = std::accumulate(closeness.begin(), closeness.end(), 0.0) / draws;
  likely.band = {closeness[draws / 40], closeness[draws - 1 - draws / 40]};
  return likely;
}

}  // namespace witnessline
