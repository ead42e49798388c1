// Job: everything a restorer writes down about one instrument, as plain data. Paths are relative to the job file.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "base/describe.h"
#include "bench/existing.h"
#include "bench/paint_tin.h"
#include "bench/run.h"
#include "bench/spot.h"
#include "bench/step.h"
#include "bench/tin.h"
#include "body/spec.h"
#include "colour/colour.h"
#include "materials/life.h"
#include "safety/gate.h"

namespace witnessline::job {

struct Instrument {
  std::string kind;   ///< "octave mandolin"
  std::string maker;  ///< invented in the demo
  std::string year;   ///< as written: "1938", "about 1965"
  std::string owner;
  std::string remark;
};
template <class V>
void describe(V& v, Instrument& i) {
  v(member("kind", "what it is").must(), i.kind);
  v(member("maker", "who made it, if known"), i.maker);
  v(member("year", "when, as written or believed"), i.year);
  v(member("owner", "who owns it"), i.owner);
  v(member("remark", "anything else"), i.remark);
}

/// A part that came off, with its marks.
struct PartRecord {
  std::string name;  ///< "pickguard"
  bool original = true;
  std::vector<std::string> marks;  ///< dates, codes, stamps as read
  std::string condition;
  std::vector<Patch> covers;  ///< what lies under it when it is on
};
template <class V>
void describe(V& v, PartRecord& p) {
  v(member("name", "the part").must(), p.name);
  v(member("original", "believed to have left the maker with the instrument"), p.original);
  v(member("marks", "dates, codes and stamps as read"), p.marks);
  v(member("condition", "what it looks like"), p.condition);
  v(member("covers", "what it covers when fitted; not needed for pockets, bridge and control plate"), p.covers);
}

template <class V>
void describe(V& v, ExistingCoat& c) {
  v(member("name", "what the coat is called in this job").must(), c.name);
  v(member("mixture", "mixture of the job or material of the library").must(), c.mixture);
  v(member("origin", "original or later").must(), c.origin);
  v(member("thickness_um", "dry film where whole", unit::um).within(0, 2000).must(), c.thickness_m);
  v(member("spread_um", "one standard deviation over the zone", unit::um).within(0, 500), c.spread_m);
  v(member("light_Mlx_h", "light received since it was laid", unit::Mlx_h).within(0, 1000), c.light_lx_s);
  v(member("where", "zone it covers"), c.where);
}

/// Something the wood has had done to it.
struct SurveyRecord {
  Fact fact{};
  Patch at;
  double depth_m = 0;
  std::string remark;
};
template <class V>
void describe(V& v, SurveyRecord& s) {
  v(member("fact", "dent, fill, open_pores, recut_contour or loose_patch").must(), s.fact);
  v(member("at", "where").must(), s.at);
  v(member("depth_um", "depth", unit::um).within(0, 20000), s.depth_m);
  v(member("remark", "in words"), s.remark);
}

/// A measured colour or film, at a place.
struct ReadingRecord {
  std::string name;
  std::string of;  ///< "film thickness", "colour", "sheen"
  std::optional<double> film_m;
  std::vector<double> lab;  ///< L*, a*, b*; empty: none
  Lamp lamp = Lamp::D65;
  Observer observer = Observer::deg10;
  std::string file;  ///< of an instrument
  std::string remark;
};
template <class V>
void describe(V& v, ReadingRecord& r) {
  v(member("name", "what was read").must(), r.name);
  v(member("of", "film thickness, colour or sheen"), r.of);
  v(member("film_um", "film thickness read", unit::um).within(0, 5000), r.film_m);
  v(member("lab", "L*, a*, b*"), r.lab);
  v(member("lamp", "lamp of the Lab reading"), r.lamp);
  v(member("observer", "observer of the Lab reading"), r.observer);
  v(member("file", "file of the measuring instrument"), r.file);
  v(member("remark", "in words"), r.remark);
}

/// The colour to be met.
struct Target {
  std::string name;
  std::vector<double> lab;
  Lamp lamp = Lamp::D65;
  Observer observer = Observer::deg10;
  std::string untouched;  ///< instead of lab: region whose colour before the work is the target
  Where where;            ///< where the colour must agree
};
template <class V>
void describe(V& v, Target& t) {
  v(member("name", "what the target is"), t.name);
  v(member("lab", "L*, a*, b* of the target"), t.lab);
  v(member("lamp", "lamp of the target"), t.lamp);
  v(member("observer", "observer of the target"), t.observer);
  v(member("untouched", "take the target from these untouched regions before the work"), t.untouched);
  v(member("where", "where the colour must agree"), t.where);
}

template <class V>
void describe(V& v, Part& p) {
  v(member("material", "material id").must(), p.material);
  v(member("mass_fraction", "share of the mass, thinner not counted").within(0, 1).must(), p.mass_fraction);
}
template <class V>
void describe(V& v, Mixture& m) {
  v(member("id", "the mixture's name in the plans").must(), m.id);
  v(member("name", "name used at the bench"), m.name);
  v(member("parts", "materials and their share of the mass; they sum to 1").must(), m.parts);
}
template <class V>
void describe(V& v, Shop& s) {
  v(member("temperature_degC", "air of the shop", unit::degC).within(-10, 50), s.temperature_K);
  v(member("relative_humidity_pct", "of the shop's air", unit::pct).within(0, 100), s.relative_humidity);
  v(member("air_speed_m_s", "over the drying film", unit::m_s).within(0, 5), s.air_speed_m_s);
  v(member("pace", "hours of this shop over the usual hours").within(0.1, 10), s.pace);
  v(member("rate_per_h", "price of one hour in the shop's own currency; 0: not given").within(0, 10000), s.rate_per_h);
  v(member("times", "the shop's own times from its log; work that is absent takes the usual time"), s.times);
}
template <class V>
void describe(V& v, PlannedStep& s) {
  v(member("id", "unique in its plan; names the coat it lays").must(), s.id);
  v(member("why", "why, in one line for the job card"), s.why);
  v(member("do", "what is done").must(), s.step);  // the step's word; its own keys stand beside it
}
template <class V>
void describe(V& v, Plan& p) {
  v(member("id", "word that names the plan").must(), p.id);
  v(member("title", "title, as shown").must(), p.title);
  v(member("summary", "one or two sentences"), p.summary);
  v(member("steps", "in order"), p.steps);
}

/// What the owner agreed to.
struct Consent {
  std::string plan;   ///< id of the plan agreed to; empty: none yet
  std::string date;   ///< YYYY-MM-DD
  std::string words;  ///< the owner's own
};
template <class V>
void describe(V& v, Consent& c) {
  v(member("plan", "plan the owner agreed to; absent: none yet"), c.plan);
  v(member("date", "YYYY-MM-DD"), c.date);
  v(member("words", "in the owner's words"), c.words);
}

struct Job {
  std::string id, title;
  bool invented = false;  ///< demo data
  std::uint64_t seed = 1;
  std::string start;  ///< YYYY-MM-DD
  Instrument instrument;
  BodySpec body;
  std::vector<SurveyRecord> survey;
  std::vector<PartRecord> parts;
  std::vector<Mixture> mixtures;
  std::vector<ExistingCoat> coats;       ///< wood side first
  double grime_kg_m2 = old_grime_kg_m2;  ///< on the finish as found
  std::vector<ReadingRecord> readings;
  Shop shop;
  Room room;
  std::vector<Contents> contents;
  std::vector<PaintTin> shelf;
  std::vector<TinTest> tins;
  std::vector<SpotTest> spots;
  Target target;
  std::vector<Life> lives;
  std::vector<Plan> plans;
  Consent consent;
  std::vector<HoldPoint> hold_points;
};
template <class V>
void describe(V& v, Job& j) {
  v(member("id", "word that names the job").must(), j.id);
  v(member("title", "title, as shown").must(), j.title);
  v(member("invented", "demo data, not a real instrument"), j.invented);
  v(member("seed", "seed of every random draw").within(0, 4294967295.0), j.seed);
  v(member("start", "first day of work, YYYY-MM-DD"), j.start);
  v(member("instrument", "what it is and whose").must(), j.instrument);
  v(member("body", "its shape").must(), j.body);
  v(member("survey", "what the wood has had done to it"), j.survey);
  v(member("parts", "parts taken off"), j.parts);
  v(member("mixtures", "paints mixed for this job"), j.mixtures);
  v(member("coats", "coats found, wood side first"), j.coats);
  v(member("grime_g_m2", "grime on the finish as found; about 1 is visibly dirty", unit::g_m2).within(0, 50),
    j.grime_kg_m2);
  v(member("readings", "measurements"), j.readings);
  v(member("shop", "the shop's air, pace and hourly rate"), j.shop);
  v(member("room", "the spraying and drying rooms, for fresh air; absent: not known"), j.room);
  v(member("contents", "solvents of tins, from their safety data sheets; absent: not known"), j.contents);
  v(member("shelf", "the stock: each tin and how much is in it"), j.shelf);
  v(member("tins", "old tins tried at the bench"), j.tins);
  v(member("spots", "spot tests done before spraying"), j.spots);
  v(member("target", "colour to be met"), j.target);
  v(member("lives", "histories of use that ageing steps reproduce"), j.lives);
  v(member("plans", "named plans"), j.plans);
  v(member("consent", "what the owner agreed to"), j.consent);
  v(member("hold_points", "questions to answer before the steps they hold may begin"), j.hold_points);
}

}  // namespace witnessline::job
