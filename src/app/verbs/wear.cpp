#include "app/verbs/wear.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "analysis/lives.h"
#include "bench/coat_words.h"
#include "history/wear_in_words.h"

namespace witnessline::app {

namespace {

std::string touch_word(int touch) { return touch < 0 ? "" : touch_in_words(static_cast<Touch>(touch)); }

Figure figure(std::string name, double value, Quantity quantity, std::string law, std::string source, Kind kind) {
  Figure f;
  f.name = std::move(name), f.value = value, f.quantity = quantity;
  f.law = std::move(law), f.source = std::move(source), f.kind = kind;
  return f;
}

Figure area(const std::string& name, double value_m2, const std::string& law, Kind kind) {
  return figure(name, value_m2, Quantity::area, law, "geometry", kind);
}

/// It stops at the wood: no deeper than the film there.
Figure contact_wear(double depth_m, double film_m) {
  const double most_m = std::min(depth_m, film_m);
  Figure f =
      figure("depth contact would have worn", most_m, Quantity::film_thickness,
             "K x pressure x way slid / hardness, coat by coat, down to the wood", "archard1953", Kind::estimate);
  f.band = {std::min(most_m, depth_m / contact_known_to()), std::min(film_m, depth_m * contact_known_to())};
  return f;
}

PlaceResult place_result(const WornPlace& p) {
  PlaceResult result;
  result.where = place_in_words(p), result.touched_by = touch_word(p.most), result.at = p.at;
  result.area = area("area of the place", p.area_m2, "sum of the surface each point stands for", Kind::computed);
  result.laid = figure("deepest wear there", p.laid_m, Quantity::film_thickness,
                       "film before the wear less film after it", "geometry", Kind::estimate);
  result.contact_wear = contact_wear(p.contact_m, p.film_m);
  return result;
}

ShowingResult showing_result(const Showing& s) {
  ShowingResult result;
  result.coat = s.coat;
  result.asked = area(s.coat + " to show", s.asked_m2, "as asked", Kind::measured);
  result.shows_now = area(s.coat + " in sight", s.shows_m2, "area where it is the outermost coat", Kind::computed);
  if (std::isfinite(s.share)) {
    result.share =
        figure("of the life", s.share, Quantity::ratio, "share of the life after which contact has bared so much of it",
               "archard1953", Kind::estimate);
    result.share.band = {s.share / contact_known_to(), s.share * contact_known_to()};
  }
  for (const WornPlace& p : s.places) {
    PlaceToCut cut;
    cut.where = place_in_words(p), cut.touched_by = touch_word(p.most), cut.at = p.at;
    cut.area = area("area of the place", p.area_m2, "sum of the surface each point stands for", Kind::computed);
    cut.depth = figure("deepest cut", p.laid_m, Quantity::film_thickness, "film above the coat that should show",
                       "geometry", Kind::estimate);
    result.places.push_back(std::move(cut));
  }
  return result;
}

void say_showing(const Showing& s, WearAnswer& a) {
  const auto cm2 = [](double m2) { return show(m2, Quantity::area); };
  if (s.shows_m2 >= s.asked_m2) {
    a.sentences.push_back(fmt::format("{} shows on {} already.", s.coat, cm2(s.shows_m2)));
    return;
  }
  if (!std::isfinite(s.share)) {
    a.sentences.push_back(
        fmt::format("Contact never bares {} of {}: the rest of it would look artificial.", cm2(s.asked_m2), s.coat));
    return;
  }
  if (s.places.empty()) return;
  const WornPlace& first = s.places.front();
  a.sentences.push_back(fmt::format(
      "To show {} of {}, the most believable place is where the {} touches: {}. Go no deeper than {} there.",
      cm2(s.asked_m2), s.coat, touch_word(first.most), place_in_words(first),
      show(first.laid_m, Quantity::film_thickness)));
}

Result<WearAnswer> wear(const WearRequest& asked, const Asking& asking) {
  const auto on = on_job(asked, asking);
  if (!on) return on.errors();
  const auto against = life_of(on->job, asked.life);
  if (!against) return against.errors();
  const auto life = touched_only(against->life, asked.touches);
  if (!life) return life.errors();
  const auto found = wear_plausibility(on->run, on->bench, *life);
  if (!found) return found.errors();

  WearAnswer a;
  const auto called = [&](const std::string& coat) {
    for (const FilmLayer& layer : on->film().layers)
      if (layer.provenance.laid_by == coat) return coat_in_words(layer);
    return coat;
  };
  a.worn = area("worn", found->laid_m2, "area where more than 5 um of film is gone", Kind::computed);
  a.unexplained = area("worn where no contact explains it", found->unexplained_m2,
                       "area where the wear is more than 5 um and three times what contact wears", Kind::estimate);
  a.untouched = area("left as new where a life would have worn it", found->untouched_m2,
                     "area where contact wears more than 15 um and less than a third of that was worn", Kind::estimate);
  for (const WornPlace& p : found->unexplained) a.put_on.push_back(place_result(p));
  for (const WornPlace& p : found->untouched) a.left_new.push_back(place_result(p));
  for (const WornRing& r : found->rings) {
    RingResult ring{
        called(r.coat),
        area(r.coat + " in sight where it was worn", r.area_m2, "area where it is the outermost coat", Kind::computed),
        {},
        true};
    ring.worn_through_to = r.width_m.has_value();
    if (r.width_m && std::isfinite(*r.width_m))
      ring.width = figure("mean width of its ring", *r.width_m, Quantity::length, "2 x area / length of its two edges",
                          "geometry", Kind::computed);
    a.rings.push_back(std::move(ring));
  }
  for (const WornEdge& edge : found->edges) {
    if (a.edges.size() == 5) break;
    a.edges.push_back({reading_of(edge), place_in_words(edge.at, on->bench.body)});
    a.edges.back().shows = called(edge.shows);
  }
  for (const Contact& c : found->contacts) {
    TouchResult t;
    t.name = c.name, t.touch = touch_in_words(c.by);
    t.hours = figure("hours against it", c.time_s / 3600, Quantity::ratio, "as the life says", "", Kind::estimate);
    t.slid = figure("way slid", c.slid_m, Quantity::length, "mean speed x time", "estimate", Kind::estimate);
    t.area = area("touched at a time", c.area_m2, "pressed on by load balance over the gap", Kind::estimate);
    t.pressure_g_cm2 = figure("mean pressure", c.mean_Pa / 98.0665, Quantity::ratio,
                              "load / area, as a weight on 1 cm2", "johnson1985", Kind::estimate);
    a.touches.push_back(std::move(t));
  }
  a.notes = on->notes;
  a.notes.insert(a.notes.end(), found->notes.begin(), found->notes.end());

  if (found->laid_m2 == 0)
    a.sentences.push_back(found->by_steps      ? "The plan's wear steps take nothing that would be seen."
                          : asked.plan.empty() ? "No wear is found on the old finish."
                                               : "No wear is found on the old finish and none is planned.");
  else if (found->unexplained.empty())
    a.sentences.push_back(fmt::format("All of the wear ({}) lies where contact would have put it.",
                                      show(found->laid_m2, Quantity::area)));
  for (const Note& note : notes_on_wear(*found)) a.sentences.push_back(note.text);
  for (const LoosePatch& p : found->loose)
    a.sentences.push_back(fmt::format("The loose patch at {} {}{}.", place_in_words(p.place),
                                      p.may_pass_for_wear
                                          ? "may pass for wear: it lies under the " + touch_word(p.place.most)
                                          : "cannot pass for wear: no contact would have gone through there",
                                      p.remark.empty() ? "" : " (" + p.remark + ")"));
  if (!a.edges.empty() && a.edges.front().height.band.high > stepped_m) {
    const EdgeResult& edge = a.edges.front();
    a.sentences.push_back(fmt::format(
        "The film round the {} at {} is {} ({} to {}) high, old finish under new: such an edge is seen as a step. "
        "Round it over; leave no shoulder.",
        edge.shows == "wood" ? "bare wood" : "worn " + edge.shows, edge.where,
        show(edge.height.value, Quantity::film_thickness), show(edge.height.band.low, Quantity::film_thickness),
        show(edge.height.band.high, Quantity::film_thickness)));
  }
  if (found->chips > 0)
    a.sentences.push_back(fmt::format("{} chip{} from knocks, {} in all, up to {} deep, are not counted as wear.",
                                      found->chips, found->chips == 1 ? "" : "s",
                                      show(found->chipped_m2, Quantity::area),
                                      show(found->chip_deepest_m, Quantity::film_thickness)));
  for (std::size_t i = 0; i < asked.show.size(); ++i) {
    const auto showing = most_plausible(asked.show[i].coat, asked.show[i].area_m2, on->film(), on->bench, *life);
    if (!showing) {
      std::vector<Error> errors = showing.errors();
      for (Error& e : errors) e.where.key = fmt::format("show[{}].coat", i + 1);
      return errors;
    }
    say_showing(*showing, a);
    a.showing.push_back(showing_result(*showing));
  }
  if (life->touches.size() < against->life.touches.size())
    a.notes.push_back({Severity::information,
                       "Only some of what touched it is looked at: wear by the rest counts as unexplained here.",
                       "touches"});
  if (against->stand_in)
    a.notes.push_back({Severity::caution,
                       "The job says nothing of its life: that of an ordinary player stands in. Places hold; depths "
                       "and areas are for comparison only.",
                       "life"});
  a.notes.push_back({Severity::information,
                     "How deep contact wears is known to a factor of three at best; where it wears is known better.",
                     ""});
  return a;
}

std::string format_answer(const WearAnswer& a, BenchUnits units) {
  std::string text;
  for (const std::string& s : a.sentences) text += s + "\n";
  const auto depth = [&](const Figure& f) { return show(f.value, Quantity::film_thickness, units); };
  const auto head = [&](const char* line, bool any) { text += any ? fmt::format("\n{}\n", line) : std::string(); };
  head("No contact explains", !a.put_on.empty());
  for (const PlaceResult& p : a.put_on)
    text += fmt::format("  {:>10}  worn {}, contact {}  {}\n", show(p.area.value, Quantity::area, units), depth(p.laid),
                        depth(p.contact_wear), p.where);
  head("Use would have worn", !a.left_new.empty());
  for (const PlaceResult& p : a.left_new) {
    const Shown s = shown(p.contact_wear.value, p.contact_wear.band, Quantity::film_thickness, units);
    text += fmt::format("  {:>10}  {} ({})  {}: {}\n", show(p.area.value, Quantity::area, units), s.text, s.band,
                        p.touched_by, p.where);
  }
  head("What shows where it was worn", !a.rings.empty());
  for (const RingResult& r : a.rings)
    text +=
        fmt::format("  {:>10}  {}{}\n", show(r.area.value, Quantity::area, units), r.coat,
                    !r.worn_through_to             ? ", worn thinner, not through"
                    : std::isfinite(r.width.value) ? ", ring " + show(r.width.value, Quantity::length, units) + " wide"
                                                   : "");
  head("Film that stands round what is worn through", !a.edges.empty());
  for (const EdgeResult& e : a.edges) {
    const Shown s = shown(e.height.value, e.height.band, Quantity::film_thickness, units);
    text += fmt::format("  {:>10} ({})  over {}  {} shows: {}\n", s.text, s.band,
                        show(e.way.value, Quantity::length, units), e.shows, e.where);
  }
  for (const ShowingResult& s : a.showing) {
    head(fmt::format("To show {} of {}", show(s.asked.value, Quantity::area, units), s.coat).c_str(),
         !s.places.empty());
    for (const PlaceToCut& p : s.places)
      text += fmt::format("  {:>10}  down to {}  {}: {}\n", show(p.area.value, Quantity::area, units), depth(p.depth),
                          p.touched_by, p.where);
  }
  head("What touches it", !a.touches.empty());
  for (const TouchResult& t : a.touches)
    text += fmt::format("  {:<36} {:>6.0f} h  {:>8} at a time, {:.0f} g on 1 cm2\n", t.name, t.hours.value,
                        show(t.area.value, Quantity::area, units), t.pressure_g_cm2.value);
  text += "\n";
  for (const Note& n : a.notes) text += (n.severity == Severity::caution ? "CAUTION  " : "") + n.text + "\n";
  return text;
}

}  // namespace

Verb wear_verb() {
  return verb<WearRequest, WearAnswer>("wear",
                                       "Whether wear lies where contact would put it, and where more of it could go",
                                       Work{.cuts = true}, wear, format_answer);
}

}  // namespace witnessline::app
