// The step `check`.
#pragma once

#include <cmath>
#include <optional>
#include <string>
#include <vector>

#include "bench/check_count.h"
#include "bench/step_kind.h"

namespace witnessline::bench {

/// How cold is brought to a film.
enum class ColdBy { cold_room, freezer, duster };
constexpr auto words(const ColdBy*) { return std::array{"cold_room", "freezer", "duster"}; }

/// A glue line that may open: straight along the body, on the front or the back.
enum class SeamFace { front, back };
constexpr auto words(const SeamFace*) { return std::array{"front", "back"}; }
struct Seam {
  double x_m = 0;
  SeamFace face = SeamFace::front;
};
template <class V>
void describe(V& v, Seam& s) {
  v(member("x_mm", "across, from the centreline, treble positive", unit::mm).within(-600, 600).must(), s.x_m);
  v(member("face", "front or back"), s.face);
}

/// Open checks with cold, or those a life has left.
struct ColdCheck {
  static constexpr std::string_view word = "check";
  std::string life;            ///< a Life of the job; empty: the cold below
  std::optional<double> to_K;  ///< film in the cold
  int shocks = 1;              ///< from the room into the cold and back
  ColdBy by = ColdBy::cold_room;
  double cured_s = 180 * 86400.0;          ///< age of the plan's own coats when they meet the cold
  double found_s = 30 * 31557600.0;        ///< age of the coats found
  std::optional<double> plasticiser_frac;  ///< of the plan's dry coats, as laid; absent: the usual
  std::optional<double> room_humidity;     ///< where it stood since it was laid in the shop's air; absent: there too
  std::optional<double> unchecked_K;       ///< the coldest it came through without a check; absent: a night in the room
  std::vector<CheckCount> found;           ///< on untouched parts: how checks run and how far apart they lie
  std::vector<Seam> seams;
  Where where;
  Traits traits() const {
    return Traits(Cuts::no, no_coat, Wets::no, Heats::no, Chills::yes, Sheds::nothing, Tool::none, Ages::yes,
                  SurfaceEffect::checks, &where, no_rest);
  }
  void vary(VariedInput&) {}
  void check(StepCheck& c) const {
    c.where("where", where);
    c.life("life", life);
    if (life.empty() && !to_K) c.fault("", "has neither life nor to_degC", "one of the two");
    if (to_K && *to_K >= c.shop_K())
      c.fault("to_degC", "is no colder than the shop",
              "below " + std::to_string(std::lround(c.shop_K() - 273.15)) + " degC",
              "cold opens checks, warmth does not");
  }
  Headline headline(const ShowQuantity& show) const {
    return to_K && life.empty() ? Headline{show(*to_K, Quantity::temperature), std::to_string(shocks) + " times"}
                                : Headline{};
  }
};
template <class V>
void describe(V& v, ColdCheck& s) {
  v(member("life", "a life of the job, whose cold, seasons and years check the film; absent: the cold given here"),
    s.life);
  v(member("to_degC", "how cold the film gets; needed without a life", unit::degC).within(-60, 25), s.to_K);
  v(member("shocks", "times it goes from the room into the cold and back").within(1, 1000), s.shocks);
  v(member("by", "what cools it"), s.by);
  v(member("cured_d", "age of the plan's own coats by then", unit::day).within(1, 40000), s.cured_s);
  v(member("found_a", "age of the coats found on the instrument (ESTIMATE unless dated)", unit::year).within(0, 400),
    s.found_s);
  v(member("plasticiser_pct", "share of the plan's dry coats that keeps them supple; absent: what is usual", unit::pct)
        .within(0, 40),
    s.plasticiser_frac);
  v(member("room_humidity_pct", "where it stood since it was laid in the shop's air; absent: there too", unit::pct)
        .within(5, 95),
    s.room_humidity);
  v(member("unchecked_degC",
           "the coldest this film has been through without checking; absent: 5 degC below the shop, as any film has",
           unit::degC)
        .within(-60, 40),
    s.unchecked_K);
  v(member("found", "checks counted on untouched parts: new ones run the same way and lie as far apart"), s.found);
  v(member("seams", "glue lines that may open"), s.seams);
  v(member("where", "where the cold goes"), s.where);
}

Result<StepResult> work(const ColdCheck&, StepContext&);

}  // namespace witnessline::bench
