// The room a finish is sprayed and dried in, and what its air holds while vapour is let into it.
#pragma once

#include <array>
#include <optional>
#include <span>
#include <vector>

#include "base/describe.h"
#include "base/units.h"

namespace witnessline::safety {

enum class Respirator { none, half_mask, full_face, powered_hood, supplied_air };
constexpr auto words(const Respirator*) {
  return std::array{"none", "half_mask", "full_face", "powered_hood", "supplied_air"};
}

/// Concentration outside over concentration inside that a respirator is credited with [1].
/// Source: cfr1910_134, Table 1 (memory): 10 half mask, 50 full face, 25 powered with loose hood, 1000 supplied air
/// with full face piece. Valid: fitted, tested, with the right cartridge, worn all the time.
double protection_factor(Respirator);

/// What a person says of the room. What is absent is not known, and nothing is taken as safe for it.
struct Room {
  std::optional<double> volume_m3, fan_m3_s;
  std::optional<double> booth_face_m2;     ///< open face; 0: there is no booth
  std::optional<double> crossdraught_m_s;  ///< across the booth's face
  std::optional<double> mixing_factor;     ///< how much worse the breathing zone is aired than the room
  std::optional<double> drying_volume_m3, drying_fan_m3_s;  ///< of a drying room; absent: dried where it was sprayed
  std::optional<Respirator> respirator;
  bool outdoors = false;  ///< sprayed in the open: volume, fan and booth are not asked for
};
template <class V>
void describe(V& v, Room& r) {
  v(member("volume_m3", "room where it is sprayed", unit::m3).within(1, 100000), r.volume_m3);
  v(member("fan_m3_h", "air drawn out and replaced by fresh", unit::m3_h).within(1, 1e6), r.fan_m3_s);
  v(member("booth_face_m2", "open face of the booth; 0: there is none", unit::m2).within(0, 100), r.booth_face_m2);
  v(member("crossdraught_m_s", "air across the booth's face; absent: up to 0.5 m/s", unit::m_s).within(0, 5),
    r.crossdraught_m_s);
  v(member("mixing_factor",
           "how much worse the breathing zone is aired than the room; absent: 10, at a booth that holds its face 3")
        .within(3, 10),
    r.mixing_factor);
  v(member("drying_volume_m3", "drying room; absent: dried where it was sprayed", unit::m3).within(0.1, 100000),
    r.drying_volume_m3);
  v(member("drying_fan_m3_h", "air through the drying room", unit::m3_h).within(1, 1e6), r.drying_fan_m3_s);
  v(member("respirator", "worn while spraying, fitted and tested"), r.respirator);
  v(member("outdoors", "sprayed in the open air, upwind of the work; volume, fan and booth are not asked for"),
    r.outdoors);
}

/// Absent, the worst of the usual range of 3 to 10 is taken. Source: acgih_ventilation (memory).
inline constexpr double worst_mixing_factor = 10;

/// Where fresh air reaches the person before the work, as in front of a booth that holds its face or upwind outdoors.
inline constexpr double best_mixing_factor = 3;

/// What moves air past the work, and how well: as given; outdoors an ESTIMATE: a light air of 0.5 m/s through 2 m2
/// round the work, well mixed. Indoors what is absent stays absent, but for the mixing factor: the best of the range at
/// a booth that holds its face, elsewhere the worst.
std::optional<double> fan_of(const Room&);
std::optional<double> volume_of(const Room&);
double mixing_of(const Room&, bool booth_holds_face);

/// Vapour let into a room: `vapour_m3_s` at the start, then steady (fade_s = 0) or falling by 1/e in fade_s.
struct Release {
  double from_s = 0, until_s = 0;
  double vapour_m3_s = 0;
  double fade_s = 0;
};

/// Vapour let in at a moment [m3/s].
double release_m3_s(std::span<const Release>, double time_s);

/// Vapour in a room's air [share by volume], from `first` at time 0.
/// Law: well mixed, V dC/dt = G(t) - Q C; the exact solution, term by term. Source: acgih_ventilation (memory).
/// Valid: air and room the same temperature, C small against 1. Departs: no plume at the gun, no dead corners: for the
/// breathing zone give Q over the mixing factor.
double concentration(std::span<const Release>, double air_m3_s, double volume_m3, double time_s, double first = 0);

/// Highest of that from `from_s` until `until_s`, looked at 240 times and wherever a release starts or stops.
double highest(std::span<const Release>, double air_m3_s, double volume_m3, double from_s, double until_s);

/// Moments at which a record is looked at [s]: evenly, and where releases start and stop.
std::vector<double> moments_of(std::span<const Release>, double from_s, double until_s);

/// First moment from which the air stays at or below a share by volume [s]; none: it never does.
std::optional<double> clear_from_s(std::span<const Release>, double air_m3_s, double volume_m3, double below);

/// Time for clean air to bring a room down from one concentration to another [s]. Law: t = V/Q ln(C1/C2).
double purge_time_s(double air_m3_s, double volume_m3, double from_fraction, double to_fraction);

}  // namespace witnessline::safety
