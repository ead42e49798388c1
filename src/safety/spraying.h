// Coats sprayed in a room: what goes into its air and when, how high it gets, when it has cleared.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "safety/room.h"
#include "safety/ventilation.h"

namespace witnessline::safety {

/// Coats of equal size, one after the other.
struct Spraying {
  std::vector<VapourFlow> flows;  ///< of the liquid that leaves the gun while it is on
  int coats = 1;
  double coat_s = 0, flash_s = 0;
  double landed_fraction =
      0.3;               ///< of the solvent that lands and leaves while the film dries; the rest is gone at once
  double fade_s = 1200;  ///< in which a film loses all but 1/e of its solvent
  double temperature_K = 294.15;
  double end_s() const { return coats * coat_s + (coats - 1) * flash_s; }
};

/// Vapour let into the spraying room and, where there is one, into the drying room from the end of spraying on.
/// Law: each film takes up a share of what is sprayed and lets it go by first order; exact.
/// Departs: fast solvents leave first and slow ones last, here they leave alike.
struct Releases {
  std::vector<Release> spraying, drying;  ///< drying: time 0 is the end of spraying; empty: dried where it was sprayed
};
Releases releases_of(const Spraying&, double vapour_m3_s, bool moved);

/// What the piece gives off, at its most, once spraying has ended: the flows of a drying room [m3/s of liquid].
std::vector<VapourFlow> drying_flows(const Spraying&);

/// One room's air over time.
struct AirRecord {
  std::vector<double> time_s, room_share, breathing_share;  ///< vapour by volume: well mixed, and where people breathe
  double peak_room_share = 0, peak_breathing_share = 0;
  double breathing_day_share = 0;  ///< average of what is breathed over an eight-hour day
};
AirRecord air_record(std::span<const Release>, double air_m3_s, double volume_m3, double mixing_factor, double shown_s);

}  // namespace witnessline::safety
