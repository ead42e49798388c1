#include "safety/room_air.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

namespace witnessline::safety {

namespace {

constexpr double nan = std::numeric_limits<double>::quiet_NaN();
constexpr double booth_clearing_s = 900, room_clearing_s = 1800;  // hse_clearance, common practice

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

/// What gets through the respirator worn over the limits, when it is credited with the vapours its cartridges hold.
double worn_of_limit(const Airing& a, const std::vector<CartridgeAnswer>& cartridges, double breathed_share) {
  const Respirator worn = a.room.respirator.value_or(Respirator::none);
  const double all_m3_s = mix_of(a.flows, a.temperature_K).vapour_m3_s;
  double sum = 0;
  for (const VapourFlow& flow : a.flows) {
    const VapourMix alone = mix_of({&flow, 1}, a.temperature_K);
    if (alone.vapour_m3_s <= 0) continue;
    const auto answer = std::find_if(cartridges.begin(), cartridges.end(),
                                     [&](const CartridgeAnswer& c) { return c.solvent == flow.of.name; });
    const bool held =
        worn == Respirator::supplied_air || (answer != cartridges.end() && answer->fit == CartridgeFit::holds);
    sum += breathed_share * alone.vapour_m3_s / all_m3_s * alone.breathing.per_share /
           (held ? protection_factor(worn) : 1.0);
  }
  return sum;
}

/// How what is let into a room reaches somebody in it.
struct Reach {
  double fan_m3_s = 0, volume_m3 = 0, mixing = 1, escaped = 1;
};

/// Smallest flow that keeps what is breathed under its limit from `from_s` on [m3/s].
double flow_to_breathe_m3_s(const Airing& a, const VapourMix& mix, const Reach& r) {
  if (!mix.breathing.complete()) return nan;
  if (mix.vapour_m3_s <= 0) return 0;
  const auto over = [&](double flow_m3_s) {
    return r.escaped * mix.breathing.per_share *
               highest(a.releases, flow_m3_s / r.mixing, r.volume_m3, a.from_s, a.shown_s) >
           1;
  };
  double low_m3_s = 0, high_m3_s = r.fan_m3_s;
  if (!over(low_m3_s)) return 0;
  for (int doubling = 0; over(high_m3_s) && doubling < 40; ++doubling) low_m3_s = high_m3_s, high_m3_s *= 2;
  for (int i = 0; i < 30; ++i) {
    const double middle_m3_s = 0.5 * (low_m3_s + high_m3_s);
    (over(middle_m3_s) ? low_m3_s : high_m3_s) = middle_m3_s;
  }
  return high_m3_s;
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
                         : a.gun || a.from_s > 0                    ? (booth ? booth_clearing_s : room_clearing_s)
                         : air.peak_of_limit.value > 1 && !a.nobody ? booth_clearing_s
                                                                    : 0.0;
  const double worked_s = after_s(mixing), worst_s = after_s(std::max(mixing, worst_mixing_factor)),
               best_s = after_s(std::min(mixing, best_mixing_factor));
  if (std::isnan(worked_s)) return f;
  f.value = std::max(least_s, worked_s);
  f.band = {std::isnan(best_s) ? f.value : std::max(least_s, best_s),
            std::max(f.value, std::isnan(worst_s) ? f.value : worst_s)};
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
  // What is sprayed at a booth also dries there; a cloth is wiped with beside it.
  const double captured = a.gun || (a.nobody && !elsewhere) ? captured_share(a.room, fan) : 0.0;
  const double mixing = mixing_of(a.room, captured > 0), escaped = 1 - captured;
  air.captured = captured;
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
    day_share = air.record.breathing_day_share *= escaped;
    room_share = highest(a.releases, *fan, *volume, a.from_s, a.shown_s);
    breathed_share = escaped * highest(a.releases, *fan / mixing, *volume, a.from_s, a.shown_s);
    air.asked = with_breathing(std::move(air.asked), flow_to_breathe_m3_s(a, mix, {*fan, *volume, mixing, escaped}),
                               "the smallest flow with which V dC/dt = G - (Q / mixing factor) C, less what a booth "
                               "captures, keeps the sum of C over its limit below 1");
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
  const Respirator worn = a.room.respirator.value_or(Respirator::none);
  // Immediately dangerous air, or air of which that is not known, takes supplied air (cfr1910_134 (d)(2)).
  const bool filters = !air.immediate() && air.danger_unknown.empty();
  const bool credited = worn != Respirator::none && (worn == Respirator::supplied_air || filters);
  air.worn_of_limit = air.peak_of_limit;
  air.worn_of_limit.name = "highest vapour inside the respirator over its limit";
  if (credited) air.worn_of_limit.value = worn_of_limit(a, air.cartridges, breathed_share);
  if (!a.poison.empty()) air.cartridges = {cartridge_against(a.poison)};
  air.verdict = verdict_of(air.asked, fan,
                           {air.peak_of_limit.value, air.worn_of_limit.value, a.nobody, a.gun && !a.poison.empty(),
                            !a.gun && !a.poison.empty()});
  return air;
}

}  // namespace witnessline::safety
