// Life: what a surface has lived through, as plain data. `history` infers one from the untouched parts; `bench` works
// one into a finish.
#pragma once

#include <array>
#include <cstdint>
#include <string>
#include <vector>

#include "base/describe.h"

namespace witnessline::materials {

/// What touches an instrument in use.
enum class Touch {
  forearm,
  buckle,
  strap_tail,
  strap_neck,
  case_lining,
  picking_hand,
  thigh,
  chest,
  stand,
  fretting_hand
};
constexpr auto words(const Touch*) {
  return std::array{"forearm",      "buckle", "strap_tail", "strap_neck", "case_lining",
                    "picking_hand", "thigh",  "chest",      "stand",      "fretting_hand"};
}

/// Which hand plays the strings; the other stops them.
enum class Hand { unstated, right, left };
constexpr auto words(const Hand*) { return std::array{"unsaid", "right", "left"}; }

/// How it is held when played. unsaid: upright, on a strap or the lap as the hours against them say. flat: across the
/// thighs, face up, hands from above.
enum class Hold { unstated, strap, lap, flat };
constexpr auto words(const Hold*) { return std::array{"unsaid", "strap", "lap", "flat"}; }

/// How long one of them lay or rubbed against it.
struct TouchTime {
  Touch by{};
  double time_s = 0;
};
template <class V>
void describe(V& v, TouchTime& t) {
  v(member("by", "what touches").must(), t.by);
  v(member("time_h", "hours against it, over the whole life", unit::h).within(0, 200000).must(), t.time_s);
}

/// What the parts that are screwed on keep from a place while the instrument is lived with.
enum class Shelter : std::uint8_t {
  open,
  beside,  ///< close by a part that stands up: hands, straps and knocks do not get there, light and dirt do
  under    ///< under a part: nothing gets there
};

/// A default Life is no life: worked into a finish it changes nothing.
struct Life {
  std::string id;
  double age_s = 0;                ///< since the finish was new
  double light_lx_s = 0;           ///< dose on the face turned to the room
  std::vector<TouchTime> touches;  ///< one that is missing never touched it
  int cold_shocks = 0;             ///< times it came in from the cold, or went out into it
  double coldest_K = 294.15;       ///< film temperature of such a shock
  double humidity_swing = 0;       ///< half the yearly range of relative humidity [1]
  double cased_share = 0;          ///< of the age, in a closed case [1]
  double grime_kg_m2 = 0;          ///< left where it was handled most
  Hand hand{};
  Hold held{};
};
template <class V>
void describe(V& v, Life& l) {
  v(member("id", "word the steps call it by").must(), l.id);
  v(member("age_a", "years since the finish was new", unit::year).within(0, 400), l.age_s);
  v(member("light_Mlx_h", "light dose on the face turned to the room", unit::Mlx_h).within(0, 1000), l.light_lx_s);
  v(member("touches", "what touched it, and for how long; one that is missing never did"), l.touches);
  v(member("cold_shocks", "times it came in from the cold or went out into it").within(0, 10000), l.cold_shocks);
  v(member("coldest_degC", "how cold the film got", unit::degC).within(-60, 40), l.coldest_K);
  v(member("humidity_swing_pct", "half the yearly range of relative humidity", unit::pct).within(0, 50),
    l.humidity_swing);
  v(member("cased_pct", "share of the years in a closed case", unit::pct).within(0, 100), l.cased_share);
  v(member("grime_g_m2", "grime left where it was handled most; about 1 is visibly dirty", unit::g_m2).within(0, 50),
    l.grime_kg_m2);
  v(member("hand", "hand that plays the strings: right or left; absent: as the kind of instrument says, else right"),
    l.hand);
  v(member("held",
           "on a strap, on the lap upright, or flat across the thighs face up; absent: as the kind of instrument says, "
           "else upright"),
    l.held);
}

}  // namespace witnessline::materials
