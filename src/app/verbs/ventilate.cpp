#include "app/verbs/ventilate.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "safety/spraying.h"

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

struct Airing {
  std::string name;
  std::span<const VapourFlow> flows;
  std::span<const Release> releases;
  double fan_m3_s, volume_m3, shown_s, sprayed_until_s;
  bool booth;
  std::string poison;
};

RoomAnswer answer_of(const Airing& airing, const VentilateRequest& asked, const VapourMix& mix,
                     VentilateAnswer& answer) {
  RoomAnswer room;
  room.name = airing.name;
  room.asked = air_asked(airing.flows, asked.room, asked.temperature_K, airing.booth);
  room.fan = figure("air the fan moves", airing.fan_m3_s, Quantity::air_flow, "", "", Kind::measured);
  const double mixing = asked.room.mixing_factor.value_or(worst_mixing_factor);
  const AirRecord record = air_record(airing.releases, mix, airing.fan_m3_s, airing.volume_m3, mixing, airing.shown_s);
  const auto over = [&](const char* name, double share, std::optional<double> per_share, const char* law) {
    return figure(name, per_share ? share * *per_share : std::numeric_limits<double>::quiet_NaN(), Quantity::ratio, law,
                  "acgih_ventilation", Kind::estimate);
  };
  const auto per_fire = mix.explosive_limit ? std::optional(1 / *mix.explosive_limit) : std::nullopt;
  room.peak_of_fire = over("highest vapour over the explosive limit", record.peak_room_share, per_fire,
                           "V dC/dt = G - Q C, over the limit of the mixture by Le Chatelier");
  room.peak_of_limit = over("highest vapour breathed over its limit", record.peak_breathing_share, mix.index_per_share,
                            "V dC/dt = G - (Q / mixing factor) C; sum of C over limit");
  room.day_of_limit = over("vapour breathed over a day over its limit", record.breathing_day_share, mix.index_per_share,
                           "mean over 8 h of the same");
  room.clear = figure("until the air may be breathed",
                      record.clear_s ? std::max(0.0, *record.clear_s - airing.sprayed_until_s)
                                     : std::numeric_limits<double>::quiet_NaN(),
                      Quantity::duration, "V dC/dt = G - (Q / mixing factor) C until sum of C over limit is 1",
                      "acgih_ventilation", Kind::estimate);
  const auto curve = [&](const char* what, const std::vector<double>& share) {
    Curve c{airing.name + ": " + what, "time [min]", "vapour [ppm]", {}, {}};
    for (std::size_t i = 0; i < share.size(); ++i) c.x.push_back(record.time_s[i] / 60), c.y.push_back(share[i] * 1e6);
    return c;
  };
  answer.curves.push_back(curve("well mixed", record.room_share));
  answer.curves.push_back(curve("where people breathe", record.breathing_share));
  const std::vector<CartridgeAnswer> cartridges =
      cartridges_for(airing.flows, asked.temperature_K, record.peak_breathing_share);
  if (airing.booth) answer.cartridges = cartridges;
  room.verdict = verdict_of(
      room.asked, airing.fan_m3_s,
      {asked.room.respirator.value_or(Respirator::none), all_hold(cartridges), !airing.booth, !airing.poison.empty()});
  return room;
}

