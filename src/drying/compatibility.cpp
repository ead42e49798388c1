#include "drying/compatibility.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "base/chance.h"
#include "base/random.h"
#include "numerics/statistics.h"

namespace witnessline::drying {

namespace {

/// Cross-links of a film per volume of dry film [mol/m3]. ESTIMATE, chosen so that young oil films crease under lacquer
/// and cured two-pack films do not (common practice); an oil film goes on linking for years (time 2 a, ESTIMATE).
std::optional<double> network_mol_m3(Binder binder, double age_s) {
  const double linked = 1 - std::exp(-age_s / (2 * 365.25 * 86400));
  switch (binder) {
    case Binder::oil_varnish:
      return 150 + 950 * linked;
    case Binder::alkyd:
      return 180 + 1020 * linked;
    case Binder::polyurethane:
      return 2500;
    case Binder::two_pack_polyurethane:
      return 3500;
    case Binder::polyester:
      return 4000;
    case Binder::catalysed:
      return 3500;
    case Binder::water_borne:
      return 400;
    default:
      return std::nullopt;
  }
}

double molar_volume_m3_mol(const Material& solvent) {
  if (const Datum* v = solvent.find(Property::molar_volume)) return v->value;
  const Datum *mass = solvent.find(Property::molar_mass), *density = solvent.find(Property::density);
  return mass && density ? mass->value / density->value : 100e-6;
}

struct Moment {
  double time_s;
  Hansen blend;
  double molar_volume_m3_mol;
};
struct Wetness {
  std::vector<Moment> moments;
  double wet_s = 0;
};

/// The blend over the old coat until a tenth of it is left: what is bound in the resin then no longer acts as a liquid.
Result<Wetness> wetness(const FreshCoat& fresh, const Airflow& air) {
  constexpr double until_left = 0.1;
  const CarrierBlend& c = fresh.carrier;
  std::vector<Hansen> hansens;
  std::vector<Note> stood_in;  // the verb says these
  Result<std::vector<Volatile>> volatiles = volatiles_of(c, "", stood_in);
  if (!volatiles) return volatiles.errors();
  for (const Material* solvent : c.solvents) {
    const std::optional<Hansen> h = hansen_of(*solvent);
    if (!h) return Error{fmt::format("'{}' has no Hansen parameters", solvent->id), {}, "", "add them to its data"};
    hansens.push_back(*h);
  }
  const auto blend = [&](double time_s, const std::vector<double>& fractions) {
    Moment m{time_s, {}, 0};
    std::vector<HansenPart> parts;
    for (std::size_t i = 0; i < fractions.size(); ++i) {
      parts.push_back({hansens[i], fractions[i]});
      m.molar_volume_m3_mol += fractions[i] * molar_volume_m3_mol(*c.solvents[i]);
    }
    m.blend = hansen_of_blend(parts);
    return m;
  };
  WetFilm film{{}, fresh.film_m};
  for (const double f : c.volume_fraction) film.solvent_m.push_back(f * fresh.solvent_m);
  const Solution solution(std::move(*volatiles), film_former_of(*fresh.film), air.temperature_K);
  const EvaporationRun run = evaporate(solution, film, air, until_left);
  Wetness out;
  for (const EvaporationMoment& m : run.moments) out.moments.push_back(blend(m.time_s, m.volume_fraction));
  out.wet_s = out.moments.empty() ? 0 : out.moments.back().time_s;
  return out;
}

struct Sphere {
  Hansen centre;
  double radius = 0;
};

/// Time with the blend inside the sphere [s], and the least distance over the radius on the way.
std::pair<double, double> inside(const Wetness& wet, const Sphere& sphere) {
  double soft_s = 0, least = 1e9;
  for (std::size_t i = 0; i < wet.moments.size(); ++i) {
    const double distance = hansen_distance(sphere.centre, wet.moments[i].blend) / sphere.radius;
    least = std::min(least, distance);
    if (i + 1 < wet.moments.size() && distance < 1) soft_s += wet.moments[i + 1].time_s - wet.moments[i].time_s;
  }
  return {soft_s, least};
}

// ESTIMATE: see compatibility().
constexpr double soluble_m2_s = 1e-13, network_m2_s = 3e-14, log_sd_of_diffusivity = 1.1;
constexpr double shallowest_bite_m = 0.2e-6, skin_m = 1e-6, through_fraction = 0.8;
constexpr double crease_ratio = 2.4, crease_sd = 0.2;  // Source: hong2009
constexpr double log_sd_of_network = 0.4;
constexpr int draws = 200;

/// Largest swelling once the solvent has gone through a skin deep enough to crease.
double most_swelling(const Wetness& wet, const Sphere& sphere, double network, double spreading_m2_s,
                     double temperature_K) {
  double least_chi = 1e9, volume = 1e-4;
  for (const Moment& m : wet.moments) {
    if (std::sqrt(2 * spreading_m2_s * m.time_s) < skin_m) continue;
    const double chi = chi_of_distance(hansen_distance(sphere.centre, m.blend), m.molar_volume_m3_mol, temperature_K);
    if (chi < least_chi) least_chi = chi, volume = m.molar_volume_m3_mol;
  }
  return least_chi < 1e9 ? held_swelling_ratio(least_chi, network, volume) : 1.0;
}

double value_or(const Material& m, Property p, double otherwise) {
  const Datum* d = m.find(p);
  return d ? d->value : otherwise;
}

/// Chances turned into a word. Whether it bites is known only where the sphere's own doubt leaves 15 % or less.
Meeting computed_meeting(double bites, double lifts) {
  constexpr double doubt = 0.15;
  if (lifts >= 0.7) return Meeting::lifts_or_crazes;
  if (lifts >= doubt) return Meeting::unknown;
  if (bites >= 1 - doubt) return Meeting::bites_in;
  return bites <= doubt ? Meeting::sits_on_top : Meeting::unknown;
}

/// Two witnesses: a warning of practice always holds; what both say holds; a harmless difference takes the weaker bond;
/// where only the laws warn, nobody knows.
Meeting together(Meeting computed, const std::optional<Practice>& practice) {
  if (!practice) return computed;
  const Meeting shown_text = practice->meeting;
  if (shown_text == Meeting::lifts_or_crazes || shown_text == computed || computed == Meeting::unknown)
    return shown_text;
  if (shown_text == Meeting::unknown) return computed == Meeting::lifts_or_crazes ? computed : Meeting::unknown;
  return computed == Meeting::lifts_or_crazes ? Meeting::unknown : Meeting::sits_on_top;
}

/// "4 s" or "76 min"
std::string time_in_words(double s) { return s < 90 ? fmt::format("{:.0f} s", s) : fmt::format("{:.0f} min", s / 60); }

std::string distance_sentence(const Compatibility& c) {
  const std::string distance =
      fmt::format("solubility distance {:.1f}, likely {:.1f} to {:.1f}: below 1 they dissolve it",
                  c.least_distance_ratio, c.distance_band.low, c.distance_band.high);
  if (c.computed == Meeting::unknown)
    return fmt::format("It is too close to call whether its solvents soften the old film ({}).", distance);
  if (c.softened_s <= 0)
    return fmt::format("Its solvents do not soften the old film in the {} it lies wet ({}).", time_in_words(c.wet_s),
                       distance);
  return fmt::format("Its solvents soften the old film for {} of the {} it lies wet ({}).", time_in_words(c.softened_s),
                     time_in_words(c.wet_s), distance);
}

bool spirit(Binder b) { return b == Binder::shellac || b == Binder::spirit_varnish; }

void say_what_to_do(Compatibility& c, const FreshCoat& fresh, const OldCoat& old) {
  // Shellac ties what it neither is itself nor melts; otherwise the way out is another finish or a drier coat.
  const bool tie = !spirit(fresh.film->binder) && !spirit(old.film->binder);
  if (old.film->contains(Harmful::lead) || old.film->contains(Harmful::chromate)) {  // nothing here may make dust of it
    c.test =
        "Test it for lead and chromate first, down to the wood. Then spray a wet spot where it does not show, without "
        "scuffing, and look again after a day and after a cold night.";
    c.rescue =
        "If it wrinkles, crazes or peels: stop and touch nothing wet. No sanding, scraping or heat: what must come off "
        "comes off wet. The slurry is hazardous waste; follow your local rules.";
    return;
  }
  switch (c.verdict) {
    case Meeting::bites_in:
      c.test = "Spray a spot where it does not show, as wet as it will be; next day do a cross-cut tape test.";
      c.rescue =
          "If it sags or draws colour: stop, let it dry a week, level it, and go on in thin coats with flash time "
          "between.";
      break;
    case Meeting::sits_on_top:
      c.test = "Scuff a spot, spray it, wait a week, then do a cross-cut tape test.";
      c.rescue =
          fmt::format("If it peels: take the new coat off mechanically, wash, scuff with P400 to P600, and apply a {}.",
                      tie ? "tie coat of dewaxed shellac first" : "fresh spot before anything else");
      break;
    case Meeting::lifts_or_crazes:
    case Meeting::unknown:
      c.test =
          "Spray a full wet spot where it does not show, watch it for half an hour, look again after a day and after "
          "a cold night.";
      c.rescue =
          fmt::format("If it wrinkles or crazes: stop, touch nothing wet, let it harden for weeks, level it; then {}.",
                      tie ? "seal with two thin coats of dewaxed shellac and go on in mist coats"
                          : "go on in mist coats on a fresh spot, or choose another finish");
      break;
  }
  if (spirit(old.film->binder) && !spirit(fresh.film->binder))
    c.reasons.emplace_back(
        "Spirit and damp cloths harm what is below: no alcohol wash here, and no more shellac between without a "
        "spot.");
}

}  // namespace

double held_swelling_ratio(double chi, double network, double molar_volume_m3_mol) {
  const auto out_of_balance = [&](double ratio) {
    const double f = 1 / ratio;
    return std::log1p(-f) + f + chi * f * f + network * molar_volume_m3_mol * (ratio - f);
  };
  double low = 1 + 1e-12, high = 2;  // wholly dry: minus infinity
  while (out_of_balance(high) < 0 && high < 1e6) high *= 2;
  for (int halving = 0; halving < 80; ++halving) {
    const double middle = 0.5 * (low + high);
    (out_of_balance(middle) < 0 ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

double chi_of_distance(double ra_Pa05, double molar_volume_m3_mol, double temperature_K) {
  return hansen_scale * molar_volume_m3_mol * ra_Pa05 * ra_Pa05 / (4 * gas_constant_J_molK * temperature_K);
}

double channel_crack_g(double alpha) {
  struct At {
    double alpha, g;
  };
  constexpr std::array table{At{-0.99, 0.7117}, At{-0.8, 0.7805}, At{-0.6, 0.8654}, At{-0.4, 0.9676},
                             At{-0.1, 1.1703},  At{0, 1.2578},    At{0.2, 1.4809},  At{0.4, 1.8123},
                             At{0.6, 2.3811},   At{0.7, 2.8733},  At{0.9, 5.709}};
  if (alpha <= table.front().alpha) return table.front().g;
  for (std::size_t i = 1; i < table.size(); ++i)
    if (alpha <= table[i].alpha) {
      const At &a = table[i - 1], &b = table[i];
      return a.g + (b.g - a.g) * (alpha - a.alpha) / (b.alpha - a.alpha);
    }
  return table.back().g;
}

Result<Compatibility> compatibility(const FreshCoat& fresh, const OldCoat& old, const Airflow& air) {
  const std::optional<Hansen> centre = hansen_of(*old.film);
  const Datum* radius = old.film->find(Property::hansen_radius);
  if (!centre || !radius)
    return Error{
        fmt::format("'{}' has no Hansen sphere", old.film->id), {}, "", "add it to its data, or test on scrap"};
  const Result<Wetness> wet = wetness(fresh, air);
  if (!wet) return wet.errors();

  Compatibility c;
  c.practice = common_practice(fresh.film->binder, old.film->binder, old.age_s, old.film->role);
  c.wet_s = wet->wet_s;
  const Sphere sphere{*centre, radius->value};
  std::tie(c.softened_s, c.least_distance_ratio) = inside(*wet, sphere);
  const std::optional<double> network = network_mol_m3(old.film->binder, old.age_s);
  c.network = network.has_value();
  c.bite_m = c.network ? 0 : std::min(old.thickness_m, std::sqrt(2 * soluble_m2_s * c.softened_s));
  if (network) c.swelling_ratio = most_swelling(*wet, sphere, *network, network_m2_s, air.temperature_K);

  std::vector<double> bites_m, swellings, distances;
  const Datum *d = old.film->find(Property::hansen_d), *p = old.film->find(Property::hansen_p),
              *h = old.film->find(Property::hansen_h);
  for (std::uint64_t i = 0; i < draws; ++i) {
    const Key key = Key{i}.with("compatibility");
    const auto draw = [&](const Datum& of, std::uint64_t n) { return of.value + of.sd * normal(key.with(n)); };
    const Sphere drawn{{draw(*d, 1), draw(*p, 2), draw(*h, 3)}, std::max(1e3, draw(*radius, 4))};
    const double spread = std::exp(log_sd_of_diffusivity * normal(key.with(5)));
    const auto [soft_s, least] = inside(*wet, drawn);
    distances.push_back(least);
    if (network) {
      const double ratio = most_swelling(*wet, drawn, *network * std::exp(log_sd_of_network * normal(key.with(6))),
                                         network_m2_s * spread, air.temperature_K);
      swellings.push_back(ratio);
      c.chance_lifts += (ratio > crease_ratio + crease_sd * normal(key.with(7))) / static_cast<double>(draws);
    } else {
      const double bite_m = std::sqrt(2 * soluble_m2_s * spread * soft_s);
      bites_m.push_back(std::min(bite_m, old.thickness_m));
      c.chance_bites += (bite_m > shallowest_bite_m) / static_cast<double>(draws);
      c.chance_lifts += (bite_m > through_fraction * old.thickness_m) / static_cast<double>(draws);
    }
  }
  c.distance_band = central_band(distances);
  if (network)
    c.swelling_band = central_band(swellings);
  else
    c.bite_band_m = central_band(bites_m);

  const double fresh_Pa = value_or(*fresh.film, Property::modulus, 1.5e9),
               old_Pa = value_or(*old.film, Property::modulus, 1.5e9);
  c.stiffness_gain = channel_crack_g((fresh_Pa - old_Pa) / (fresh_Pa + old_Pa)) / channel_crack_g(0);
  c.mismatch_strain =
      30 * (value_or(*fresh.film, Property::expansion, 1e-4) - value_or(*old.film, Property::expansion, 1e-4));

  c.computed = computed_meeting(c.chance_bites, c.chance_lifts);
  c.verdict = together(c.computed, c.practice);
  if (c.network)
    c.reasons.push_back(
        fmt::format("The old film is a network: it swells to {:.1f} times its thickness at most and "
                    "creases at about {:.1f}; chance of lifting {}.",
                    c.swelling_ratio, crease_ratio, in_a_hundred(c.chance_lifts)));
  else
    c.reasons.push_back(distance_sentence(c));
  if (c.stiffness_gain > 1.5)
    c.reasons.push_back(
        fmt::format("Hard over soft: a crack in the new coat is driven {:.1f} times as hard as on a "
                    "ground of its own stiffness; keep the build thin.",
                    c.stiffness_gain));
  if (c.practice && c.practice->meeting != c.computed && c.computed != Meeting::unknown)
    c.reasons.emplace_back(
        c.practice->meeting == Meeting::lifts_or_crazes
            ? "Common practice warns against it, and outweighs the calculation."
        : c.practice->meeting == Meeting::unknown ? "At the bench it has gone either way: only a spot decides."
        : c.verdict == Meeting::unknown ? "The calculation and common practice disagree: only a spot test decides."
                                        : "The calculation and common practice differ; the safer one is taken.");
  else if (c.practice && c.computed == Meeting::unknown && c.verdict != Meeting::unknown)
    c.reasons.emplace_back("The calculation is inconclusive; common practice decides.");
  say_what_to_do(c, fresh, old);
  return c;
}

}  // namespace witnessline::drying
