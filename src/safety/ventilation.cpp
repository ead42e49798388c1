#include "safety/ventilation.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "materials/in_words.h"
#include "solvents/vapour.h"

namespace witnessline::safety {

namespace {

constexpr double fire_share = 0.25;                     // cfr1910_94 (c)(6)(ii)
constexpr double ft_min = 0.3048 / 60.0;                // exact
constexpr double usual_crossdraught_m_s = 50 * ft_min;  // Table G-10, first row of each kind

std::optional<double> value_of(const Material& m, Property p) {
  const Datum* datum = m.find(p);
  if (!datum || !(datum->value > 0)) return std::nullopt;
  return datum->value;
}

std::optional<Datum> datum_of(const Material& m, Property p) {
  const Datum* datum = m.find(p);
  if (!datum || !(datum->value > 0)) return std::nullopt;
  return *datum;
}

Input input(const std::string& name, double value, Quantity quantity, Kind kind, const std::string& source) {
  return {name, value, quantity, kind, source};
}

Figure air(const std::string& name, const std::string& law, const std::string& source) {
  Figure f;
  f.name = name, f.law = law, f.source = source;
  f.quantity = Quantity::air_flow;
  f.kind = Kind::computed;
  return f;
}

Kind weaker(Kind a, Kind b) { return std::max(a, b); }

/// Air that keeps one vapour under its breathing limit [m3/s]. NaN: not known.
double breathing_air_m3_s(const VapourFlow& flow, double temperature_K, double mixing_factor) {
  const VapourFacts& of = flow.of;
  if (flow.liquid_m3_s <= 0 || of.harmless) return 0;
  if (!of.molar_mass_kg_mol || !of.density_kg_m3 || !of.breathing_limit)
    return std::numeric_limits<double>::quiet_NaN();
  return mixing_factor * flow.liquid_m3_s * vapour_per_liquid(*of.density_kg_m3, *of.molar_mass_kg_mol, temperature_K) /
         of.breathing_limit->value;
}

/// The largest demand rules; `at_least` takes what is known of each.
void rule(AirAsked& asked, double fire_m3_s, double breathing_m3_s, double face_m3_s) {
  asked.at_least.value = std::max({fire_m3_s, breathing_m3_s, face_m3_s});
  asked.ruled_by = asked.at_least.value == breathing_m3_s ? "breathing"
                   : asked.at_least.value == fire_m3_s    ? "fire"
                                                          : "face";
  asked.at_least.kind = asked.ruling.kind = weaker(asked.fire.kind, asked.breathing.kind);
  for (Figure* f : {&asked.at_least, &asked.ruling})
    f->inputs = {{"against fire", asked.fire.value, Quantity::air_flow, asked.fire.kind, ""},
                 {"to breathe", asked.breathing.value, Quantity::air_flow, asked.breathing.kind, ""},
                 {"into the booth", asked.face.value, Quantity::air_flow, asked.face.kind, ""}};
  if (asked.missing.empty()) asked.ruling.value = asked.at_least.value;
}

}  // namespace

std::string listed(const std::vector<std::string>& names) {
  const bool commas =
      std::any_of(names.begin(), names.end(), [](const std::string& n) { return n.find(',') != n.npos; });
  std::string text;
  for (std::size_t i = 0; i < names.size(); ++i)
    text += (i == 0 ? "" : i + 1 < names.size() ? (commas ? "; " : ", ") : commas ? "; and " : " and ") + names[i];
  return text;
}

std::string describe_missing(const std::vector<std::string>& missing) {
  std::vector<std::string> paints, others;
  for (const std::string& what : missing)
    if (what.starts_with(solvents_of))
      paints.push_back(what.substr(solvents_of.size()));
    else
      others.push_back(what);
  std::string text;
  if (!paints.empty())
    text = fmt::format("The solvents of {} are missing: enter them under [[contents]].", listed(paints));
  if (!others.empty()) text += fmt::format("{} {}.", text.empty() ? "Needed:" : " Also needed:", listed(others));
  return text;
}

std::vector<std::string> VapourFacts::missing() const {
  std::vector<std::string> all;
  if (harmless) return all;
  if (!molar_mass_kg_mol || !density_kg_m3) {
    all.push_back(std::string(solvents_of) + name);
    return all;
  }
  if (!explosive_limit) all.push_back("the lower explosive limit of " + name);
  if (!breathing_limit) all.push_back("a breathing limit of " + name);
  return all;
}

VapourFacts vapour_facts(const Material& m) {
  VapourFacts facts;
  facts.id = m.id, facts.name = short_name(m);
  facts.harmless = m.harmless_vapour;
  facts.passes_cartridges = m.passes_cartridges, facts.skin_notation = m.skin_notation;
  facts.danger_unpublished = m.none_published.contains(Property::danger_limit);
  facts.molar_mass_kg_mol = value_of(m, Property::molar_mass);
  facts.density_kg_m3 = value_of(m, Property::density);
  facts.boiling_point_K = value_of(m, Property::boiling_point);
  facts.flash_point_K = value_of(m, Property::flash_point);
  facts.autoignition_K = value_of(m, Property::autoignition);
  facts.explosive_limit = datum_of(m, Property::lower_explosive_limit);
  facts.breathing_limit = datum_of(m, Property::exposure_limit);
  facts.danger_limit = datum_of(m, Property::danger_limit);
  return facts;
}

double vapour_per_liquid(double density_kg_m3, double molar_mass_kg_mol, double temperature_K, double pressure_Pa) {
  return density_kg_m3 * gas_constant_J_molK * temperature_K / (molar_mass_kg_mol * pressure_Pa);
}

double mixed_explosive_limit(std::span<const double> vapour_share, std::span<const double> limit_share) {
  expects(vapour_share.size() == limit_share.size(), "one limit a vapour");
  double sum = 0;
  for (std::size_t i = 0; i < vapour_share.size(); ++i) sum += vapour_share[i] / limit_share[i];
  return 1.0 / sum;
}

double fire_dilution(double explosive_limit_share, double kept_below_share) {
  return (1.0 - explosive_limit_share) / (kept_below_share * explosive_limit_share);
}

double exposure_index(std::span<const double> concentration_share, std::span<const double> limit_share) {
  expects(concentration_share.size() == limit_share.size(), "one limit a vapour");
  double sum = 0;
  for (std::size_t i = 0; i < concentration_share.size(); ++i) sum += concentration_share[i] / limit_share[i];
  return sum;
}

double day_average(std::span<const double> concentration_share, std::span<const double> duration_s) {
  expects(concentration_share.size() == duration_s.size(), "one duration a concentration");
  double sum = 0;
  for (std::size_t i = 0; i < concentration_share.size(); ++i) sum += concentration_share[i] * duration_s[i];
  return sum / (8 * 3600.0);
}

std::optional<FaceSpeed> booth_face_speed(double crossdraught_m_s) {
  if (crossdraught_m_s <= usual_crossdraught_m_s * 1.001)
    return FaceSpeed{150 * ft_min, 125 * ft_min, 175 * ft_min, 100 * ft_min};
  if (crossdraught_m_s <= 100 * ft_min * 1.001)
    return FaceSpeed{200 * ft_min, 150 * ft_min, 250 * ft_min, 150 * ft_min};
  return std::nullopt;
}

std::optional<double> VapourMix::explosive_limit() const {
  if (!fire.complete() || !(fire.per_share > 0)) return std::nullopt;
  return 1 / fire.per_share;
}

VapourMix mix_of(std::span<const VapourFlow> flows, double temperature_K) {
  VapourMix mix;
  const auto add = [](OverLimit& over, const VapourFacts& of, double vapour_m3_s, const std::optional<double>& limit) {
    if (limit)
      over.per_share += vapour_m3_s / *limit;  // m3/s over a limit, until the end
    else
      over.unknown.push_back(of.name);
  };
  for (const VapourFlow& flow : flows) {
    const VapourFacts& of = flow.of;
    if (flow.liquid_m3_s <= 0 || of.harmless) continue;
    if (of.density_kg_m3) mix.mass_kg_s += flow.liquid_m3_s * *of.density_kg_m3;
    double vapour_m3_s = 0;
    const bool known = of.molar_mass_kg_mol && of.density_kg_m3;
    if (known) {
      vapour_m3_s = flow.liquid_m3_s * vapour_per_liquid(*of.density_kg_m3, *of.molar_mass_kg_mol, temperature_K);
      mix.vapour_m3_s += vapour_m3_s;
    }
    const auto limit = [&](const std::optional<Datum>& datum) {
      return known && datum ? std::optional(datum->value) : std::nullopt;
    };
    std::optional<double> danger = limit(of.danger_limit);
    if (known && !danger && of.danger_unpublished && of.explosive_limit) danger = 0.1 * of.explosive_limit->value;
    add(mix.fire, of, vapour_m3_s, limit(of.explosive_limit));
    add(mix.breathing, of, vapour_m3_s, limit(of.breathing_limit));
    add(mix.danger, of, vapour_m3_s, danger);
  }
  for (OverLimit* over : {&mix.fire, &mix.breathing, &mix.danger})
    over->per_share = mix.vapour_m3_s > 0 ? over->per_share / mix.vapour_m3_s : 0.0;
  return mix;
}

double captured_in_booth(const Room& room) {
  if (room.outdoors) return open_air_captures;
  const bool booth = room.booth_face_m2.value_or(0) > 0;
  return booth && booth_face_speed(room.crossdraught_m_s.value_or(usual_crossdraught_m_s)) ? booth_captures : 0.0;
}

double captured_share(const Room& room, std::optional<double> fan_m3_s) {
  const double captured = captured_in_booth(room);
  if (room.outdoors || captured == 0) return captured;
  const FaceSpeed speed = *booth_face_speed(room.crossdraught_m_s.value_or(usual_crossdraught_m_s));
  return fan_m3_s && *fan_m3_s >= *room.booth_face_m2 * speed.least_m_s ? captured : 0.0;
}

AirAsked air_asked(std::span<const VapourFlow> flows, const Room& room, double temperature_K, bool booth) {
  AirAsked asked;
  asked.fire =
      air("air against fire", "vapour flow x (1 - LEL) / (0.25 LEL), LEL of the mixture by Le Chatelier", "cfr1910_94");
  asked.breathing = air(
      "air to breathe",
      "mixing factor x sum of vapour flow over its lowest breathing limit, less what a booth captures", "cfr1910_1000");
  asked.face = air("air into the booth", "open face x air speed", "cfr1910_94");
  asked.ruling = air("air asked for", "the largest of the three demands", "cfr1910_94");
  asked.at_least = air("air asked for at least", "the largest demand among what is known", "cfr1910_94");

  const double captured = booth ? captured_in_booth(room) : 0.0, escaped = 1 - captured;
  const double mixing = mixing_of(room, captured > 0);
  double fire_m3_s = 0, breathing_m3_s = 0, known_m3_s = 0;  // parts that are known
  bool fire = true, breathing = true;
  std::vector<double> vapour, limits;
  for (const VapourFlow& flow : flows) {
    const VapourFacts& of = flow.of;
    if (flow.liquid_m3_s <= 0 || of.harmless) continue;
    for (const std::string& what : of.missing())
      if (std::find(asked.missing.begin(), asked.missing.end(), what) == asked.missing.end())
        asked.missing.push_back(what);
    if (!of.molar_mass_kg_mol || !of.density_kg_m3) {
      fire = breathing = false;
      continue;
    }
    const double m3_s = flow.liquid_m3_s * vapour_per_liquid(*of.density_kg_m3, *of.molar_mass_kg_mol, temperature_K);
    if (of.explosive_limit) {
      vapour.push_back(m3_s), limits.push_back(of.explosive_limit->value), known_m3_s += m3_s;
      asked.fire.inputs.push_back(input("vapour of " + of.name, m3_s, Quantity::air_flow, Kind::computed, ""));
      asked.fire.inputs.push_back(input("lower explosive limit of " + of.name, of.explosive_limit->value,
                                        Quantity::fraction, of.explosive_limit->kind, of.explosive_limit->source));
      asked.fire.kind = weaker(asked.fire.kind, of.explosive_limit->kind);
    } else {
      fire = false;
    }
    if (of.breathing_limit) {
      breathing_m3_s += escaped * breathing_air_m3_s(flow, temperature_K, mixing);
      asked.breathing.inputs.push_back(input("vapour of " + of.name, m3_s, Quantity::air_flow, Kind::computed, ""));
      asked.breathing.inputs.push_back(input("lowest breathing limit of " + of.name + ", parts in a million",
                                             of.breathing_limit->value * 1e6, Quantity::ratio, of.breathing_limit->kind,
                                             of.breathing_limit->source));
      asked.breathing.kind = weaker(asked.breathing.kind, of.breathing_limit->kind);
    } else {
      breathing = false;
    }
  }
  asked.breathing.inputs.push_back(input(room.mixing_factor ? "mixing factor"
                                         : captured > 0     ? "mixing factor, the best of 3 to 10"
                                                            : "mixing factor, the worst of 3 to 10",
                                         mixing, Quantity::ratio, room.mixing_factor ? Kind::estimate : Kind::memory,
                                         "acgih_ventilation"));
  if (escaped < 1)
    asked.breathing.inputs.push_back(
        input(room.outdoors ? "share that escapes in the open" : "share that escapes a booth", escaped,
              Quantity::fraction, Kind::estimate, "estimate"));
  if (known_m3_s > 0) {
    for (double& v : vapour) v /= known_m3_s;
    fire_m3_s = known_m3_s * fire_dilution(mixed_explosive_limit(vapour, limits), fire_share);
  }
  if (fire) asked.fire.value = fire_m3_s;
  if (breathing) asked.breathing.value = breathing_m3_s;

  std::optional<double> face_m3_s;
  if (!booth || room.outdoors || (room.booth_face_m2 && *room.booth_face_m2 == 0)) {
    face_m3_s = 0;
    asked.face.law = booth ? "no booth: its face asks nothing" : "drying: no booth's face is worked at";
  } else if (!room.booth_face_m2) {
    asked.missing.push_back("the open face of the booth (booth_face_m2; 0 where there is none)");
  } else if (const auto speed = booth_face_speed(room.crossdraught_m_s.value_or(usual_crossdraught_m_s))) {
    face_m3_s = *room.booth_face_m2 * speed->design_m_s;
    asked.face.band = {*room.booth_face_m2 * speed->least_m_s, *room.booth_face_m2 * speed->high_m_s};
    asked.face.inputs = {input("open face", *room.booth_face_m2, Quantity::area, Kind::measured, ""),
                         input("air speed for a small booth, ft/min", speed->design_m_s / ft_min, Quantity::ratio,
                               Kind::published, "cfr1910_94")};
  } else {
    asked.missing.push_back("a cross-draught at the booth below 0.51 m/s: above that spraying is not permitted");
  }
  if (face_m3_s) asked.face.value = *face_m3_s;

  rule(asked, fire_m3_s, breathing_m3_s, face_m3_s.value_or(0));
  return asked;
}

AirAsked with_breathing(AirAsked asked, double breathing_m3_s, const std::string& law) {
  const auto known = [](const Figure& f) { return std::isfinite(f.value) ? f.value : 0.0; };
  asked.breathing.value = breathing_m3_s, asked.breathing.law = law;
  rule(asked, known(asked.fire), known(asked.breathing), known(asked.face));
  return asked;
}

}  // namespace witnessline::safety
