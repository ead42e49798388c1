// What a person reads of one room's air: enough or not, why, and the next thing to do. The verb and the plans ask here
// alike.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "safety/room_air.h"

namespace witnessline::safety {

/// The room a RoomAir is of, and how it is spoken of.
struct AirPlace {
  const Room& room;
  bool gun = false;          ///< while it is sprayed; else while it dries
  bool drying_room = false;  ///< dries in a room of its own
  std::string poison = {};   ///< of the mist, or given off while it cures
  BenchUnits units = BenchUnits::metric;
  std::string name() const;  ///< "spraying room, drying"
};

/// Sentences, the answer first: whether the air is enough, what to do instead, when people may come back.
std::vector<std::string> describe_air(const RoomAir&, const AirPlace&);

/// Dangers of it: what is missing, fire, air that is immediately dangerous to life.
std::vector<Note> air_dangers(const RoomAir&, const AirPlace&);

/// How far vapour stays below a breathing limit, or passes it, in words: "below half its breathing limit".
std::string describe_margin(double of_limit);

/// A flow of air asked for, after `before` ("at least "); one that no small shop's fan moves is not given as a number.
std::string describe_flow(double m3_s, BenchUnits, std::string_view before = "");

/// What to do instead of moving more air, where the fan is too little; "" where it is enough.
std::string instead_of_more_air(const RoomAir&, const AirPlace&);

}  // namespace witnessline::safety
