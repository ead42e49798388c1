#include "app/verbs/ventilate.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>

#include "materials/in_words.h"
#include "safety/air_advice.h"
#include "safety/handled.h"
#include "safety/ignition.h"
#include "safety/room_air.h"
#include "safety/rounded.h"

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
  LimitUsed used{short_name(m), of, ruling.value * 1e6, ruling.source, {}};
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

/// A material's own cautions, each once. What many materials share is general, of fire, breath and skin: this answer
/// says it itself, unless it does not know what evaporates.
void add_cautions(const Material& m, const Library& library, bool complete, std::vector<Note>& notes) {
  constexpr int general_from = 4;
  for (const std::string& caution : m.cautions) {
    const auto has = [&](const Material& other) {
      return std::find(other.cautions.begin(), other.cautions.end(), caution) != other.cautions.end();
    };
    if (complete && std::count_if(library.all().begin(), library.all().end(), has) >= general_from) continue;
    if (std::none_of(notes.begin(), notes.end(), [&](const Note& n) { return n.text == caution; }))
      notes.push_back({Severity::caution, caution, ""});
  }
}

/// Solvents that pass through the skin, in one sentence.
void add_skin(const std::vector<VapourFlow>& flows, std::vector<Note>& notes) {
  std::vector<std::string> names;
  for (const VapourFlow& f : flows)
    if (!f.of.harmless && !f.of.skin_notation.empty()) names.push_back(f.of.name);
  if (names.empty()) return;
  notes.push_back({Severity::caution,
                   fmt::format("Passes through the skin in amounts that count: {}. Gloves that resist it, sleeves, no "
                               "bare hands in the cup.",
                               fmt::join(names, "; ")),
                   ""});
}

/// Solvents that cartridges are not credited with, in one sentence.
void add_unheld(const RoomAir& air, std::vector<Note>& notes) {
  std::vector<std::string> names;
  for (const CartridgeAnswer& c : air.cartridges)
    if (c.fit != CartridgeFit::holds) names.push_back(c.solvent);
  if (names.empty()) return;
  const bool met = air.verdict == AirVerdict::enough || air.verdict == AirVerdict::enough_with_respirator;
  notes.push_back({met ? Severity::caution : Severity::danger,
                   fmt::format("Cartridges cannot be relied on for {}: what they do not hold is counted as breathed.",
                               fmt::join(names, "; ")),
                   ""});
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

  const std::string cures_in = moved ? curing : poison;  // the mist hangs in the air it dries in
  const RoomAir gun = room_air({spraying.flows, releases.spraying, asked.room, asked.temperature_K, true, false, false,
                                poison, end_s, end_s + after_s});
  const RoomAir dries =
      room_air({drying, moved ? releases.drying : releases.spraying, asked.room, asked.temperature_K, false, true,
                moved, cures_in, moved ? 0.0 : end_s, moved ? after_s : end_s + after_s, moved ? 0.0 : end_s});
  const AirPlace spraying_place{asked.room, true, false, poison, asking.units},
      drying_place{asked.room, false, moved, cures_in, asking.units};
  answer.rooms.push_back(answer_of(spraying_place.name(), gun, answer));
  answer.rooms.push_back(answer_of(drying_place.name(), dries, answer));
  if (!moved) answer.curves.resize(2);  // one room, one pair of lines
  answer.cartridges = gun.cartridges;
  for (const auto& [air, place] : {std::pair{&gun, &spraying_place}, std::pair{&dries, &drying_place}}) {
    for (std::string& sentence : describe_air(*air, *place)) answer.says.push_back(std::move(sentence));
    if (place == &drying_place && !moved) continue;  // the same air: its dangers are listed already
    for (Note& note : air_dangers(*air, *place)) answer.notes.push_back(std::move(note));
  }

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
  }
  for (const SprayedPart& part : asked.sprayed)
    add_cautions(*asking.library.find(part.material), asking.library, mix.complete(), answer.notes);
  add_skin(spraying.flows, answer.notes);

  if (!poison.empty())
    answer.notes.push_back({Severity::danger, cartridge_against(poison).says, ""});
  else if (gun.peak_of_limit.value > 0.5 && asked.room.respirator != Respirator::supplied_air)
    add_unheld(gun, answer.notes);
  if (poison.empty() && asked.room.respirator != Respirator::supplied_air)
    answer.notes.push_back({Severity::caution,
                            "Vapour is not all: the mist itself is breathed. Wear a particle filter before the "
                            "cartridge, also where the vapour stays below its limit.",
                            ""});

  if (asked.room.outdoors)
    answer.notes.push_back({Severity::information,
                            "Outdoors a light air of 0.5 m/s through 2 m2 round the work is taken (ESTIMATE): in still "
                            "air there is less.",
                            "room.outdoors"});
  else if (!asked.room.mixing_factor)
    answer.notes.push_back({Severity::information,
                            gun.captured > 0
                                ? "No mixing factor was given: 3, the best of 3 to 10, is taken at the booth, where "
                                  "fresh air passes you first. Leave the work in the booth, its fan on, while it dries."
                                : "No mixing factor was given: 10, the worst of 3 to 10, is taken.",
                            "room.mixing_factor"});
  const Ignition ignition = ignition_of(spraying.flows);
  if (const std::string lit = ignition_advice(ignition, asked.temperature_K); !lit.empty())
    answer.notes.push_back(
        {Severity::caution,
         lit + (!ignition.needs_rated_gear() ? ""
                : asked.room.outdoors        ? " No flame, engine or cigarette near, also while it dries."
                                             : " Pilot lights, switches and telephones out of the room, also while it "
                                               "dries."),
         ""});
  answer.notes.push_back(
      {Severity::information,
       "Near the gun and in dead corners there is more vapour than these figures say. Planning help: "
       "local codes and licensed practice decide.",
       ""});
  return answer;
}

