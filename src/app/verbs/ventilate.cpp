#include "app/verbs/ventilate.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "safety/handled.h"
#include "safety/ignition.h"
#include "safety/room_air.h"

namespace witnessline::app {

namespace {

Figure figure(std::string name, double value, Quantity quantity, std::string law, std::string source, Kind kind) {
  Figure f;
  f.name = std::move(name), f.value = value, f.quantity = quantity;
  f.law = std::move(law), f.source = std::move(source), f.kind = kind;
  return f;
}

Error missing(const std::string& key, const std::string& expected) {
  return {"is missing", {"", 0, 0, key}, expected, "measure it and write " + key.substr(key.rfind('.') + 1) + " = ..."};
}

std::vector<Error> faults_of(const VentilateRequest& asked, const Library& library) {
  std::vector<Error> faults;
  double sum = 0;
  for (std::size_t i = 0; i < asked.sprayed.size(); ++i) {
    const SprayedPart& part = asked.sprayed[i];
    sum += part.volume_fraction;
    const Material* material = library.find(part.material);
    if (material && material->role != Role::wood && material->role != Role::compound) continue;
    const std::string near = nearest_word(part.material, library.ids());
    faults.push_back({fmt::format("'{}' is no liquid of the library", part.material),
                      {"", 0, 0, fmt::format("sprayed[{}].material", i + 1)},
                      "a solvent's or paint's material id",
                      near.empty() ? "" : fmt::format("did you mean '{}'?", near)});
  }
  if (std::abs(sum - 1) > 0.005)
    faults.push_back({fmt::format("the shares sum to {:.1f} %", 100 * sum),
                      {"", 0, 0, "sprayed"},
                      "100 %",
                      "give every liquid in the gun its share by volume"});
  for (std::size_t i = 0; i < asked.contents.size(); ++i) {
    auto more = safety::faults_of(asked.contents[i], library, fmt::format("contents[{}]", i + 1));
    faults.insert(faults.end(), more.begin(), more.end());
  }
  if (asked.room.outdoors) return faults;
  if (!asked.room.volume_m3) faults.push_back(missing("room.volume_m3", "the room's volume"));
  if (!asked.room.fan_m3_s) faults.push_back(missing("room.fan_m3_h", "air the fan really moves, above 0"));
  if (asked.room.drying_volume_m3 && !asked.room.drying_fan_m3_s)
    faults.push_back(missing("room.drying_fan_m3_h", "air through the drying room, above 0"));
  if (asked.room.drying_fan_m3_s && !asked.room.drying_volume_m3)
    faults.push_back(missing("room.drying_volume_m3", "the drying room's volume"));
  return faults;
}

LimitUsed limit_used(const Material& m, Property p, const std::string& of, const Datum& ruling) {
  LimitUsed used{m.name, of, ruling.value * 1e6, ruling.source, {}};
  const auto [from, to] = m.overruled.equal_range(p);
  for (auto it = from; it != to; ++it)
    used.others.push_back(
        fmt::format("{:.0f} ppm ({}, {})", it->second.value * 1e6, it->second.source, name_of(it->second.kind)));
  return used;
}

RoomAnswer answer_of(const std::string& name, const RoomAir& air, VentilateAnswer& answer) {
  const auto curve = [&](const char* what, const std::vector<double>& share) {
    Curve c{name + ": " + what, "time [min]", "vapour [ppm]", {}, {}};
    for (std::size_t i = 0; i < share.size(); ++i)
      c.x.push_back(air.record.time_s[i] / 60), c.y.push_back(share[i] * 1e6);
    return c;
  };
  answer.curves.push_back(curve("well mixed", air.record.room_share));
  answer.curves.push_back(curve("where people breathe", air.record.breathing_share));
  return {name,
          air.verdict,
          air.asked,
          air.fan,
          air.peak_of_fire,
          air.peak_of_limit,
          air.peak_of_danger,
          air.day_of_limit,
          air.clear};
}

/// What a person reads of one room: enough or not first, then the demands, then when it may be entered.
void say_of_room(const RoomAir& air, const std::string& name, bool gun, const std::string& poison,
                 const VentilateRequest& asked, BenchUnits units, VentilateAnswer& answer) {
  const auto flow = [&](const Figure& f) { return show(f.value, Quantity::air_flow, units); };
  const std::string moved = asked.room.outdoors ? "the open air" : fmt::format("the fan's {}", flow(air.fan));
  const char* booth = gun && asked.room.booth_face_m2.value_or(0) > 0 ? "the booth's face" : "fire";
  std::string text;
  switch (air.verdict) {
    case AirVerdict::not_known:
      text = fmt::format("can't be assessed, data missing: treat it as unsafe. At least {} is needed",
                         flow(air.asked.at_least));
      break;
    case AirVerdict::do_not_spray:
      text = fmt::format("do not spray: no airflow is enough for a mist that holds {}", poison);
      break;
    case AirVerdict::enough:
      text = moved + " is enough";
      break;
    case AirVerdict::enough_with_respirator:
      text = fmt::format("{} is enough against {}; only with the respirator on is it enough to breathe", moved, booth);
      break;
    case AirVerdict::enough_with_nobody_in:
      text = moved + " is enough against fire, not to breathe: keep everyone out";
      break;
    case AirVerdict::too_little:
      text = asked.room.outdoors ? "the open air alone is not enough to breathe" : moved + " is too little";
      break;
  }
  answer.says.push_back(fmt::format("{}: {}.", name, text));
  if (const std::string instead = instead_of_more_air(air, asked.room, gun, units); !instead.empty())
    answer.says.push_back(instead);
  for (const std::string& what : air.asked.missing)
    answer.notes.push_back({Severity::danger, "Can't be assessed, data missing: " + what + ".", name});
  if (air.peak_of_fire.value > 0.25)
    answer.notes.push_back({Severity::danger, "Vapour passes a quarter of its explosive limit.", name});
  if (air.immediate())
    answer.notes.push_back({Severity::danger,
                            gun ? "Vapour where people breathe passes what is immediately dangerous to life: supplied "
                                  "air only, and nobody alone."
                                : "Vapour where people breathe passes what is immediately dangerous to life: nobody "
                                  "enters before it has cleared.",
                            name});
  if (!air.danger_unknown.empty())
    answer.notes.push_back(
        {Severity::danger,
         fmt::format("Whether it gets immediately dangerous to life can't be assessed, data missing: {}. Count it as "
                     "dangerous.",
                     fmt::join(air.danger_unknown, ", ")),
         name});
  if (!poison.empty())
    answer.says.push_back(fmt::format(
        "{}: no time to re-enter is given, its air holds {}. Keep everyone without supplied air out until a clearance "
        "test of the booth, or your local authority's rule, says it is clear.",
        name, poison));
  else if (!asked.room.outdoors && std::isfinite(air.clear.value) && air.clear.value > 0)
    answer.says.push_back(fmt::format(
        "{}: keep the fan on and the respirator on for {} after the gun stops{}.", name,
        show(air.clear.value, Quantity::duration, units),
        air.clear.band.high > 1.2 * air.clear.value
            ? fmt::format(" ({} if the air mixes badly)", show(air.clear.band.high, Quantity::duration, units))
            : ""));
  else if (!std::isfinite(air.clear.value))
    answer.says.push_back(name + ": when it may be entered can't be assessed, data missing.");
}

/// A material's own cautions, each once whichever liquids it comes from.
void add_cautions(const Material& m, std::vector<Note>& notes) {
  for (const std::string& caution : m.cautions)
    if (std::none_of(notes.begin(), notes.end(), [&](const Note& n) { return n.text == caution; }))
      notes.push_back({Severity::caution, caution, ""});
}

Result<VentilateAnswer> ventilate(const VentilateRequest& asked, const Asking& asking) {
  if (auto faults = faults_of(asked, asking.library); !faults.empty()) return faults;
  Spraying spraying{{},           asked.coats,        asked.coat_s, asked.flash_s, asked.landed_fraction,
                    asked.fade_s, asked.temperature_K};
  for (const SprayedPart& part : asked.sprayed)
    add_vapours(spraying.flows, *asking.library.find(part.material), part.volume_fraction * asked.rate_m3_s,
                asking.library, asked.contents);
  VentilateAnswer answer;
  std::string poison;
  for (const SprayedPart& part : asked.sprayed) {
    const Material& material = *asking.library.find(part.material);
    if (const std::string held = poison_of_mist(material); poison.find(held) == poison.npos)
      poison += (poison.empty() ? "" : ", ") + held;
    add_cautions(material, answer.notes);
  }
  const VapourMix mix = mix_of(spraying.flows, asked.temperature_K);
  const bool moved = asked.room.drying_volume_m3.has_value() && !asked.room.outdoors;
  const Releases releases = releases_of(spraying, mix.vapour_m3_s, moved);
  const std::vector<VapourFlow> drying = drying_flows(spraying);
  const double gun_s = asked.coats * asked.coat_s, end_s = spraying.end_s(), after_s = 6 * asked.fade_s;
  std::string curing;
  for (const SprayedPart& part : asked.sprayed)
    if (const std::string held = given_off_curing(*asking.library.find(part.material)); !held.empty())
      curing += (curing.empty() ? "" : ", ") + held;

  const RoomAir gun = room_air({spraying.flows, releases.spraying, asked.room, asked.temperature_K, true, false, false,
                                poison, end_s, end_s + after_s});
  const RoomAir dries = room_air({drying, moved ? releases.drying : releases.spraying, asked.room, asked.temperature_K,
                                  false, true, moved, curing, moved ? 0.0 : end_s, moved ? after_s : end_s + after_s});
  const std::string place = asked.room.outdoors ? "outdoors" : "spraying room",
                    drying_place = moved ? "drying room" : place + ", drying";
  answer.rooms.push_back(answer_of(place, gun, answer));
  answer.rooms.push_back(answer_of(drying_place, dries, answer));
  if (!moved) answer.curves.resize(2);  // one room, one pair of lines
  answer.cartridges = gun.cartridges;
  say_of_room(gun, place, true, poison, asked, asking.units, answer);
  say_of_room(dries, drying_place, false, curing, asked, asking.units, answer);

  answer.vapour_mass = figure("solvent into the air", mix.mass_kg_s * gun_s, Quantity::mass,
                              "rate x time of the gun x what evaporates", "", Kind::estimate);
  answer.vapour_volume =
      figure("the same as vapour", mix.complete() ? mix.vapour_m3_s * gun_s : std::numeric_limits<double>::quiet_NaN(),
             Quantity::film_volume, "rho R T / (M p) a volume of liquid", "cfr1910_94", Kind::computed);
  answer.explosive_limit =
      figure("lower explosive limit of the mixed vapour",
             mix.explosive_limit().value_or(std::numeric_limits<double>::quiet_NaN()), Quantity::fraction,
             "Le Chatelier: 1 / sum(y / LEL), the lowest published LEL of each", "crowl2001", Kind::published);
  for (const VapourFlow& f : spraying.flows) {
    const Material& m = *asking.library.find(f.of.id);
    if (f.of.harmless) continue;
    if (f.of.explosive_limit)
      answer.limits.push_back(limit_used(m, Property::lower_explosive_limit, "explosion", *f.of.explosive_limit));
    if (f.of.breathing_limit)
      answer.limits.push_back(limit_used(m, Property::exposure_limit, "breathing", *f.of.breathing_limit));
    if (f.of.danger_limit)
      answer.limits.push_back(limit_used(m, Property::danger_limit, "immediate danger", *f.of.danger_limit));
    if (const std::string& source = f.of.skin_notation; !source.empty())
      answer.notes.push_back({Severity::caution,
                              f.of.name + " goes through the skin in amounts that count (" + source +
                                  "): gloves that resist it, sleeves, no bare hands in the cup.",
                              f.of.id});
  }

  if (!all_hold(answer.cartridges) && asked.room.respirator != Respirator::supplied_air)
    answer.notes.push_back({Severity::danger,
                            "Cartridges cannot be relied on for all that is sprayed: what they do not hold is counted "
                            "as breathed. See cartridges.",
                            ""});

  if (asked.room.outdoors)
    answer.notes.push_back({Severity::information,
                            "Outdoors a light air of 0.5 m/s through 2 m2 round the work is taken (ESTIMATE): in still "
                            "air there is less. Nobody downwind; no flame or engine near.",
                            "room.outdoors"});
  else if (!asked.room.mixing_factor)
    answer.notes.push_back({Severity::information, "No mixing factor was given: 10, the worst of 3 to 10, is taken.",
                            "room.mixing_factor"});
  if (const std::string lit = ignition_advice(ignition_of(spraying.flows), asked.temperature_K); !lit.empty())
    answer.notes.push_back(
        {Severity::caution, lit + " Pilot lights, switches and telephones out of the room, also while it dries.", ""});
  answer.notes.push_back(
      {Severity::information,
       "Near the gun and in dead corners there is more vapour than these figures say. Planning help: "
       "local codes and licensed practice decide.",
       ""});
  return answer;
}

std::string told(const VentilateAnswer& a, BenchUnits units) {
  std::string text;
  for (const std::string& line : a.says) text += line + "\n";
  text += fmt::format("Solvent into the air: {}; lower explosive limit of the vapour {}.\n",
                      show(a.vapour_mass.value, Quantity::mass, units),
                      show(a.explosive_limit.value, Quantity::fraction, units));
  for (const RoomAnswer& room : a.rooms) {
    const auto air = [&](const Figure& f) { return show(f.value, Quantity::air_flow, units); };
    text +=
        fmt::format("{}: fire needs {}, breathing {}{}.\n", room.name, air(room.asked.fire), air(room.asked.breathing),
                    room.asked.face.value > 0 ? fmt::format(", the booth's face {} (at least {})", air(room.asked.face),
                                                            show(room.asked.face.band.low, Quantity::air_flow, units))
                                              : "");
    text += fmt::format(
        "{}: at its highest {} of the explosive limit, {} times the breathing limit; over a day {} times.\n", room.name,
        show(room.peak_of_fire.value, Quantity::fraction, units),
        show(room.peak_of_limit.value, Quantity::ratio, units), show(room.day_of_limit.value, Quantity::ratio, units));
  }
  text += "\nLimits used (the lowest known rules)\n";
  for (const LimitUsed& l : a.limits) {
    text += fmt::format("  {}, {}: {:.0f} ppm ({})", l.solvent, l.of, l.value_ppm, l.source);
    for (const std::string& other : l.others) text += "; " + other;
    text += "\n";
  }
  text += "\nCartridges\n";
  for (const CartridgeAnswer& c : a.cartridges) text += "  " + c.solvent + ": " + c.says + "\n";
  for (const Severity s : {Severity::danger, Severity::caution, Severity::information})
    for (const Note& n : a.notes)
      if (n.severity == s)
        text += fmt::format("{}  {}{}\n",
                            s == Severity::danger    ? "DANGER "
                            : s == Severity::caution ? "CAUTION"
                                                     : "note   ",
                            n.about.empty() ? "" : n.about + ": ", n.text);
  return text;
}

}  // namespace

Verb ventilate_verb() {
  return verb("ventilate", "How much fresh air spraying and drying ask for, against what the fan moves",
              Work{.sprays = true}, ventilate, told);
}

}  // namespace witnessline::app
