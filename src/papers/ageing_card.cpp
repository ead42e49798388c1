// The ageing card: place by place, how deep to cut and where to stop, which rings to expect, and what to do where it
// was rubbed through.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "papers/page.h"

namespace witnessline::papers {
namespace {

std::string film(double m, BenchUnits units) { return typeset(m, Quantity::film_thickness, units); }

/// Film that is left above a coat once the deepest cut is made.
struct Left {
  const Stop* stop = nullptr;
  double left_m = 0;
};
Left first_not_reached(const AgeingReading& a) {
  constexpr double rounding_m = 0.1e-6;
  for (const Stop& stop : a.stops)
    if (stop.film.value >= a.deepest.value - rounding_m)
      return {&stop, std::max(0.0, stop.film.value - a.deepest.value)};
  return {};
}

std::string named(const std::string& coat, Origin origin) {
  return coat == "wood" ? "bare wood" : "\u2018" + coat + "\u2019" + (origin == Origin::original ? " (original)" : "");
}

std::string stop_line(const AgeingReading& a, BenchUnits units) {
  if (!(a.deepest.value > 0)) return "";
  std::string line = fmt::format("Cut {} where it is deepest, and stop.", film(a.deepest.value, units));
  const Left left = first_not_reached(a);
  if (!left.stop) return line + " Nothing below it has to be kept.";
  const Stop& stop = *left.stop;
  const std::string what = stop.before == "wood" ? "the wood" : "\u2018" + stop.before + "\u2019";
  line += fmt::format(" About {} more and {} shows", film(left.left_m, units), what);
  if (stop.why == StopFor::hazard) line += ", which must not be cut";
  if (stop.why == StopFor::original) line += ", which is original";
  line += ".";
  if (!(stop.depth.value > 0))
    line += " On the planned day the outermost coat is still too soft to cut there: wait longer.";
  else if (stop.depth.value < a.deepest.value)
    line += fmt::format(" The film may be thinner than planned: from {} on, look after every few strokes.",
                        film(stop.depth.value, units));
  return line;
}

std::string rings_line(const AgeingReading& a, BenchUnits units) {
  if (!(a.deepest.value > 0)) return "";
  if (a.rings.empty()) return "No ring: the top coat is not rubbed through anywhere. If a ring shows, stop.";
  std::string line = "From the outside in: ";
  for (std::size_t i = 0; i < a.rings.size(); ++i) {
    const Ring& ring = a.rings[i];
    line += fmt::format("{}{}, {} ({} to {}) wide", i > 0 ? "; " : "", named(ring.coat, ring.origin),
                        typeset(ring.width.value, Quantity::length, units),
                        typeset(ring.width.band.low, Quantity::length, units),
                        typeset(ring.width.band.high, Quantity::length, units));
  }
  return line + ".";
}

std::string edges_line(const AgeingReading& a, BenchUnits units) {
  if (a.edges.empty()) return "";
  const EdgeReading& thickest = a.edges.front();
  const Figure &h = thickest.height, &way = thickest.way;
  std::string line = fmt::format(
      "The film round {} is {} thick ({} to {}). Slope its edge over {} ({} to {}).",
      thickest.shows == "wood" ? "the bare wood" : "\u2018" + thickest.shows + "\u2019", film(h.value, units),
      film(h.band.low, units), film(h.band.high, units), typeset(way.value, Quantity::length, units),
      typeset(way.band.low, Quantity::length, units), typeset(way.band.high, Quantity::length, units));
  if (h.band.high > stepped_m)
    line +=
        " An edge this thick shows as a step of old finish under new. Round it over as playing would; leave no "
        "straight shoulder.";
  return line;
}

std::string marks_line(const AgeingReading& a) {
  std::string line;
  const auto say = [&](int count, const char* one, const char* many) {
    if (count > 0) line += fmt::format("{}{} {}", line.empty() ? "" : ", ", count, count == 1 ? one : many);
  };
  say(a.chips, "chip", "chips"), say(a.dings, "ding", "dings"), say(a.scratches, "scratch", "scratches");
  return line.empty() ? "" : line + ", as this history of use leaves them; the picture shows where.";
}

struct Words {
  const char *undone, *rescue;
};
Words words_for(std::string_view word, const Traits& traits) {
  if (word == "check")
    return {"A check cannot be closed. A thin melt-in only softens its edge.",
            "Opened too far? Leave it. Warm the room slowly. No second shock; rub nothing into it."};
  if (word == "grime")
    return {"It wipes off with naphtha until it is coated over; what has gone into checks stays.",
            "Too dark? Wipe at once with a cloth damp with naphtha, along the checks, not across."};
  if (word == "knock_back")
    return {"Sheen comes back only with compound, and compound may not go over open checks.",
            "Too dull? A dry cloth and the palm of a hand bring a little of it back; more needs clear."};
  if (word == "yellow")
    return {"Yellowing cannot be undone, and it goes on after the work.",
            "Too yellow? Dull it with a shading coat of blue toner, or leave it."};
  return {traits.cuts ? "What is cut is gone: only a new coat puts it back, and a new coat looks new." : "", ""};
}

/// What to do where a worn place was rubbed through too far.
std::string rescue_of(const AgeingReading& a) {
  const Left left = first_not_reached(a);
  std::string text = "Rubbed through? Stop and wipe. Do not chase it with paper: the ring only grows. ";
  if (left.stop && left.stop->why == StopFor::hazard)
    return text +
           fmt::format("\u2018{}\u2019 shows: wet it, wipe up what came off, cut no more here.", left.stop->before);
  text +=
      "Touch in the missing coat with a fine brush or a toner, inside the ring only. Let it dry, melt in one thin coat "
      "of "
      "clear over it, and knock that back to its surroundings.";
  if (left.stop && left.stop->why == StopFor::original) text += " Keep every coat off the original finish beside it.";
  return text;
}

}  // namespace

Tree ageing_card(const PlanPaper& paper) {
  const BenchUnits units = paper.source.units;
  Tree places = Tree::empty_list();
  for (std::size_t i = 0; i < paper.plan.steps.size() && i + 1 < paper.worked.steps.size(); ++i) {
    const StepOutcome& done = paper.worked.steps[i + 1];
    if (!done.ageing) continue;
    const AgeingReading& a = *done.ageing;
    const Traits traits = traits_of(paper.plan.steps[i].step);
    const Words words = words_for(done.word, traits);
    Tree lines = Tree::empty_list();
    const auto line = [&](const char* head, const std::string& words) {
      if (!words.empty()) lines.list.push_back(fields({{"head", text(head)}, {"words", text(words)}}));
    };
    if (traits.wears) {
      line("Stop", stop_line(a, units));
      line("Rings", rings_line(a, units));
      line("Edges", edges_line(a, units));
      line("Knocks", marks_line(a));
    }
    if (a.checks > 0) line("Checks", fmt::format("{} to open.", a.checks));
    if (a.soiled > 0)
      line("Dirt", fmt::format("Work it into {} mark{} (checks, dings, chips, scratches), then wipe the face.",
                               a.soiled, a.soiled == 1 ? "" : "s"));
    line("Can't be undone", words.undone);
    line("Rescue", traits.wears ? rescue_of(a) : words.rescue);
    std::vector<Note> own = done.notes;
    for (Note& note : own) note.about.clear();
    places.list.push_back(fields({{"number", Tree::of(static_cast<std::int64_t>(i + 1))},
                                  {"word", text(spaced(done.word))},
                                  {"where", text(traits.where ? where_words(*traits.where) : "")},
                                  {"why", text(done.why)},
                                  {"lines", std::move(lines)},
                                  {"cautions", notes(own, Severity::danger)},
                                  {"big", text(a.deepest.value > 0 ? film(a.deepest.value, units) : "")}}));
  }
  if (places.list.empty()) return {};
  return fields({{"places", std::move(places)}, {"map", text(paper.pictures ? paper.pictures->map : "")}});
}

}  // namespace witnessline::papers