/// Airflow to breathe, beside the two demands it may be covered by.
std::string format_breathing(const AirAsked& asked, BenchUnits units) {
  const double m3_s = asked.breathing.value;
  if (!std::isfinite(m3_s)) return ", breathing can't be assessed";
  if (asked.face.value > 0 && m3_s <= asked.face.band.low) return ", breathing no more than the booth's face";
  if (m3_s <= asked.fire.value) return ", breathing no more than that";
  return ", breathing " + describe_flow(m3_s, units);
}

std::string format_room(const RoomAnswer& room, bool outdoors, BenchUnits units) {
  std::string text;
  if (!outdoors) {
    text = room.name +
           (std::isfinite(room.asked.fire.value) ? ": fire needs " + describe_flow(room.asked.fire.value, units)
                                                 : ": what fire needs can't be assessed") +
           format_breathing(room.asked, units);
    if (room.asked.face.value > 0)
      text += fmt::format(", the booth's face {} (at least {})", describe_flow(room.asked.face.value, units),
                          describe_flow(room.asked.face.band.low, units));
    text += ".\n";
  }
  const char* least = room.asked.missing.empty() ? "" : "at least ";
  return text + fmt::format(
                    "{}: at its highest {}{} of the explosive limit, {}{} times the breathing limit; over a day {}{} "
                    "times.\n",
                    room.name, least, show_rounded(room.peak_of_fire.value, Quantity::fraction, units), least,
                    two_figures(room.peak_of_limit.value), least, two_figures(room.day_of_limit.value));
}

std::string format_answer(const VentilateAnswer& a, BenchUnits units) {
  std::string text;
  for (const std::string& line : a.says) text += line + "\n";
  text += fmt::format("Solvent into the air: {}; lower explosive limit of the vapour {}.\n",
                      show_rounded(a.vapour_mass.value, Quantity::mass, units),
                      show_rounded(a.explosive_limit.value, Quantity::fraction, units));
  const bool outdoors = a.rooms.front().name == "outdoors", one_air = a.rooms.back().name != "drying room";
  for (const RoomAnswer& room : a.rooms)
    if (!one_air || &room == &a.rooms.front()) text += format_room(room, outdoors, units);
  text += "\nLimits used (the lowest known rules)\n";
  for (const LimitUsed& l : a.limits) {
    text += fmt::format("  {}, {}: {:.0f} ppm ({})", l.solvent, l.of, l.value_ppm, l.source);
    for (const std::string& other : l.others) text += "; " + other;
    text += "\n";
  }
  std::string cartridges;
  for (const CartridgeAnswer& c : a.cartridges)
    if (std::none_of(a.notes.begin(), a.notes.end(), [&](const Note& n) { return n.text == c.says; }))
      cartridges += "  " + c.solvent + ": " + c.says + "\n";
  text += (cartridges.empty() ? "" : "\nCartridges\n" + cartridges) + "\n";
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
              Work{.sprays = true}, ventilate, format_answer);
}

}  // namespace witnessline::app
