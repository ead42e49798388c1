#include "safety/room_air.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

namespace witnessline::safety {

namespace {

constexpr double nan = std::numeric_limits<double>::quiet_NaN();
constexpr double booth_clearing_s = 900, room_clearing_s = 1800;  // hse_clearance, common practice
constexpr double shop_fan_m3_s = 10000 / 3600.0;                  // ESTIMATE: more than a small shop's fan moves

Figure figure(std::string name, double value, Quantity quantity, const char* law, const char* source, Kind kind) {
  Figure f;
  f.name = std::move(name), f.value = value, f.quantity = quantity, f.law = law, f.source = source, f.kind = kind;
  return f;
}

std::string joined(const std::vector<std::string>& words) {
  std::string text;
  for (const std::string& w : words) text += (text.empty() ? "" : ", ") + w;
  return text;
}

Figure over_limit(const std::string& name, double share, const OverLimit& limits, const char* law) {
  Figure f = figure(limits.complete() ? name : name + ", at least: no limit known of " + joined(limits.unknown),
                    share * limits.per_share, Quantity::ratio, law, "acgih_ventilation", Kind::estimate);
  return f;
}

/// Air that the breathing of flows asks for when a respirator is credited with those its cartridges hold [m3/s].
double left_to_air_m3_s(const Airing& a, const std::vector<CartridgeAnswer>& cartridges, double mixing,
                        double escaped) {
  const Respirator worn = a.room.respirator.value_or(Respirator::none);
  double sum_m3_s = 0;
  for (const VapourFlow& flow : a.flows) {
    const double asked_m3_s = breathing_air_m3_s(flow, a.temperature_K, mixing) * escaped;
    if (!(asked_m3_s > 0)) {
      if (std::isnan(asked_m3_s)) return nan;
      continue;
    }
    const auto answer = std::find_if(cartridges.begin(), cartridges.end(),
                                     [&](const CartridgeAnswer& c) { return c.solvent == flow.of.name; });
    const bool held =
        worn == Respirator::supplied_air || (answer != cartridges.end() && answer->fit == CartridgeFit::holds);
    sum_m3_s += asked_m3_s / (held ? protection_factor(worn) : 1.0);
  }
  return sum_m3_s;
}

Figure clearing(const Airing& a, const RoomAir& air, const VapourMix& mix, double fan_m3_s, double volume_m3,
                double mixing, double escaped) {
  Figure f =
      figure("until the room may be entered without a respirator", nan, Quantity::duration,
             "V dC/dt = G - (Q / mixing factor) C until sum of C over limit is 1; after spraying at least 15 min "
             "behind a booth, 30 min in a room",
             "hse_clearance", Kind::estimate);
  if (!a.poison.empty()) {
    f.law = "none given: the air holds " + a.poison + ", which is not worked out";
    return f;
  }
  if (!mix.complete()) return f;
  const double below = mix.breathing.per_share > 0 ? 1 / (mix.breathing.per_share * escaped) : 1;
  const auto after_s = [&](double factor) {
    const auto clear_s = clear_from_s(a.releases, fan_m3_s / factor, volume_m3, below);
    return clear_s ? std::max(0.0, *clear_s - a.ends_s) : nan;
  };
  const bool booth = escaped < 1;
  const double least_s = mix.vapour_m3_s <= 0                       ? 0.0
                         : a.gun                                    ? (booth ? booth_clearing_s : room_clearing_s)
                         : air.peak_of_limit.value > 1 && !a.nobody ? booth_clearing_s
                                                                    : 0.0;
  const double worked_s = after_s(mixing), worst_s = after_s(std::max(mixing, worst_mixing_factor));
  if (std::isnan(worked_s)) return f;
  f.value = std::max(least_s, worked_s);
  f.band = {f.value, std::max(f.value, std::isnan(worst_s) ? f.value : worst_s)};
  f.inputs = {{"least that practice asks", least_s, Quantity::duration, Kind::published, "hse_clearance"},
              {"worked out with the mixing factor", worked_s, Quantity::duration, Kind::estimate, "acgih_ventilation"}};
  return f;
}

}  // namespace

RoomAir room_air(const Airing& a) {
  RoomAir air;
  const bool elsewhere = a.drying_room && a.room.drying_volume_m3;
  const std::optional<double> fan = elsewhere ? a.room.drying_fan_m3_s : fan_of(a.room);
  const std::optional<double> volume = elsewhere ? a.room.drying_volume_m3 : volume_of(a.room);
  const double mixing = mixing_of(a.room);
  const double escaped = 1 - (a.gun ? captured_share(a.room, fan) : 0.0);
  air.asked = air_asked(a.flows, a.room, a.temperature_K, a.gun);
  air.fan = figure(a.room.outdoors ? "air past the work outdoors (ESTIMATE)" : "air the fan moves", fan.value_or(nan),
                   Quantity::air_flow, "as given", "", a.room.outdoors ? Kind::estimate : Kind::measured);
  const VapourMix mix = mix_of(a.flows, a.temperature_K);
  air.danger_unknown = mix.danger.unknown;

  // Without a volume: the steady state, which the air of any room stays under.
  double room_share = fan ? mix.vapour_m3_s / *fan : nan, breathed_share = room_share * mixing * escaped,
         day_share = nan;
  if (fan && volume) {
    air.record = air_record(a.releases, *fan, *volume, mixing, a.shown_s);
    for (double& share : air.record.breathing_share) share *= escaped;
    room_share = air.record.peak_room_share;
    breathed_share = air.record.peak_breathing_share *= escaped;
    day_share = air.record.breathing_day_share *= escaped;
  }
  constexpr const char *law = "V dC/dt = G - (Q / mixing factor) C, less what a booth captures; sum of C over limit",
                       *fire = "V dC/dt = G - Q C, over the limit of the mixture by Le Chatelier";
  air.peak_of_fire = over_limit("highest vapour over the explosive limit", room_share, mix.fire, fire);
  air.peak_of_limit = over_limit("highest vapour breathed over its limit", breathed_share, mix.breathing, law);
  air.day_of_limit = over_limit("vapour breathed over a day over its limit", day_share, mix.breathing, law);
  air.peak_of_danger =
      over_limit("highest vapour breathed over what is immediately dangerous", breathed_share, mix.danger, law);
  air.clear = fan && volume ? clearing(a, air, mix, *fan, *volume, mixing, escaped)
                            : clearing({{}, {}, a.room, 0, false, false, false, "no room and fan given", 0, 0}, air,
                                       mix, 1, 1, mixing, escaped);

  air.cartridges = cartridges_for(a.flows, a.temperature_K, breathed_share);
  InTheRoom who;
  who.nobody = a.nobody, who.poison_mist = a.gun && !a.poison.empty();
  const Respirator worn = a.room.respirator.value_or(Respirator::none);
  // Immediately dangerous air, or air of which that is not known, takes supplied air (cfr1910_134 (d)(2)).
  const bool filters = !air.immediate() && air.danger_unknown.empty();
  if (worn != Respirator::none && (worn == Respirator::supplied_air || filters))
    who.left_to_air_m3_s = left_to_air_m3_s(a, air.cartridges, mixing, 1 - (a.gun ? captured_in_booth(a.room) : 0.0));
  air.verdict = verdict_of(air.asked, fan, who);
  return air;
}

std::string instead_of_more_air(const RoomAir& air, const Room& room, bool gun, BenchUnits units) {
  if (air.verdict != AirVerdict::too_little || !std::isfinite(air.fan.value)) return {};
  const auto flow = [&](double m3_s) { return show(m3_s, Quantity::air_flow, units); };
  const double fan_m3_s = air.fan.value;
  if (!gun)
    return "Wipe or brush less at a time, open the door to outside, or let it dry in a room of its own where nobody "
           "stays.";
  if (air.asked.fire.value > fan_m3_s)
    return fmt::format(
        "Do not spray: the vapour would come too near its explosive limit. Spray at most {:.0f} % of this an hour, or "
        "into "
        "more air.",
        std::max(1.0, 100 * fan_m3_s / air.asked.fire.value));
  if (room.booth_face_m2.value_or(0) <= 0) {
    const double one_m2_m3_s = booth_face_speed(room.crossdraught_m_s.value_or(0)).value_or(FaceSpeed{}).design_m_s;
    return fmt::format(
        "Airing a whole room is the wrong tool for spraying{}. Spray into an open-face booth: each square metre of "
        "face "
        "draws {} and takes most of the mist and vapour with it. Or spray outdoors, upwind of the work; or pad or "
        "brush "
        "it; or fewer coats an hour from a smaller gun. Wear a fitted respirator in each case.",
        air.asked.at_least.value > shop_fan_m3_s ? fmt::format(": it would take over {}", flow(shop_fan_m3_s)) : "",
        flow(one_m2_m3_s));
  }
  if (air.asked.face.band.low > fan_m3_s) {
    const double least_m_s = booth_face_speed(room.crossdraught_m_s.value_or(0)).value_or(FaceSpeed{}).least_m_s;
    const double held_m2 = least_m_s > 0 ? fan_m3_s / least_m_s : 0;
    return held_m2 >= 0.3 ? fmt::format(
                                "The face of the booth is too large for this fan: close it down to {}, or fit a "
                                "stronger fan.",
                                units == BenchUnits::us ? fmt::format("{:.0f} ft2", held_m2 / 0.09290304)
                                                        : fmt::format("{:.1f} m2", held_m2))
                          : "This fan is too weak for a booth: it holds no face that a body fits into.";
  }
  return fmt::format(
      "The booth holds its face, but what escapes it is too much for {}: wear {}, spray fewer coats an hour from a "
      "smaller gun, or use a thinner without the solvents that cartridges do not hold.",
      room.respirator.value_or(Respirator::none) == Respirator::none ? "bare lungs" : "this respirator",
      air.immediate() || !air.danger_unknown.empty() ? "supplied air" : "a fitted respirator with more protection");
}

}  // namespace witnessline::safety
