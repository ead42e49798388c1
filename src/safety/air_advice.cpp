#include "safety/air_advice.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>

#include "safety/rounded.h"

namespace witnessline::safety {

namespace {

constexpr double shop_fan_m3_s = 10000 / 3600.0;  // ESTIMATE: more than a small shop's fan moves

std::string flow(double m3_s, BenchUnits units) { return show_rounded(m3_s, Quantity::air_flow, units, true); }

std::string wait(double s, BenchUnits units) { return show_rounded(s, Quantity::duration, units, true); }

bool has_booth(const Room& room) { return room.booth_face_m2.value_or(0) > 0; }

Respirator worn(const Room& room) { return room.respirator.value_or(Respirator::none); }

/// "about 55 times its breathing limit, 11 times with the respirator on"
std::string over_by(const RoomAir& air) {
  const bool credited = air.worn_of_limit.value < 0.99 * air.peak_of_limit.value;
  return describe_margin(air.peak_of_limit.value) +
         (credited ? fmt::format(", and {} with the respirator on", describe_margin(air.worn_of_limit.value)) : "");
}

/// The demand for which the fan is too little; fire last where its vapour stays far from burning.
enum class Short { face, fire, breath };
Short short_of(const RoomAir& air) {
  if (air.peak_of_fire.value > 0.25) return Short::fire;
  if (air.asked.face.band.low > air.fan.value) return Short::face;
  return air.worn_of_limit.value > 1 ? Short::breath : Short::fire;
}

std::string why_too_little(const RoomAir& air, const AirPlace& place) {
  switch (short_of(air)) {
    case Short::face:
      return "the booth's face needs " + describe_flow(air.asked.face.band.low, place.units, "at least ");
    case Short::fire:
      return "against fire it needs " + describe_flow(air.asked.fire.value, place.units);
    case Short::breath:
      break;
  }
  return "where you breathe, vapour reaches " + over_by(air);
}

std::string in_a_room(const RoomAir& air, const AirPlace& place) {
  const std::string moved = "the fan's " + show_rounded(air.fan.value, Quantity::air_flow, place.units);
  switch (air.verdict) {
    case AirVerdict::not_known:
      if (air.asked.missing.empty() && !place.poison.empty())
        return fmt::format("can't be assessed: what it gives off holds {}. Treat it as unsafe", place.poison);
      return "can't be assessed, data missing: treat it as unsafe" +
             (air.asked.at_least.value > 0
                  ? ". It needs " + describe_flow(air.asked.at_least.value, place.units, "at least ")
                  : std::string());
    case AirVerdict::do_not_spray:
      return fmt::format("do not spray: no airflow is enough for a mist that holds {}", place.poison);
    case AirVerdict::enough:
      if (!place.gun && !place.drying_room) return "the same air is enough, with the fan left on";
      return fmt::format("{} is enough: where you breathe, vapour stays {}", moved,
                         describe_margin(air.peak_of_limit.value));
    case AirVerdict::enough_with_respirator:
      return fmt::format("{} {}; only with the respirator on is it enough to breathe. Without it vapour reaches {}",
                         moved,
                         place.gun && has_booth(place.room) ? "holds the booth's face" : "is enough against fire",
                         describe_margin(air.peak_of_limit.value));
    case AirVerdict::enough_with_nobody_in:
      return moved + " is enough against fire, not to breathe: keep everyone out" +
             (place.poison.empty() ? " until it has cleared" : "");
    case AirVerdict::too_little:
      return moved + " is too little: " + why_too_little(air, place);
  }
  return {};
}

std::string in_the_open(const RoomAir& air, const AirPlace& place) {
  switch (air.verdict) {
    case AirVerdict::not_known:
      if (air.asked.missing.empty() && !place.poison.empty())
        return fmt::format("can't be assessed: what it gives off holds {}. Stay away from it", place.poison);
      return "can't be assessed, data missing: treat it as unsafe, in the open air too";
    case AirVerdict::do_not_spray:
      return fmt::format("do not spray, in the open air either: no airflow is enough for a mist that holds {}",
                         place.poison);
    case AirVerdict::enough:
      if (!place.gun) return "stay upwind of it: the open air is enough";
      return fmt::format("stay upwind and the open air is enough: where you breathe, vapour stays {}",
                         describe_margin(air.peak_of_limit.value));
    case AirVerdict::enough_with_respirator:
      return fmt::format("stay upwind with the respirator on. Without it vapour reaches {}",
                         describe_margin(air.peak_of_limit.value));
    case AirVerdict::enough_with_nobody_in:
      return place.poison.empty() ? "stand clear of it and upwind until its vapour has blown away"
                                  : fmt::format("keep everyone away and upwind: its air holds {}", place.poison);
    case AirVerdict::too_little:
      return fmt::format("the open air and {} are not enough: where you breathe, vapour reaches {}",
                         worn(place.room) == Respirator::none ? "no respirator" : "this respirator", over_by(air));
  }
  return {};
}

std::string coming_back(const RoomAir& air, const AirPlace& place) {
  const std::string name = place.name();
  const bool same_air = !place.gun && !place.drying_room;  // the spraying line speaks of it already
  if (!place.poison.empty()) {
    if (same_air && air.verdict != AirVerdict::not_known) return {};
    return place.room.outdoors
               ? fmt::format(
                     "{}: no time to come near again is given, its air holds {}. Keep everyone without supplied "
                     "air away and upwind while it is sprayed and cures; your local authority's rule decides.",
                     name, place.poison)
               : fmt::format(
                     "{}: no time to re-enter is given, its air holds {}. Keep everyone without supplied air out "
                     "until a clearance test, or your local authority's rule, says it is clear.",
                     name, place.poison);
  }
  if (same_air) return {};
  if (!std::isfinite(air.clear.value)) return name + ": when it may be entered can't be assessed, data missing.";
  if (air.clear.value <= 0) return {};
  const std::string least = wait(air.clear.value, place.units);
  const auto other = [&](double s, const char* how) {
    const bool near = std::abs(std::log(s / air.clear.value)) < 0.2;
    return near ? std::string() : fmt::format(" ({} if the air mixes {})", wait(s, place.units), how);
  };
  const std::string badly = air.clear.band.high > 1.2 * air.clear.value ? other(air.clear.band.high, "badly")
                                                                        : other(air.clear.band.low, "well");
  const bool masked = worn(place.room) != Respirator::none;
  if (place.room.outdoors)
    return fmt::format("{}: stay upwind{} for {} after the gun stops.", name, masked ? ", respirator on," : "", least);
  if (!place.gun) return fmt::format("{}: keep the fan on and everyone out for {}{}.", name, least, badly);
  return fmt::format("{}: keep the fan on and {} for {} after the gun stops{}.", name,
                     masked ? "the respirator on" : "everyone out", least, badly);
}

}  // namespace

std::string AirPlace::name() const {
  if (drying_room && !gun) return "drying room";
  return (room.outdoors ? std::string("outdoors") : "spraying room") + (gun ? "" : ", drying");
}

std::string describe_margin(double of_limit) {
  if (!std::isfinite(of_limit)) return "at an unknown share of its breathing limit";
  if (of_limit <= 0.1) return "far below its breathing limit";
  if (of_limit <= 0.5) return "below half its breathing limit";
  if (of_limit <= 1) return "just below its breathing limit (too close to call: wear a respirator all the same)";
  if (of_limit < 1.5) return "just above its breathing limit";
  return fmt::format("about {} times its breathing limit", two_figures(of_limit));
}

std::string describe_flow(double m3_s, BenchUnits units, std::string_view before) {
  if (m3_s > shop_fan_m3_s) return "more air than a small shop's fan moves";
  return std::string(before) + flow(m3_s, units);
}

std::vector<std::string> describe_air(const RoomAir& air, const AirPlace& place) {
  std::vector<std::string> sentences;
  const std::string verdict = place.room.outdoors ? in_the_open(air, place) : in_a_room(air, place);
  sentences.push_back(fmt::format("{}: {}.", place.name(), verdict));
  for (std::string more : {instead_of_more_air(air, place), coming_back(air, place)})
    if (!more.empty()) sentences.push_back(std::move(more));
  return sentences;
}

std::vector<Note> air_dangers(const RoomAir& air, const AirPlace& place) {
  std::vector<Note> notes;
  const auto danger = [&](std::string text) { notes.push_back({Severity::danger, std::move(text), place.name()}); };
  for (const std::string& what : air.asked.missing)
    danger("Can't be assessed, data missing: " + what +
           (what.starts_with(solvents_of) ? ". Enter them under [[contents]], from section 3 of its safety data sheet."
                                          : "."));
  if (air.peak_of_fire.value > 0.25) danger("Vapour passes a quarter of its explosive limit.");
  if (air.immediate())
    danger(place.gun ? "Vapour where people breathe passes what is immediately dangerous to life: supplied air only, "
                       "and nobody alone. Nobody else comes near before it has cleared."
                     : "Vapour where people breathe passes what is immediately dangerous to life: nobody enters before "
                       "it has cleared.");
  if (!air.danger_unknown.empty())
    danger(
        fmt::format("Whether it gets immediately dangerous to life can't be assessed, data missing: {}. Count it as "
                    "dangerous.",
                    fmt::join(air.danger_unknown, ", ")));
  return notes;
}

std::string instead_of_more_air(const RoomAir& air, const AirPlace& place) {
  if (air.verdict != AirVerdict::too_little || !std::isfinite(air.fan.value)) return {};
  const Room& room = place.room;
  const double fan_m3_s = air.fan.value;
  const bool masked = worn(room) != Respirator::none;
  const std::string better = air.immediate() || !air.danger_unknown.empty() || worn(room) == Respirator::full_face
                                 ? "supplied air"
                             : masked ? "a full face piece or supplied air"
                                      : "a fitted respirator with organic-vapour cartridges";
  if (!place.gun)
    return "Wipe or brush less at a time, open the door to outside, or let it dry in a room of its own where nobody "
           "stays.";
  if (short_of(air) == Short::fire)
    return fmt::format(
        "Do not spray: the vapour would come too near its explosive limit. Spray at most {} % of this an hour, or into "
        "more air.",
        two_figures(std::max(1.0, 100 * fan_m3_s / air.asked.fire.value)));
  if (room.outdoors)
    return fmt::format(
        "Wear {}; spray fewer coats an hour, or from a smaller gun; wait for a light, steady wind; or pad or brush it. "
        "Whoever has no respirator stays out of the wind that has passed the work.",
        better);
  if (!has_booth(room)) {
    const double one_m2_m3_s = booth_face_speed(room.crossdraught_m_s.value_or(0)).value_or(FaceSpeed{}).design_m_s;
    return fmt::format(
        "Airing a whole room is the wrong tool for spraying{}. Spray into an open-face booth: each square metre of "
        "face draws {} and takes most of the mist and vapour with it. Or spray outdoors, upwind of the work; or pad or "
        "brush it; or fewer coats an hour from a smaller gun. Wear a fitted respirator in each case.",
        air.asked.at_least.value > shop_fan_m3_s
            ? ": it would take " + describe_flow(air.asked.at_least.value, place.units)
            : "",
        flow(one_m2_m3_s, place.units));
  }
  if (short_of(air) == Short::face) {
    const double least_m_s = booth_face_speed(room.crossdraught_m_s.value_or(0)).value_or(FaceSpeed{}).least_m_s;
    const double held_m2 = least_m_s > 0 ? fan_m3_s / least_m_s : 0;
    return held_m2 >= 0.3 ? fmt::format(
                                "The face of the booth is too large for this fan: close it down to {}, or fit a "
                                "stronger fan.",
                                place.units == BenchUnits::us ? fmt::format("{:.0f} ft2", held_m2 / 0.09290304)
                                                              : fmt::format("{:.1f} m2", held_m2))
                          : "This fan is too weak for a booth: it holds no face that a body fits into.";
  }
  return fmt::format(
      "The booth holds its face, but what escapes it is too much for {}: wear {}, spray fewer coats an hour from a "
      "smaller gun, or use a thinner without the solvents that cartridges do not hold.",
      masked ? "this respirator" : "bare lungs", better);
}

}  // namespace witnessline::safety
