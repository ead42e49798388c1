// Designing a thinner from what stands on the shelf.
#pragma once

#include <string>
#include <vector>

#include "solvents/blush.h"

namespace witnessline::solvents {

/// A solvent that may go into a thinner.
struct ShelfSolvent {
  Volatile of;
  double price_per_L = 0;  ///< in the shop's own currency; 0 counts as free
  double most_frac = 1;    ///< of the thinner: no more is in stock
};

/// The film a thinner goes into and the weather it dries in.
struct SprayedFilm {
  FilmFormer film_former;
  double solids_frac = 0.09;  ///< by volume, as sprayed
  double wet_m = 100e-6;
  Airflow air;  ///< with its humidity
  /// What the tin itself brings: its solvents and their share of all solvent sprayed; none: counted as thinner.
  std::vector<Volatile> tin_solvents;
  std::vector<double> tin_volume_fraction;
};

/// A thinner's share of each solvent of a shelf in that film, dried.
struct ThinnerRun {
  Solution solution;
  WetFilm film;
  EvaporationRun run;
};
ThinnerRun dry_thinner(std::span<const ShelfSolvent>, std::span<const double> volume_fraction, const SprayedFilm&);

/// What a good thinner does beside dissolving the film former to the end.
struct ThinnerWishes {
  double spare_humidity_frac = 0.1;  ///< the air may grow so much damper before the film blushes
  /// Time in which 90 % leaves. ESTIMATE 4 to 15 min (each end within a factor of 1.5): sooner it lands dry and draws
  /// water, later it runs and prints.
  double soonest_s = 240, latest_s = 900;
  /// Half should have gone in this share of that time: then the coat holds on an upright face and still flows out.
  /// ESTIMATE 0.45 (0.35 to 0.55, a single solvent).
  double half_gone_ratio = 0.45;
  int most_solvents = 4;  ///< 1 to 4
};

/// How one thinner does in that film and weather.
struct ThinnerTrial {
  std::vector<double> volume_fraction;  ///< in the order of the shelf, sums to 1
  Judged first, worst;                  ///< of the solvents left, until nothing moves in the film any more
  double time_10_s = 0, time_50_s = 0, time_90_s = 0;
  double coldest_K = 0;
  HumidityLimits limits;
  double price_per_L = 0;
  double blame = 0;                 ///< what it is ranked by: 0 is no fault; each wish missed adds
  std::vector<std::string> faults;  ///< wishes it misses, in words
  std::string loses;                ///< why it stands behind the first; empty for the first
};

/// One thinner tried: the whole run. `highest_humidity`: it is not asked where it blushes above that.
ThinnerTrial try_thinner(std::span<const ShelfSolvent>, std::vector<double> volume_fraction, const SprayedFilm&,
                         const ThinnerWishes&, double highest_humidity = 1);

/// The wishes a thinner misses, in words, and why it stands behind the first, by the figures of the trials as given.
std::vector<std::string> missed_wishes(const ThinnerTrial&, const Airflow&, const ThinnerWishes&);
std::string why_behind(const ThinnerTrial&, const ThinnerTrial& first);

/// The best thinners of the shelf, ranked, unlike each other (no two share more than 70 % of their volume); none where
/// what is in stock does not make up a whole.
/// Law: every blend of up to most_solvents in tenths is looked at by BlendJudge along an ideal, isothermal evaporation;
/// the hundred most promising are then dried by the whole model, the best of them bettered by tenths, and ranked by the
/// wishes they miss, then price. Departs: tenths are coarse; the first look leaves out what the tin brings; a blend
/// that only the whole model would find promising is missed.
std::vector<ThinnerTrial> design_thinner(std::span<const ShelfSolvent>, const SprayedFilm&, const ThinnerWishes&,
                                         std::size_t answers = 4);

}  // namespace witnessline::solvents
