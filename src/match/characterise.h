// Absorption and scattering of a set of colorants from films of known composition, and what a new mixture would read.
#pragma once

#include <string>
#include <vector>

#include "base/result.h"
#include "colour/colour.h"
#include "numerics/linear.h"
#include "optics/face.h"

namespace witnessline::match {

/// A film and the bare ground beside it, as measured (the face's reflection included).
struct OverGround {
  Reflectance ground, film;
};

/// One film of known composition, read over one ground or more.
struct FilmReading {
  std::string sample;
  std::vector<double> shares;    ///< of each colorant of the set [1]; they sum to 1
  double thickness_ratio = 1;    ///< multiple of the set's unit of thickness; where not known, its likely value
  double thickness_log_sd = 0;   ///< how well that is known (log-normal); 0: exactly
  std::vector<OverGround> over;  ///< one entry a ground
  Place where;                   ///< for faults
};

/// How a set is fitted. The defaults are what docs/validation/colour.md found best on real paint.
struct FilmFit {
  AirFace face{0.035, 0.5};  ///< of the whole set; {0, 0} for matt films
  double misfit = 0.02;      ///< a reading's likely misfit [1]; a larger one counts by its size only, not squared
  double pooling = 0.01;   ///< how firmly log S keeps to the colorant's own mean over the bands, against a misfit of 1
  double prior = 0.003;    ///< how firmly log K and log S keep to a middling film, against a misfit of 1
  double kinship = 0.015;  ///< how firmly log K and log S keep to those of the colorant's kin, against a misfit of 1
  bool as_lightness = false;  ///< misfits count between cube roots of reflectance, as lightness goes
  bool alike_as_one = true;   ///< films of one composition count as one together: their misfits are alike
  int rounds = 12;            ///< of colorants, then thicknesses; 1: thicknesses as given
};

/// The plain model all else is held against: least squares, thickness as given, conventional face.
FilmFit plain_two_constant_fit();

struct ColorantModel {
  std::string name;
  Spectrum absorption, scattering;                ///< K and S per unit of thickness
  Spectrum absorption_log_sd, scattering_log_sd;  ///< standard uncertainty of their logarithms
  bool separated = true;                          ///< false: K and S could not be told apart
};

struct ColorantSet {
  std::vector<ColorantModel> colorants;
  AirFace face;
  std::vector<Matrix> log_covariance;   ///< a band: log K of every colorant, then log S
  std::vector<double> thickness_ratio;  ///< of every film read, as found
  double misfit = 0;                    ///< root mean square of reading minus fit [1]
  std::vector<Note> notes;
};

/// Law: Kubelka-Munk film over its ground behind Saunderson's face, K = sum(share K_i), S = sum(share S_i); the most
/// probable K_i, S_i and thicknesses under Huber misfits and weak priors. Source: kubelka1948; saunderson1942;
/// duncan1940 (mixing); huber1964. Valid: films of one kind of binder. Departs: crowding of pigments, flooding. A
/// colorant read over one ground only, alone, at one thickness, is not separated. Errors: shares or reflectances that
/// cannot be, black and white changed over, no colorant that can be separated.
Result<ColorantSet> characterise(const std::vector<std::string>& colorants, const std::vector<FilmReading>&,
                                 const FilmFit& = {});

/// Colorants that are kin: a name that is another's with something added after an underscore is a further batch or
/// recipe of it ("zinc_white", "zinc_white_linseed"). For each colorant the others of its family.
std::vector<std::vector<std::size_t>> kin_of(const std::vector<std::string>& colorants);

/// The fit that foretells a set's own mixtures best: glossy or matt face, misfits as reflectance or as lightness,
/// chosen by leaving out whole combinations of colorants in three parts. A set with fewer than nine combinations keeps
/// the usual fit. Nothing but the readings given is looked at.
FilmFit fit_suited_to(const std::vector<std::string>& colorants, const std::vector<FilmReading>&);

/// A thickness and how well it is known.
struct FilmThickness {
  double ratio = 1;   ///< multiple of the set's unit of thickness
  double log_sd = 0;  ///< log-normal spread
};

struct Prediction {
  Reflectance reflectance;
  Spectrum reflectance_sd;    ///< from K, S, thickness and the set's misfit
  Lab lab;                    ///< D65, 10 degree
  double likely_delta_e = 0;  ///< Delta E 2000 of one standard deviation in every band at once. ESTIMATE
};

/// Errors: shares that do not fit the set, a colorant that was not separated, a thickness that is not above zero.
Result<Prediction> predict(const ColorantSet&, const std::vector<double>& shares, const Reflectance& ground,
                           FilmThickness);

/// What the set says a film of these shares reads over a ground in one band [1].
double film_reading(const ColorantSet&, const std::vector<double>& shares, double thickness_ratio,
                    const Reflectance& ground, int band);

/// The thickness of a film of known composition from its readings: the most probable one. Source: kubelka1948.
FilmThickness thickness_from_reading(const ColorantSet&, const FilmReading&, double misfit = 0.02);

}  // namespace witnessline::match
