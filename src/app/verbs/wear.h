// wear: is the wear of a plan, or of the finish as found, where contact puts it; and where could more of it go.
#pragma once

#include <optional>

#include "app/verbs/on_job.h"
#include "base/figure.h"
#include "materials/life.h"
#include "view/ageing.h"

namespace witnessline::app {

struct AreaToShow {
  std::string coat;
  double area_m2 = 0;
};
template <class V>
void describe(V& v, AreaToShow& a) {
  v(member("coat", "coat that should show, or wood").must(), a.coat);
  v(member("area_cm2", "how much of it", unit::cm2).within(0, 10000).must(), a.area_m2);
}

struct WearRequest : AskedOfJob {
  std::string life;
  std::vector<Touch> touches;
  std::vector<AreaToShow> show;
};
template <class V>
void describe(V& v, WearRequest& r) {
  describe(v, static_cast<AskedOfJob&>(r));
  v(member("life", "life of the job the wear is held against; absent: its only one, or that of an ordinary player"),
    r.life);
  v(member("touches", "what of that life to look at; absent: all that touched it"), r.touches);
  v(member("show", "coats that should show, and how much of each: answered with the most believable places"), r.show);
}

/// A place of the surface a person can find.
struct PlaceResult {
  std::string where, touched_by;
  Vec3 at;
  Figure area, laid, contact_wear;
};
template <class V>
void describe(V& v, PlaceResult& p) {
  v(member("where", "in words"), p.where);
  v(member("touched_by", "what touches it most; empty: nothing"), p.touched_by);
  v(member("at", "its deepest point"), p.at);
  v(member("area", "how large"), p.area);
  v(member("laid", "deepest wear laid or found there"), p.laid);
  v(member("lived", "deepest that contact would have worn"), p.contact_wear);
}

struct RingResult {
  std::string coat;
  Figure area, width;
  bool worn_through_to = true;
};
template <class V>
void describe(V& v, RingResult& r) {
  v(member("coat", "what shows where it was worn; or wood"), r.coat);
  v(member("area", "how much of it shows there"), r.area);
  v(member("width", "mean width of its ring"), r.width);
  v(member("worn_through_to", "coats above it are gone there; else it is only worn thinner"), r.worn_through_to);
}

/// The edge of a worn place.
struct EdgeResult : EdgeReading {
  std::string where;
};
template <class V>
void describe(V& v, EdgeResult& e) {
  v(member("where", "in words"), e.where);
  describe(v, static_cast<EdgeReading&>(e));
}

struct PlaceToCut {
  std::string where, touched_by;
  Vec3 at;
  Figure area, depth;
};
template <class V>
void describe(V& v, PlaceToCut& p) {
  v(member("where", "in words"), p.where);
  v(member("touched_by", "what touches it most"), p.touched_by);
  v(member("at", "the place that goes first"), p.at);
  v(member("area", "how large"), p.area);
  v(member("depth", "film above the coat: deepest cut of this place"), p.depth);
}
struct ShowingResult {
  std::string coat;
  Figure asked, shows_now, share;
  std::vector<PlaceToCut> places;
};
template <class V>
void describe(V& v, ShowingResult& s) {
  v(member("coat", "coat that should show"), s.coat);
  v(member("asked", "how much of it"), s.asked);
  v(member("shows_now", "how much of it shows already"), s.shows_now);
  v(member("share", "of the life: how far wear must go for that"), s.share);
  v(member("places", "where, the largest first"), s.places);
}

struct TouchResult {
  std::string name, touch;
  Figure hours, slid, area, pressure_g_cm2;
};
template <class V>
void describe(V& v, TouchResult& t) {
  v(member("name", "what touches"), t.name);
  v(member("touch", "the touch of a life it belongs to"), t.touch);
  v(member("hours", "hours against it, as the life says"), t.hours);
  v(member("slid", "how far it slid in all"), t.slid);
  v(member("area", "how much it touches at a time"), t.area);
  v(member("pressure_g_cm2", "mean pressure, as a weight on a square centimetre [g]"), t.pressure_g_cm2);
}

struct WearAnswer {
  std::vector<std::string> sentences;
  Figure worn, unexplained, untouched;
  std::vector<PlaceResult> put_on, left_new;
  std::vector<RingResult> rings;
  std::vector<EdgeResult> edges;
  std::vector<ShowingResult> showing;
  std::vector<TouchResult> touches;
  std::vector<Note> notes;
};
template <class V>
void describe(V& v, WearAnswer& a) {
  v(member("sentences", "in plain words, the most important first"), a.sentences);
  v(member("worn", "area worn more than 5 um"), a.worn);
  v(member("unexplained", "of it, what no contact explains"), a.unexplained);
  v(member("untouched", "what the life would have worn and is left as it is"), a.untouched);
  v(member("put_on", "places no contact explains"), a.put_on);
  v(member("left_new", "places a life would have worn"), a.left_new);
  v(member("rings", "what shows where it was worn"), a.rings);
  v(member("edges", "edges of what is worn through, the thickest first"), a.edges);
  v(member("showing", "the most believable places for what should show"), a.showing);
  v(member("touches", "what touches this body, and how"), a.touches);
  v(member("notes", "notes, cautions and dangers"), a.notes);
}

Verb wear_verb();

}  // namespace witnessline::app
