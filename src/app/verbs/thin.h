// The verb `thin`: how far to thin a tin, with what, and whether the film stays clear while that leaves.
#pragma once

#include <optional>

#include "app/answer_parts.h"
#include "app/verb.h"
#include "base/figure.h"
#include "bench/tin_facts.h"
#include "drying/wet_coat.h"
#include "job/job.h"

namespace witnessline::app {

/// How it should run when it is sprayed.
struct CupWanted {
  std::string cup = "zahn_2";
  double run_out_s = 28;  ///< 18 to 33, four texts read (common practice)
};
template <class V>
void describe(V& v, CupWanted& c) {
  v(member("cup", "as in the readings").must(), c.cup);
  v(member("run_out_s", "seconds wanted", cup_seconds).within(1, 1000).must(), c.run_out_s);
}

/// The weather at the gun.
struct AirGiven {
  double temperature_K = 0, humidity_frac = 0, speed_m_s = 0;
};
template <class V>
void describe(V& v, AirGiven& a) {
  v(member("temperature_degC", "of the air", unit::degC).within(5, 40).must(), a.temperature_K);
  v(member("humidity_pct", "relative", unit::pct).within(1, 100).must(), a.humidity_frac);
  v(member("speed_m_s", "of the air along the work; 0: still", unit::m_s).within(0, 5).must(), a.speed_m_s);
}

struct ThinRequest {
  PaintTin tin;
  std::optional<CupWanted> wanted;
  AirGiven air;
  double colder_K = 6;
  std::vector<SolventPart> thinner;
  std::vector<PaintTin> shelf;
  std::vector<std::string> excluded;
  std::string retarder = "butyl_glycol";
  double wet_m = 100e-6;
  double spare_humidity_frac = 0.1, soonest_s = 240, latest_s = 900;
  int most_solvents = 4, answers = 4;
};
template <class V>
void describe(V& v, ThinRequest& r) {
  v(member("tin", "what is thinned: with a cup reading at least, and how much of it (volume_mL; 0: a litre)").must(),
    r.tin);
  v(member("wanted", "how it should run; absent: 28 s in a Zahn 2"), r.wanted);
  v(member("air", "the weather at the gun").must(), r.air);
  v(member("colder_K", "also shown: thinning on a day this much colder", unit::K).within(0, 20), r.colder_K);
  v(member("thinner",
           "solvents of the thinner; absent: designed from the shelf, and without one what is usual for such a paint"),
    r.thinner);
  v(member("shelf",
           "tins of single solvents to design from, of each volume_mL at most (0: enough); none: the usual thinner"),
    r.shelf);
  v(member("excluded", "solvents that shall not be in it, material ids"), r.excluded);
  v(member("retarder", "slow solvent to rate, a material id"), r.retarder);
  v(member("wet_um", "wet film of one coat", unit::um).within(10, 500), r.wet_m);
  v(member("spare_humidity_pct", "the air may grow so much damper before it blushes", unit::pct).within(0, 50),
    r.spare_humidity_frac);
  v(member("soonest_min", "90 % of the solvent should not be gone sooner", unit::min).within(0.1, 240), r.soonest_s);
  v(member("latest_min", "nor later", unit::min).within(0.1, 1440), r.latest_s);
  v(member("most_solvents", "in a designed thinner").within(1, 4), r.most_solvents);
  v(member("answers", "thinners answered at most").within(1, 10), r.answers);
}

/// One thinner in this film and weather.
struct ThinnerResult {
  std::vector<SolventPart> parts;
  Staying staying{};
  double first_difference = 0, worst_difference = 0;
  std::optional<double> worst_load;
  Blush blush = Blush::none;
  double time_10_s = 0, time_50_s = 0, time_90_s = 0;
  double coldest_K = 0, dew_point_K = 0, no_mist_frac = 0, no_blush_frac = 0;
  double price_per_litre = 0;
  std::vector<std::string> faults;
  std::string loses;
};
template <class V>
void describe(V& v, ThinnerResult& t) {
  v(member("parts", "solvents and their shares"), t.parts);
  v(member("staying", "does the film former stay in solution to the end"), t.staying);
  v(member("first_difference", "relative energy difference as laid: below 0.9 dissolves, above 1.1 does not"),
    t.first_difference);
  v(member("worst_difference", "the same, of the solvent left, at its worst"), t.worst_difference);
  v(member("worst_load_pct", "share of what its true solvents carry that is used up, at its worst; absent: not known",
           unit::pct),
    t.worst_load);
  v(member("blush", "water of the air on it: none, clears before it sets, or stays"), t.blush);
  v(member("time_10_min", "until 10 % of the solvent has gone", unit::min), t.time_10_s);
  v(member("time_50_min", "until half has gone", unit::min), t.time_50_s);
  v(member("time_90_min", "until 90 % has gone", unit::min), t.time_90_s);
  v(member("coldest_degC", "film at its coldest", unit::degC), t.coldest_K);
  v(member("dew_point_degC", "of the air", unit::degC), t.dew_point_K);
  v(member("no_mist_pct", "humidity up to which no water settles", unit::pct), t.no_mist_frac);
  v(member("no_blush_pct", "humidity up to which it is gone again before the film sets", unit::pct), t.no_blush_frac);
  v(member("price_per_litre", "of the thinner"), t.price_per_litre);
  v(member("faults", "what it does not do"), t.faults);
  v(member("loses", "why it stands behind the first"), t.loses);
}

struct ThinAnswer {
  std::vector<std::string> sentences;
  Figure ratio, ratio_colder;
  double thinner_m3 = 0, solids_sprayed_frac = 0;
  std::vector<ThinnerResult> thinners;
  std::vector<Curve> curves;
  std::vector<Note> notes;
};
template <class V>
void describe(V& v, ThinAnswer& a) {
  v(member("sentences", "what to know, most important first"), a.sentences);
  v(member("ratio", "thinner to one part of the tin, by volume"), a.ratio);
  v(member("ratio_colder", "the same on the colder day"), a.ratio_colder);
  v(member("thinner_mL", "for what is thinned", unit::mL), a.thinner_m3);
  v(member("solids_sprayed_pct", "by volume", unit::pct), a.solids_sprayed_frac);
  v(member("thinners", "the one asked for, or those designed, best first"), a.thinners);
  v(member("curves", "seconds against thinner, the drying film, what a retarder buys"), a.curves);
  v(member("notes", "cautions"), a.notes);
}

Result<ThinAnswer> thin_answer(const ThinRequest&, const Asking&);
std::string format_answer(const ThinAnswer&, BenchUnits);
Verb thin_verb();

}  // namespace witnessline::app
