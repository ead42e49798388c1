#include "match/fit_bands.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

#include "optics/kubelka_munk.h"

namespace witnessline::match {

double ground_inside(double seen, AirFace face) { return std::clamp(inside_of(seen, face, 1), 0.0, 1.0); }

double film_reflectance(MixedFilm film, double thickness_ratio, double inside, AirFace face) {
  const auto optics = film_optics({film.absorption * thickness_ratio, film.scattering * thickness_ratio});
  return seen_outside(over_ground(optics, inside), face, 1);
}

FilmSlopes film_slopes(MixedFilm film, double thickness_ratio, double inside, AirFace face) {
  constexpr double step = 1e-6;
  const auto at = [&](double k, double s) {
    return film_reflectance({film.absorption * k, film.scattering * s}, thickness_ratio, inside, face);
  };
  const double here = at(1, 1);
  return {here, (at(1 + step, 1) - here) / step, (at(1, 1 + step) - here) / step};
}

double counted(double reflectance, const FilmFit& fit) {
  return fit.as_lightness ? std::cbrt(std::max(reflectance, 1e-4)) : reflectance;
}

double huber(double misfit, double limit) {
  const double size = std::abs(misfit);
  return limit > 0 && size > limit ? limit * (2 * size - limit) : size * size;
}

namespace {

struct Quadratic {
  Eigen::MatrixXd curvature;
  Eigen::VectorXd slope;
};

// Colorants a film holds; most hold two or three of many.
std::vector<int> held(const std::vector<double>& shares) {
  std::vector<int> which;
  for (int i = 0; i < static_cast<int>(shares.size()); ++i)
    if (shares[static_cast<std::size_t>(i)] > 0) which.push_back(i);
  return which;
}

double cost(int band, const std::vector<FilmReading>& readings, const std::vector<std::vector<int>>& colorants,
            const std::vector<double>& thickness, const std::vector<double>& film_weight, const Eigen::VectorXd& x,
            const Pull& pull, const FilmFit& fit, Quadratic* quadratic) {
  const int n = static_cast<int>(x.size()) / 2;
  if (quadratic) quadratic->curvature.setZero(2 * n, 2 * n), quadratic->slope.setZero(2 * n);
  const Eigen::VectorXd constants = x.array().exp();
  double total = 0;
  std::vector<int> where;
  std::vector<double> slopes;
  for (std::size_t r = 0; r < readings.size(); ++r) {
    MixedFilm film;
    for (const int i : colorants[r]) {
      const double share = readings[r].shares[static_cast<std::size_t>(i)];
      film.absorption += share * constants[i], film.scattering += share * constants[n + i];
    }
    for (const OverGround& over : readings[r].over) {
      const double inside = ground_inside(over.ground[band], fit.face);
      if (!quadratic) {
        total += film_weight[r] * huber(counted(film_reflectance(film, thickness[r], inside, fit.face), fit) -
                                            counted(over.film[band], fit),
                                        fit.misfit);
        continue;
      }
      const FilmSlopes at = film_slopes(film, thickness[r], inside, fit.face);
      const double off = counted(at.reflectance, fit) - counted(over.film[band], fit);
      total += film_weight[r] * huber(off, fit.misfit);
      const double weight =
          film_weight[r] * (fit.misfit > 0 && std::abs(off) > fit.misfit ? fit.misfit / std::abs(off) : 1);
      const double root = counted(at.reflectance, fit), stretch = fit.as_lightness ? 1 / (3 * root * root) : 1;
      where.clear(), slopes.clear();
      for (const int i : colorants[r]) {
        const double share = readings[r].shares[static_cast<std::size_t>(i)];
        where.push_back(i), slopes.push_back(stretch * at.on_log_absorption * share * constants[i] / film.absorption);
        where.push_back(n + i),
            slopes.push_back(stretch * at.on_log_scattering * share * constants[n + i] / film.scattering);
      }
      for (std::size_t a = 0; a < where.size(); ++a) {
        quadratic->slope[where[a]] += weight * slopes[a] * off;
        for (std::size_t b = 0; b < where.size(); ++b)
          quadratic->curvature(where[a], where[b]) += weight * slopes[a] * slopes[b];
      }
    }
  }
  for (int i = 0; i < 2 * n; ++i) {
    const double off = x[i] - pull.towards[static_cast<std::size_t>(i)];
    const double firm = pull.firmness[static_cast<std::size_t>(i)];
    total += firm * firm * off * off;
    if (quadratic) quadratic->curvature(i, i) += firm * firm, quadratic->slope[i] += firm * firm * off;
  }
  return total;
}

}  // namespace

LogConstants fit_band(int band, const std::vector<FilmReading>& readings, const std::vector<double>& thickness,
                      const std::vector<double>& weight, LogConstants start, const Pull& pull, const FilmFit& fit,
                      Matrix* covariance) {
  const int size = static_cast<int>(start.size());
  std::vector<std::vector<int>> colorants;
  for (const FilmReading& r : readings) colorants.push_back(held(r.shares));
  Eigen::VectorXd x = Eigen::Map<Eigen::VectorXd>(start.data(), size);
  Quadratic q;
  double least = cost(band, readings, colorants, thickness, weight, x, pull, fit, &q), damping = 1e-3;
  for (int step = 0; step < 40; ++step) {
    const double before = least;
    bool better = false;
    for (int attempt = 0; attempt < 8 && !better; ++attempt) {
      Eigen::MatrixXd damped = q.curvature;
      damped.diagonal().array() += damping * (1e-6 + q.curvature.diagonal().array());
      const Eigen::VectorXd move = -damped.ldlt().solve(q.slope);
      Eigen::VectorXd next = x;
      // Steps and range bounded: exp() must stay a number, and no film darker or whiter than this can be told apart.
      for (int i = 0; i < size; ++i) next[i] = std::clamp(x[i] + std::clamp(move[i], -1.5, 1.5), -14.0, 7.0);
      if (cost(band, readings, colorants, thickness, weight, next, pull, fit, nullptr) < least) {
        x = next;
        least = cost(band, readings, colorants, thickness, weight, x, pull, fit, &q);
        damping = std::max(damping * 0.3, 1e-9);
        better = true;
      } else {
        damping *= 5;
      }
    }
    if (!better || before - least < 1e-7 * least) break;
  }
  if (covariance) {
    const Eigen::MatrixXd inverse = q.curvature.ldlt().solve(Eigen::MatrixXd::Identity(size, size));
    *covariance = Matrix(size, size);
    for (int c = 0; c < size; ++c)
      for (int r = 0; r < size; ++r) (*covariance)(r, c) = inverse(r, c);
  }
  return {x.data(), x.data() + size};
}

}  // namespace witnessline::match
