// The fit of one band, and the film it fits.
#pragma once

#include <vector>

#include "match/characterise.h"

namespace witnessline::match {

/// K and S of a mixture, per unit of thickness.
struct MixedFilm {
  double absorption = 0, scattering = 0;
};

/// What a film reads over a ground, and its slopes on log K and log S [1].
struct FilmSlopes {
  double reflectance = 0, on_log_absorption = 0, on_log_scattering = 0;
};
FilmSlopes film_slopes(MixedFilm, double thickness_ratio, double ground_inside, AirFace);
/// What a film reads over a ground, face included [1].
double film_reflectance(MixedFilm, double thickness_ratio, double ground_inside, AirFace);
/// What lies behind the face of a ground, 0 to 1 [1].
double ground_inside(double seen, AirFace);

/// Huber's measure of a misfit: square up to `limit`, straight beyond. Source: huber1964.
double huber(double misfit, double limit);

/// log K of every colorant, then log S, in one band.
using LogConstants = std::vector<double>;

/// Where log K and log S are drawn to, and how firmly.
struct Pull {
  std::vector<double> towards, firmness;
};

/// What misfits are measured in: reflectance, or its cube root where the fit counts them as lightness [1].
double counted(double reflectance, const FilmFit&);

/// Most probable constants of one band at given thicknesses, by damped Gauss-Newton steps (levenberg1944).
/// `weight`: how many readings a film counts as. `covariance`, where asked for: of the constants at the fit, for a
/// misfit of 1.
LogConstants fit_band(int band, const std::vector<FilmReading>&, const std::vector<double>& thickness_ratio,
                      const std::vector<double>& weight, LogConstants start, const Pull&, const FilmFit&,
                      Matrix* covariance = nullptr);

}  // namespace witnessline::match
