// What drives checks in a column of coats: how deep it pays to crack, in which direction, from which flaws.
#pragma once

#include <span>

#include "cracking/ageing.h"
#include "cracking/flaw.h"

namespace witnessline::cracking {

/// One coat of a column: what pulls in it now, and what it is.
struct CoatPull {
  CrackingFilm film;  ///< as it is now
  ByGrain stress_Pa;
};

/// What a film has been through.
struct ColdHistory {
  double room_K = 294.15, room_humidity = 0.5, coldest_K = 294.15;
  double laid_humidity = 0.5;  ///< wood and film came to rest with each other in this
  int shocks = 0;
  double shock_s = 3600;      ///< one hour in the cold
  double humidity_swing = 0;  ///< half the yearly range
  double wood_m = 0.045;
  bool core_stays_warm = false;  ///< a skin is chilled, so the wood below does not shrink with it
};

/// The pull in a coat that was laid `age.stood_s` ago: set and eased in the room, shrunk by what it lost, two years of
/// seasons, then the coldest shock out of the dry season, the wood come to the room's humidity meanwhile; the greatest
/// in each direction [Pa]. Law: film_stress.h, ageing.h. Source: kubler1973, croll1979, eyring1936 and the others
/// there. Departs: pulls of seasons and shocks add to what is there and ease by Maxwell's rule; every shock the
/// coldest; a season half a year of one humidity at the room's temperature.
CoatPull pull_of(const CrackingFilm&, const FilmAge&, double usual_plasticiser_frac, const CrackingWood&,
                 const ColdHistory&);

/// Drive of the checks of one column. Each pair is by the direction a check *opens*: `along` opens along the grain, so
/// runs across it.
class CheckDrive {
 public:
  CheckDrive() = default;
  /// `thickness_m` of each coat, wood side first. The check goes as deep as drives it hardest: through the outer coats
  /// down to one that is too tough or too little pulled. Law: thickness-weighted means of the coats it goes through.
  /// Departs: the wood stands for the coats below it.
  CheckDrive(std::span<const CoatPull>, std::span<const double> thickness_m, const CrackingWood&);

  double depth_m = 0;  ///< 0: nothing to crack
  double toughness_J_m2 = 0;
  ByGrain stress_Pa, energy_J_m2;
  Elastic film;
  /// Energy of a running check over toughness [1].
  ByGrain run() const { return {energy_J_m2.along / toughness_J_m2, energy_J_m2.across / toughness_J_m2}; }
  /// A spot checks at right angles to the greatest pull. Law: greatest hoop stress. Source: erdogan1963. Departs: by
  /// energy alone a deep spot on spruce would check along the grain (docs/models/cracking.md).
  bool spot_opens_along() const { return stress_Pa.along >= stress_Pa.across; }
  /// The same as run() for a flaw of that share of the depth (FlawEnergy::share_of_channel), in one direction [1].
  double from_flaw(double depth_share, bool opens_along) const;
  /// Stress square on a check that opens at this angle to the grain, over the greater of the two [1].
  double pull_at(double angle_rad) const;

 private:
  Mismatch along_mismatch_, across_mismatch_;
};

/// Mouth of a check while the stress that opened it lasts [m]. Law: 4 x 1.454 sigma a / E'. Source: tada1973 (edge
/// crack in a half space). Departs: no mismatch.
double opening_m(double stress_Pa, double depth_m, const Elastic& film);

}  // namespace witnessline::cracking
