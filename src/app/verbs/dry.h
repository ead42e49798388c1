// The verb `dry`: what coats still hold, day by day, when they may be touched, level sanded, buffed and loaded, and how
// a weighed card narrows that.
#pragma once

#include <optional>

#include "app/answer_parts.h"
#include "app/verb.h"
#include "drying/weighing.h"

namespace witnessline::app {

/// What lies below the first coat.
enum class DryOn { sealed, wood };
constexpr auto words(const DryOn*) { return std::array{"sealed", "wood"}; }

/// A solvent and its share of the thinner.
struct ThinnerPart {
  std::string solvent;
  double parts = 1;
};
template <class V>
void describe(V& v, ThinnerPart& p) {
  v(member("solvent", "material id").must(), p.solvent);
  v(member("parts", "by volume").within(0.001, 1000), p.parts);
}

/// Coats of one material laid alike.
struct DryCoats {
  std::string material;
  int coats = 1;
  double wet_m = 90e-6, thinning = 1, at_s = 0, apart_s = 5400;
};
template <class V>
void describe(V& v, DryCoats& c) {
  v(member("material", "material id").must(), c.material);
  v(member("coats", "how many").within(1, 60), c.coats);
  v(member("wet_um", "wet film of one coat", unit::um).within(1, 500), c.wet_m);
  v(member("thinning", "parts thinner by volume to one part of paint").within(0, 10), c.thinning);
  v(member("at_h", "the first of them, since the start", unit::h).within(0, 20000), c.at_s);
  v(member("apart_h", "from one to the next", unit::h).within(0.01, 2000), c.apart_s);
}

struct DryWeighing {
  double at_s = 0, mass_kg = 0;
};
template <class V>
void describe(V& v, DryWeighing& w) {
  v(member("at_h", "since the start", unit::h).within(0, 20000).must(), w.at_s);
  v(member("mass_g", "card and film", unit::g).within(0.01, 5000).must(), w.mass_kg);
}

/// A card sprayed alongside with the same coats.
struct DryCard {
  double width_m = 0.1, height_m = 0.15, scale_kg = 1e-5;
  std::optional<double> bare_kg;
  std::vector<DryWeighing> weighings;
};
template <class V>
void describe(V& v, DryCard& c) {
  v(member("width_mm", "of the sprayed face", unit::mm).within(10, 1000), c.width_m);
  v(member("height_mm", "of the sprayed face", unit::mm).within(10, 1000), c.height_m);
  v(member("bare_g", "the card before its first coat; absent: only losses count", unit::g).within(0.01, 5000),
    c.bare_kg);
  v(member("scale_g", "one division of the scale", unit::g).within(0.00001, 1), c.scale_kg);
  v(member("weighings", "by time").must(), c.weighings);
}

struct DryRequest {
  std::vector<DryCoats> coats;
  std::vector<ThinnerPart> thinner;
  double temperature_K = 294.15, use_temperature_K = 294.15, relative_humidity = 0.5, air_speed_m_s = 0.3;
  DryOn on = DryOn::sealed;
  double hollow_m = 30e-6;
  std::optional<DryCard> card;
};
template <class V>
void describe(V& v, DryRequest& r) {
  v(member("coats", "what is laid, wood side first, by time").must(), r.coats);
  v(member("thinner", "what leaves, by volume; absent: what coats of this binder are usually laid in"), r.thinner);
  v(member("temperature_degC", "air of the shop while it dries", unit::degC).within(0, 45), r.temperature_K);
  v(member("use_temperature_degC", "of the room it is sanded, buffed and used in", unit::degC).within(0, 45),
    r.use_temperature_K);
  v(member("relative_humidity_pct", "of the shop's air: water leaves into it", unit::pct).within(1, 100),
    r.relative_humidity);
  v(member("air_speed_m_s", "over the film", unit::m_s).within(0, 5), r.air_speed_m_s);
  v(member("on", "sealed: old coats or a card; wood: bare wood takes solvent up"), r.on);
  v(member("hollow_um", "a pore or scratch the coats filled: how far it will still sink", unit::um).within(1, 500),
    r.hollow_m);
  v(member("card", "a card that was weighed while it dried"), r.card);
}

/// One thing one may do.
struct DryUse {
  Use use{};
  std::string asked;  ///< of the film
  Figure after;
  bool later = false;
  Figure sinks;
  std::string practice;
  bool differs = false;
};
template <class V>
void describe(V& v, DryUse& u) {
  v(member("use", "what one may do"), u.use);
  v(member("asked", "what is asked of the film"), u.asked);
  v(member("after", "since the last coat; no value: not within two years"), u.after);
  v(member("later", "true: the late end of the band lies beyond two years"), u.later);
  v(member("sinks", "how far the hollow still sinks from then on"), u.sinks);
  v(member("practice", "what common practice says of this binder and use; empty: nothing was collected"), u.practice);
  v(member("differs", "true: what was worked out lies outside what practice says"), u.differs);
}

struct DryLeft {
  std::string material;
  int coat = 0;
  double at_s = 0;
  Figure dry, day, month;
};
template <class V>
void describe(V& v, DryLeft& l) {
  v(member("material", "material id"), l.material);
  v(member("coat", "counted from the wood"), l.coat);
  v(member("at_h", "when it is laid", unit::h), l.at_s);
  v(member("dry_film", "its dry film"), l.dry);
  v(member("after_day", "solvent left a day after the last coat, share of its dry volume"), l.day);
  v(member("after_month", "and after thirty days"), l.month);
}

struct DryWeighed {
  double at_s = 0, mass_kg = 0, modelled_kg = 0;
};
template <class V>
void describe(V& v, DryWeighed& w) {
  v(member("at_h", "since the start", unit::h), w.at_s);
  v(member("mass_g", "as weighed", unit::g), w.mass_kg);
  v(member("modelled_g", "as refitted", unit::g), w.modelled_kg);
}

struct DryAnswer {
  std::vector<std::string> sentences;
  std::vector<DryUse> uses;
  std::vector<DryLeft> coats;
  Figure wood;
  std::vector<DryWeighed> card;
  std::vector<Curve> curves;
  std::vector<Note> notes;
};
template <class V>
void describe(V& v, DryAnswer& a) {
  v(member("sentences", "what to know, most important first"), a.sentences);
  v(member("uses", "in the usual order"), a.uses);
  v(member("coats", "wood side first"), a.coats);
  v(member("wood", "solvent in the wood thirty days after the last coat, a volume per area as a film"), a.wood);
  v(member("card", "weighings used"), a.card);
  v(member("curves", "solvent left in each coat; all of it with its band"), a.curves);
  v(member("notes", "cautions and what was assumed"), a.notes);
}

Result<DryAnswer> dry_answer(const DryRequest&, const Asking&);
std::string format_answer(const DryAnswer&, BenchUnits);
Verb dry_verb();

}  // namespace witnessline::app
