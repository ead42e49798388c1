#include "app/verbs/dry_text.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace witnessline::app {

namespace {

constexpr double hour_s = 3600, day_s = 86400;

struct Spell {
  double count;
  const char* unit;
};
/// In the unit a person would take, two figures at most.
Spell spell_of(double s) {
  const auto rounded = [](double value) {
    const double step = value < 20 ? 1 : value < 100 ? 5 : 10;
    return std::max(1.0, std::round(value / step) * step);
  };
  if (s < 90 * 60) return {rounded(s / 60), "minute"};
  if (s < 2 * day_s) return {rounded(s / hour_s), "hour"};
  if (s < 21 * day_s) return {rounded(s / day_s), "day"};
  if (s < 100 * day_s) return {rounded(s / (7 * day_s)), "week"};
  return {rounded(s / (30.44 * day_s)), "month"};
}

/// "2 to 7 days", "40 minutes to 2 hours".
std::string range_in_words(double low_s, double high_s) {
  const Spell low = spell_of(low_s), high = spell_of(high_s);
  return std::string(low.unit) == high.unit
             ? fmt::format("{:.0f} to {}", low.count, duration_in_words(high_s))
             : fmt::format("{} to {}", duration_in_words(low_s), duration_in_words(high_s));
}

/// "nitrocellulose lacquer": an id as words.
std::string in_plain_words(std::string id) {
  std::replace(id.begin(), id.end(), '_', ' ');
  return id;
}

}  // namespace

std::string duration_in_words(double s) {
  const Spell spell = spell_of(s);
  return fmt::format("{:.0f} {}{}", spell.count, spell.unit, spell.count == 1 ? "" : "s");
}

const char* gerund(Use use) {
  switch (use) {
    case Use::touch:
      return "touching it";
    case Use::handle:
      return "handling it";
    case Use::recoat:
      return "the next coat";
    case Use::scuff:
      return "scuff sanding";
    case Use::level:
      return "level sanding";
    case Use::buff:
      return "buffing";
    case Use::fit_plates:
      return "fitting plates and hardware";
    case Use::hang_on_stand:
      return "hanging it on a stand";
    case Use::close_in_case:
      return "closing it in a case";
  }
  return "";
}

std::string sentence_of(const DryUse& use, bool cures) {
  const char* what = gerund(use.use);
  const Band& band = use.after.band;
  const auto no_date = [&](const std::string& why) {
    return fmt::format("No date for {}: {}. {}{}", what, why,
                       use.practice.empty() ? "" : "Practice: " + use.practice + ". ",
                       cures ? "Lay a card alongside and try it on that first: cure does not show on a scale."
                             : "Weigh a card sprayed alongside: it settles this.");
  };
  if (!std::isfinite(use.after.value)) return no_date("as computed the film is not hard enough within two years");
  if (!std::isfinite(band.low) || use.later) return no_date("the computed time runs to more than two years");
  const double factor = band.high / std::max(band.low, 60.0);
  if (factor > 10) return no_date(fmt::format("anything from {} is possible", range_in_words(band.low, band.high)));
  const std::string low = duration_in_words(band.low), high = duration_in_words(band.high);
  const std::string otherwise =
      use.differs ? fmt::format(" Practice differs: {}. Try it on a card first.", use.practice) : std::string();
  if (factor > 3)
    return fmt::format("Wait {} before {}, most likely about {}.", range_in_words(band.low, band.high), what,
                       duration_in_words(use.after.value)) +
           otherwise;
  return (low == high ? fmt::format("Wait about {} before {}.", high, what)
                      : fmt::format("Wait about {} before {} ({}).", duration_in_words(use.after.value), what,
                                    range_in_words(band.low, band.high))) +
         otherwise;
}

std::string format_answer(const DryAnswer& answer, BenchUnits units) {
  std::string text;
  for (const std::string& s : answer.sentences) text += s + "\n";
  text += "\nWhat is asked of the film, and what practice says\n";
  for (const DryUse& use : answer.uses)
    text += fmt::format("  {}: {}\n{}", gerund(use.use), use.asked,
                        use.practice.empty() ? "" : fmt::format("      practice: {}\n", use.practice));
  text += "\nSolvent left, share of dry film: a day and thirty days after the last coat\n";
  for (const DryLeft& left : answer.coats)
    text += fmt::format("  coat {:2} {} ({} dry): {:.1f} %, {:.1f} %\n", left.coat, in_plain_words(left.material),
                        shown(left.dry.value, {}, Quantity::film_thickness, units).text, 100 * left.day.value,
                        100 * left.month.value);
  if (!answer.card.empty()) {
    text += "\nThe card: weighed, and as refitted\n";
    for (const DryWeighed& w : answer.card)
      text += fmt::format("  {:7.1f} h  {:.3f} g  {:.3f} g\n", w.at_s / hour_s, 1e3 * w.mass_kg, 1e3 * w.modelled_kg);
  }
  for (const Note& n : answer.notes) text += "\n" + (n.about.rfind("card", 0) == 0 ? n.about + ": " : "") + n.text;
  return text + "\n";
}

}  // namespace witnessline::app
