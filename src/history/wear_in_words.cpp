#include "history/wear_in_words.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "bench/step_context.h"

namespace witnessline::history {

namespace {

constexpr double ruler_m = 5e-3;  // a place on a body is found by eye and ruler

double to_ruler_mm(double at_m) { return 1e3 * ruler_m * std::round(at_m / ruler_m); }

}  // namespace

std::vector<std::string> regions_of(const Body& body, std::uint32_t vertex) {
  const bool central = to_ruler_mm(std::abs(static_cast<double>(body.positions()[vertex].x))) == 0;
  std::vector<std::string> regions;
  const auto names = words(static_cast<const Region*>(nullptr));
  for (int k = 0; k < region_count; ++k) {
    const auto region = static_cast<Region>(k);
    if (central && (region == Region::bass || region == Region::treble)) continue;
    if (body.in(vertex, region)) regions.emplace_back(names[static_cast<std::size_t>(k)]);
  }
  return regions;
}

std::string place_in_words(const WornPlace& place) {
  std::string text;
  for (const std::string& region : place.regions) text += (text.empty() ? "" : ", ") + region;
  std::replace(text.begin(), text.end(), '_', ' ');
  const double x_mm = to_ruler_mm(static_cast<double>(place.at.x)), y_mm = to_ruler_mm(static_cast<double>(place.at.y));
  text += y_mm > 0 ? fmt::format("; {:.0f} mm up from the tail end, ", y_mm) : std::string("; at the tail end, ");
  return text + (x_mm == 0 ? std::string("on the centre line")
                           : fmt::format("{:.0f} mm to the {} side", std::abs(x_mm), x_mm < 0 ? "bass" : "treble"));
}

std::string place_in_words(Vec3 at, const Body& body) {
  const Triangle& t = body.triangles()[body.nearest(std::array{at}).front().triangle];
  return place_in_words(WornPlace{at, regions_of(body, t[0]), 0, 0, 0, 0, -1});
}

std::vector<Note> notes_on_wear(const WearPlausibility& b) {
  std::vector<Note> notes;
  if (!b.unexplained.empty()) {
    const WornPlace& worst = b.unexplained.front();
    notes.push_back(
        {Severity::caution,
         b.by_steps
             ? fmt::format("{} of the {} worn is where no contact explains it, most of it here: {}, {} deep. It will "
                           "look artificial.",
                           area_text(b.unexplained_m2), area_text(b.laid_m2), place_in_words(worst),
                           show(worst.laid_m, Quantity::film_thickness))
             : fmt::format("{} of the {} where old finish is missing was not worn by play, most of it here: {}. It was "
                           "sanded, stripped or never finished.",
                           area_text(b.unexplained_m2), area_text(b.laid_m2), place_in_words(worst)),
         ""});
  }
  if (!b.untouched.empty()) {
    const WornPlace& first = b.untouched.front();
    const auto names = words(static_cast<const Touch*>(nullptr));
    std::string by = first.most < 0 ? "contact" : names[static_cast<std::size_t>(first.most)];
    std::replace(by.begin(), by.end(), '_', ' ');
    notes.push_back({Severity::information,
                     b.by_steps ? fmt::format("Use that wore the rest would also have worn {} that the plan leaves as "
                                              "new, first by {}: {}.",
                                              area_text(b.untouched_m2), by, place_in_words(first))
                                : fmt::format("This history of use would have worn {} of old finish that is whole, "
                                              "first by {}: {}. Check the history there.",
                                              area_text(b.untouched_m2), by, place_in_words(first)),
                     ""});
  }
  for (const WorkLoss& loss : b.by_work)
    notes.push_back({Severity::caution,
                     fmt::format("'{}' ({}) rubs through over {} that nothing touches in play: it looks like a slip of "
                                 "paper or wheel, not like wear.",
                                 loss.step, loss.word, area_text(loss.area_m2)),
                     ""});
  return notes;
}

}  // namespace witnessline::history
