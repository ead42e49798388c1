// The verb `checks`: which cold is likely to open checks in a film, how likely it runs too far, and what moves that.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "app/answer_parts.h"
#include "app/verb.h"
#include "bench/step.h"
#include "history/evidence.h"

namespace witnessline::app {

/// How the board was sawn, as far as it shows in its face.
enum class Sawn { flat, quarter };
constexpr auto words(const Sawn*) { return std::array{"flat", "quarter"}; }

struct ChecksRequest {
  std::string job, plan, after;
  double pitch_m = 3e-3, found_s = 30 * 31557600.0;
  std::string film, wood = "maple";
  Sawn sawn = Sawn::flat;
  std::optional<double> thickness_m;
  double area_m2 = 0.3, wood_m = 0.045;
  double stood_s = 180 * 86400.0;
  std::optional<double> plasticiser_frac;
  std::optional<double> solvent_ratio;
  std::optional<double> room_K, room_humidity, unchecked_K;
  std::vector<CheckCount> found;
  double to_K = 263.15;
  int shocks = 1;
  ColdBy by = ColdBy::cold_room;
  double closest_m = 3e-3;
};
template <class V>
void describe(V& v, ChecksRequest& r) {
  v(member("film", "what the coats are, a material id; needed without a job"), r.film);
  v(member("thickness_um", "of all coats together, dry; needed without a job", unit::um).within(5, 2000),
    r.thickness_m);
  v(member("wood", "what it lies on, a material id"), r.wood);
  v(member("sawn", "flat or quarter"), r.sawn);
  v(member("wood_mm", "thickness of the board", unit::mm).within(1, 200), r.wood_m);
  v(member("area_cm2", "area that is cooled", unit::cm2).within(1, 100000), r.area_m2);
  v(member("stood_d", "age of the film when it meets the cold", unit::day).within(1, 70000), r.stood_s);
  v(member("plasticiser_pct", "share of the dry film that keeps it supple, as laid; absent: what is usual", unit::pct)
        .within(0, 40),
    r.plasticiser_frac);
  v(member("solvent_pct", "solvent still in the film, over its dry volume, as `dry` gives it; absent: not known",
           unit::pct)
        .within(0, 100),
    r.solvent_ratio);
  v(member("room_degC", "where it stood; absent: 21 degC, or the job's shop", unit::degC).within(5, 40), r.room_K);
  v(member("room_humidity_pct", "where it stood since it was laid at 50 %, or in the job's shop; absent: there too",
           unit::pct)
        .within(5, 95),
    r.room_humidity);
  v(member("unchecked_degC",
           "the coldest this film has been through without checking; absent: 5 degC below the room, as any film has",
           unit::degC)
        .within(-60, 40),
    r.unchecked_K);
  v(member("found", "checks counted on untouched parts, as `life` takes them: they set direction and distance"),
    r.found);
  v(member("to_degC", "how cold the film gets", unit::degC).within(-60, 25), r.to_K);
  v(member("shocks", "times it goes from the room into the cold and back").within(1, 1000), r.shocks);
  v(member("by", "what cools it"), r.by);
  v(member("job", "job file: its whole body is cooled instead, beside the request or in a folder beside its folder"),
    r.job);
  v(member("plan", "plan whose film is cooled; absent: the finish as found"), r.plan);
  v(member("after", "step of that plan after which; absent: its last"), r.after);
  v(member("pitch_mm", "spacing of the body's surface points", unit::mm).within(1, 10), r.pitch_m);
  v(member("found_a", "age of the coats found on that body; the plan's own have stood_d", unit::year).within(0, 400),
    r.found_s);
  v(member("closest_mm", "mean distance below which checks run too far", unit::mm).within(0.5, 50), r.closest_m);
}

/// One temperature and what it is likely to do.
struct ColdTried {
  double to_K = 0;
  Figure opens, few, too_far, spacing;
};
template <class V>
void describe(V& v, ColdTried& c) {
  v(member("to_degC", "how cold", unit::degC), c.to_K);
  v(member("opens", "chance that any check opens on this area"), c.opens);
  v(member("few", "chance that one or two open and no more"), c.few);
  v(member("too_far", "chance that they come closer than asked"), c.too_far);
  v(member("spacing", "mean distance of checks where more than two open; no value: they hardly do"), c.spacing);
}

/// What one uncertain input moves.
struct ColdMoved {
  std::string input, says;
  double over_K = 0;
};
template <class V>
void describe(V& v, ColdMoved& m) {
  v(member("input", "what is uncertain"), m.input);
  v(member("says", "the cold that just opens a check, at its low and at its high end"), m.says);
  v(member("over_K", "how far apart the two are; beyond the range followed they count as its end", unit::K), m.over_K);
}

struct ChecksAnswer {
  std::vector<std::string> sentences;
  Figure count, length, distance, opens;  ///< on a whole body
  Figure across_grain, along_grain, onset, shadow;
  std::vector<ColdTried> colds;
  std::vector<ColdMoved> moves;
  Figure solvent, of_explosive_limit;
  std::vector<Curve> curves;
  std::vector<Note> notes;
};
template <class V>
void describe(V& v, ChecksAnswer& a) {
  v(member("sentences", "what to know, most important first"), a.sentences);
  v(member("count", "checks on the whole body; no value: asked of a film alone"), a.count);
  v(member("length", "of them all"), a.length);
  v(member("distance", "mean distance of them there, area over length; no value: too few"), a.distance);
  v(member("opens", "chance that any opens on a body alike"), a.opens);
  v(member("across_grain", "energy of a running check across the grain, over what the film asks"), a.across_grain);
  v(member("along_grain", "energy of a running check along the grain, over what the film asks"), a.along_grain);
  v(member("onset", "thickness from which this film checks at this cold"), a.onset);
  v(member("shadow", "how far a check takes the pull off the film beside it: the least distance of two"), a.shadow);
  v(member("colds", "what other temperatures are likely to do, warmest first"), a.colds);
  v(member("moves", "what moves the answer most, first"), a.moves);
  v(member("solvent", "solvent such a film holds"), a.solvent);
  v(member("of_explosive_limit", "its vapour in a household freezer over the explosive limit; a quarter is the most"),
    a.of_explosive_limit);
  v(member("curves", "chances over temperature"), a.curves);
  v(member("notes", "cautions and what was assumed"), a.notes);
}

/// "The untouched parts have a check across the grain every 6.1 mm (4.4 to 9.0) and none along it."
std::string found_in_words(const std::vector<CheckCount>&, BenchUnits);

/// The whole body of a job in that cold.
Result<ChecksAnswer> checks_on_body(const ChecksRequest&, const Asking&);
Result<ChecksAnswer> checks_answer(const ChecksRequest&, const Asking&);
std::string format_answer(const ChecksAnswer&, BenchUnits);
Verb checks_verb();

}  // namespace witnessline::app