/// A material's own cautions as notes, and first of all that it is not to be sprayed.
void warn_of(const Material& m, std::string& poison, VentilateAnswer& answer) {
  if (const std::string held = poison_of_mist(m); !held.empty()) {
    if (poison.find(held) == poison.npos) poison += (poison.empty() ? "" : ", ") + held;
    const std::string told = fmt::format("Do not spray {}: {}", m.name, mist_told(held));
    answer.says.push_back(told);
    answer.notes.push_back({Severity::danger, told, m.id});
  }
  if (m.binder == Binder::catalysed)
    answer.says.push_back(fmt::format(
        "{} gives off formaldehyde for weeks while it cures, and the air worked out here does not count it: "
        "air the drying room all that time, and nobody stays in it.",
        m.name));
  for (const std::string& caution : m.cautions) {
    const auto said = std::find_if(answer.notes.begin(), answer.notes.end(),
                                   [&](const Note& n) { return n.text.find(caution) != n.text.npos; });
    if (said != answer.notes.end()) continue;
    const bool poisonous = names_poison(caution);
    answer.notes.push_back({poisonous ? Severity::danger : Severity::caution, m.name + ": " + caution, ""});
  }
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
  for (const SprayedPart& part : asked.sprayed) warn_of(*asking.library.find(part.material), poison, answer);
  const VapourMix mix = mix_of(spraying.flows, asked.temperature_K);
  const bool moved = asked.room.drying_volume_m3.has_value();
  const Releases releases = releases_of(spraying, mix.vapour_m3_s, moved);
  const std::vector<VapourFlow> drying = drying_flows(spraying);
  const double gun_s = asked.coats * asked.coat_s, end_s = spraying.end_s(), after_s = 6 * asked.fade_s;

  answer.rooms.push_back(answer_of({"spraying room", spraying.flows, releases.spraying, *asked.room.fan_m3_s,
                                    *asked.room.volume_m3, end_s + after_s, end_s, true, poison},
                                   asked, mix, answer));
  answer.rooms.push_back(moved ? answer_of({"drying room", drying, releases.drying, *asked.room.drying_fan_m3_s,
                                            *asked.room.drying_volume_m3, after_s, 0, false, poison},
                                           asked, mix, answer)
                               : answer_of({"the same room, drying", drying, releases.spraying, *asked.room.fan_m3_s,
                                            *asked.room.volume_m3, end_s + after_s, end_s, false, poison},
                                           asked, mix, answer));
  if (!moved) answer.curves.resize(2);  // one room, one pair of lines

  const bool all_known = mix.complete();
  answer.vapour_mass = figure("solvent into the air", mix.mass_kg_s * gun_s, Quantity::mass,
                              "rate x time of the gun x what evaporates", "", Kind::estimate);
  answer.vapour_volume =
      figure("the same as vapour", all_known ? mix.vapour_m3_s * gun_s : std::numeric_limits<double>::quiet_NaN(),
             Quantity::film_volume, "rho R T / (M p) a volume of liquid", "cfr1910_94", Kind::computed);
  answer.explosive_limit =
      figure("lower explosive limit of the mixed vapour",
             mix.explosive_limit.value_or(std::numeric_limits<double>::quiet_NaN()), Quantity::fraction,
             "Le Chatelier: 1 / sum(y / LEL), the lowest published LEL of each", "crowl2001", Kind::published);
  for (const VapourFlow& f : spraying.flows) {
    const Material& m = *asking.library.find(f.of.id);
    if (f.of.harmless) continue;
    if (f.of.explosive_limit)
      answer.limits.push_back(limit_used(m, Property::lower_explosive_limit, "explosion", *f.of.explosive_limit));
    if (f.of.breathing_limit)
      answer.limits.push_back(limit_used(m, Property::exposure_limit, "breathing", *f.of.breathing_limit));
    if (const std::string source = skin_notation(f.of.id); !source.empty())
      answer.notes.push_back({Severity::caution,
                              f.of.name + " goes through the skin in amounts that count (" + source +
                                  "): gloves that resist it, sleeves, no bare hands in the cup.",
                              f.of.id});
  }

  if (!all_hold(answer.cartridges) && asked.room.respirator != Respirator::supplied_air)
    answer.notes.push_back({Severity::danger,
                            "Cartridges cannot be relied on for all that is sprayed, so none is credited: see "
                            "cartridges.",
                            ""});

  for (const RoomAnswer& room : answer.rooms) {
    const auto air = [&](const Figure& f) { return show(f.value, Quantity::air_flow, asking.units); };
    const std::string face = &room != &answer.rooms.front() ? ""
                             : room.asked.face.value == 0
                                 ? ", and there is no booth"
                                 : fmt::format(", the booth's face for {}", air(room.asked.face));
    answer.says.push_back(fmt::format("{}: fire asks for {}, breathing for {}{}.", room.name, air(room.asked.fire),
                                      air(room.asked.breathing), face));
    const std::string moved_text = air(room.fan);
    switch (room.verdict) {
      case AirVerdict::not_known:
        answer.says.push_back(
            fmt::format("{}: not known, so not safe to say. The fan moves {}, at least {} is asked for.", room.name,
                        moved_text, air(room.asked.at_least)));
        break;
      case AirVerdict::do_not_spray:
        answer.says.push_back(fmt::format("{}: no air is enough for what is sprayed: it holds {}.", room.name, poison));
        break;
      case AirVerdict::enough:
        answer.says.push_back(
            fmt::format("{}: {} rules; the fan's {} are enough.", room.name, room.asked.ruled_by, moved_text));
        break;
      case AirVerdict::enough_with_respirator:
        answer.says.push_back(fmt::format(
            "{}: breathing rules; the fan's {} are enough against fire, and the respirator is credited with the rest.",
            room.name, moved_text));
        break;
      case AirVerdict::enough_with_nobody_in:
        answer.says.push_back(
            fmt::format("{}: breathing rules; the fan's {} are enough against fire, nobody is to be in it.", room.name,
                        moved_text));
        break;
      case AirVerdict::too_little:
        answer.says.push_back(
            fmt::format("{}: {} rules; the fan's {} are too little.", room.name, room.asked.ruled_by, moved_text));
        break;
    }
    for (const std::string& what : room.asked.missing)
      answer.notes.push_back({Severity::danger, "Not known, so not safe to say: " + what + ".", room.name});
    if (room.verdict == AirVerdict::too_little)
      answer.notes.push_back(
          {Severity::danger,
           fmt::format("Too little air: {} asked for, {} moved. Spray slower, elsewhere, or with more "
                       "air.",
                       air(room.asked.at_least), air(room.fan)),
           room.name});
    if (room.peak_of_fire.value > 0.25)
      answer.notes.push_back({Severity::danger, "Vapour passes a quarter of its explosive limit.", room.name});
    if (std::isfinite(room.clear.value) && room.clear.value > 0)
      answer.says.push_back(fmt::format("{}: the air may be breathed {} after spraying ends.", room.name,
                                        show(room.clear.value, Quantity::duration, asking.units)));
  }
  if (mix.danger_per_share)
    for (const RoomAnswer& room : answer.rooms) {
      const double peak = room.peak_of_limit.value / mix.index_per_share.value_or(1) * *mix.danger_per_share;
      if (peak > 1)
        answer.notes.push_back(
            {Severity::danger,
             "Vapour where people breathe passes what is immediately dangerous to life: supplied air "
             "only, and nobody alone.",
             room.name});
    }
  if (!asked.room.mixing_factor)
    answer.notes.push_back({Severity::information, "No mixing factor was given: 10, the worst of 3 to 10, is taken.",
                            "room.mixing_factor"});
  answer.notes.push_back(
      {Severity::caution,
       "Fan and lamps fit for explosive vapour; pilot lights, heaters, switches, telephones and tools "
       "that spark out of the room, also while it dries.",
       ""});
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
  for (const RoomAnswer& room : a.rooms)
    text += fmt::format(
        "{}: at its highest {} of the explosive limit, {} times the breathing limit; over a day {} times.\n", room.name,
        show(room.peak_of_fire.value, Quantity::fraction, units),
        show(room.peak_of_limit.value, Quantity::ratio, units), show(room.day_of_limit.value, Quantity::ratio, units));
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
  return verb("ventilate", "How much fresh air spraying and drying ask for, against what the fan moves", ventilate,
              told);
}

}  // namespace witnessline::app
