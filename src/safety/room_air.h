// One room while it is sprayed or dried in: what its air must be, what it is, and whether that is enough. The verb and
// the plans ask here alike.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "safety/respirator.h"
#include "safety/spraying.h"
#include "safety/ventilation.h"

namespace witnessline::safety {

/// Work in a room, and who is in it.
struct Airing {
  std::span<const VapourFlow> flows;  ///< at their most
  std::span<const Release> releases;  ///< the same vapour over time; time 0 is the start
  Room room;
  double temperature_K = 294.15;
  bool gun = false;                ///< sprayed: the booth's face counts, and its capture
  bool nobody = false;             ///< the piece dries; nobody need be there
  bool drying_room = false;        ///< in the room's drying room, where it has one
  std::string poison;              ///< of the mist, or given off while it cures
  double ends_s = 0, shown_s = 0;  ///< when the work ends; how long the record is
  double from_s = 0;  ///< peaks count from here on: what dries where it was sprayed, from the end of spraying
};

struct RoomAir {
  AirAsked asked;
  Figure fan;             ///< as given
  Figure peak_of_fire;    ///< highest of the room, over the lower explosive limit
  Figure peak_of_limit;   ///< highest where people breathe, over the limit of the mixture
  Figure peak_of_danger;  ///< the same over what is immediately dangerous to life
  Figure worn_of_limit;   ///< the same as peak_of_limit inside the respirator worn
  Figure day_of_limit;    ///< average over an eight-hour day, over the breathing limit
  Figure clear;           ///< after the work until the room may be entered without a respirator
  double captured = 0;    ///< share of the vapour drawn off before it reaches anybody
  AirVerdict verdict = AirVerdict::not_known;
  std::vector<CartridgeAnswer> cartridges;
  AirRecord record;                         ///< empty without a room and a fan
  std::vector<std::string> danger_unknown;  ///< vapours whose immediately dangerous concentration is not known
  bool immediate() const { return peak_of_danger.value > 1; }
};

/// The verdict, the peaks, the flow to breathe and the time to clear all read one concentration.
/// Peaks are of the vapours whose limits are known and say "at least" where one has none. No time to re-enter is given
/// where the air holds a poison that is not worked out, or a limit is missing. After spraying it is never below what
/// practice asks: 15 min of the running fan behind an open-face booth, 30 min in a room (hse_clearance).
/// Departs: see AirRecord; the share an open face captures is an ESTIMATE (captured_share).
RoomAir room_air(const Airing&);

}  // namespace witnessline::safety
