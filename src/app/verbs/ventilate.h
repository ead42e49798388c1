// Verb `ventilate`: fresh air for spraying and drying, against what the fan moves.
#pragma once

#include <string>
#include <vector>

#include "app/answer_parts.h"
#include "app/verb.h"
#include "safety/contents.h"
#include "safety/respirator.h"
#include "safety/room.h"
#include "safety/ventilation.h"

namespace witnessline::app {

struct SprayedPart {
  std::string material;
  double volume_fraction = 0;
};
template <class V>
void describe(V& v, SprayedPart& s) {
  v(member("material", "solvent, paint or thinner, a material id").must(), s.material);
  v(member("volume_pct", "share by volume of the liquid in the gun", unit::pct).within(0, 100).must(),
    s.volume_fraction);
}

struct VentilateRequest {
  std::vector<SprayedPart> sprayed;
  std::vector<Contents> contents;
  double rate_m3_s = 0;
  int coats = 1;
  double coat_s = 300, flash_s = 1200;
  double landed_fraction = 0.3;
  double fade_s = 1200;
  double temperature_K = 294.15;
  Room room;
};
template <class V>
void describe(V& v, VentilateRequest& r) {
  v(member("sprayed", "what is in the gun; the shares sum to 100").must(), r.sprayed);
  v(member("contents", "solvents of tins, from their safety data sheets"), r.contents);
  v(member("rate_mL_min", "liquid that leaves the gun while it is on", mL_min).within(1, 2000).must(), r.rate_m3_s);
  v(member("coats", "number of coats").within(1, 60), r.coats);
  v(member("coat_min", "gun on, one coat", unit::min).within(0.1, 600), r.coat_s);
  v(member("flash_min", "between coats", unit::min).within(0, 10000), r.flash_s);
  v(member("landed_pct", "of the solvent that lands and leaves while the film dries (ESTIMATE unless weighed)",
           unit::pct)
        .within(0, 95),
    r.landed_fraction);
  v(member("fade_min", "in which a film loses two thirds of its solvent (ESTIMATE unless weighed)", unit::min)
        .within(0.5, 10000),
    r.fade_s);
  v(member("temperature_degC", "of the room", unit::degC).within(0, 45), r.temperature_K);
  v(member("room", "the room, its fan and booth").must(), r.room);
}

/// A limit that went in, with every other value published for the same.
struct LimitUsed {
  std::string solvent, of;
  double value_ppm = 0;
  std::string source;
  std::vector<std::string> others;
};
template <class V>
void describe(V& v, LimitUsed& l) {
  v(member("solvent", "whose vapour"), l.solvent);
  v(member("of", "explosion, breathing or immediate danger"), l.of);
  v(member("value_ppm", "the lowest known; it rules"), l.value_ppm);
  v(member("source", "key of its source"), l.source);
  v(member("others", "other values published for it, with their sources"), l.others);
}

/// One room while it is sprayed or dried in.
struct RoomAnswer {
  std::string name;
  AirVerdict verdict = AirVerdict::not_known;
  AirAsked asked;
  Figure fan;             ///< given
  Figure peak_of_fire;    ///< highest, over the lower explosive limit
  Figure peak_of_limit;   ///< highest where people breathe, over the limit of the mixture
  Figure peak_of_danger;  ///< the same over what is immediately dangerous to life
  Figure day_of_limit;    ///< average over the day, over the breathing limit
  Figure clear;           ///< from the end of spraying until it may be entered without a respirator
};
template <class V>
void describe(V& v, RoomAnswer& r) {
  v(member("name", "which room"), r.name);
  v(member("verdict", "whether the fan is enough"), r.verdict);
  v(member("asked", "air asked for"), r.asked);
  v(member("fan", "air the fan moves"), r.fan);
  v(member("peak_of_fire", "highest vapour of the room over its lower explosive limit; a quarter is allowed"),
    r.peak_of_fire);
  v(member("peak_of_limit", "highest vapour where people breathe over the breathing limit of the mixture"),
    r.peak_of_limit);
  v(member("day_of_limit", "average of an eight-hour day over the same limit"), r.day_of_limit);
  v(member("peak_of_danger", "the same over what is immediately dangerous to life"), r.peak_of_danger);
  v(member("clear",
           "from the end of spraying until it may be entered without a respirator; no value: none can be given"),
    r.clear);
}

struct VentilateAnswer {
  std::vector<RoomAnswer> rooms;
  Figure vapour_mass, vapour_volume, explosive_limit;
  std::vector<LimitUsed> limits;
  std::vector<CartridgeAnswer> cartridges;
  std::vector<std::string> says;
  std::vector<Curve> curves;
  std::vector<Note> notes;
};
template <class V>
void describe(V& v, VentilateAnswer& a) {
  v(member("rooms", "the spraying room and, where there is one, the drying room"), a.rooms);
  v(member("vapour_mass", "solvent that goes into the air in all"), a.vapour_mass);
  v(member("vapour_volume", "the same as vapour, before it is thinned by air"), a.vapour_volume);
  v(member("explosive_limit", "lower explosive limit of the mixed vapour"), a.explosive_limit);
  v(member("limits", "limits that went in"), a.limits);
  v(member("cartridges", "whether organic-vapour cartridges hold what is sprayed"), a.cartridges);
  v(member("says", "in plain sentences"), a.says);
  v(member("curves", "vapour over time"), a.curves);
  v(member("notes", "notes, cautions and dangers"), a.notes);
}

Verb ventilate_verb();

}  // namespace witnessline::app
