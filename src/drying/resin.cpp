#include "drying/resin.h"

#include <algorithm>
#include <cmath>

#include "drying/belief.h"
#include "solvents/hansen.h"

namespace witnessline::drying {

namespace {
// Source: williams1955.
constexpr double wlf_c1 = 17.44, wlf_c2_K = 51.6;
constexpr double ln10 = 2.302585092994046;
constexpr double free_at_transition = 1.0 / (ln10 * wlf_c1), free_per_K = free_at_transition / wlf_c2_K;
constexpr double log_viscosity_at_transition = 12.0;
constexpr double assumed_transition_K = 318.15, assumed_density_kg_m3 = 1200.0;  // ESTIMATE
constexpr double butyl_acetate_m3_mol = 116.16e-3 / 882.5;  // Source: iupac2021, crc_handbook, at 20 degC
constexpr double nearly_dry_kept_to_mobile = 30;            // see mobile_share()
constexpr double least_free_volume = 0.005;  // keeps 1/f finite far below Tg, where nothing moves in any case

/// Its molecules bear a hydroxyl group; water bears two.
bool donates_hydrogen_bonds(SolventFamily family) {
  return family == SolventFamily::alcohol || family == SolventFamily::glycol_ether ||
         family == SolventFamily::keto_alcohol || family == SolventFamily::water;
}
}  // namespace

Result<FilmSolvent> film_solvent_of(const Material& material) {
  Result<Volatile> made = volatile_of(material);
  if (!made) return made.errors();
  return FilmSolvent{std::move(*made)};
}

bool cross_linked(Binder b) {
  return b == Binder::polyurethane || b == Binder::two_pack_polyurethane || b == Binder::polyester ||
         b == Binder::catalysed || b == Binder::oil_varnish || b == Binder::alkyd || b == Binder::water_borne;
}

Resin partly_cured(Resin resin, double part) {
  constexpr double softer_K = 60;
  resin.glass_transition_K -= softer_K * (1 - part), resin.crosslinks_mol_m3 *= part;
  return resin;
}

Resin resin_of(const Material& material, const FilmSolvent& solvent) {
  Resin made;
  const auto value = [&](Property property, double otherwise) {
    const Datum* datum = material.find(property);
    return datum ? datum->value : otherwise;
  };
  made.transition_assumed = !material.find(Property::glass_transition);
  made.glass_transition_K = value(Property::glass_transition, assumed_transition_K);
  made.dry_density_kg_m3 = value(Property::dry_density, assumed_density_kg_m3);
  if (const std::optional<double> red = relative_energy_difference(material, solvent.of.hansen))
    made.interaction = std::min(3.0, 0.5 * *red * *red);
  const BinderDrying practice = drying_of(material.binder);
  if (donates_hydrogen_bonds(solvent.of.family)) made.hold = practice.hold;
  if (const Datum* datum = material.find(Property::glass_transition))
    made.glass_transition_K += practice.transition_sds * datum->sd;
  if (cross_linked(material.binder)) made.crosslinks_mol_m3 = 1000.0;
  return made;
}

double glass_transition_K(double solvent_mass_fraction, double resin_K, double solvent_K) {
  return 1.0 / (solvent_mass_fraction / solvent_K + (1.0 - solvent_mass_fraction) / resin_K);
}

double solvent_mass_fraction(double volume_fraction, const Resin& resin, const FilmSolvent& solvent) {
  const double mass = volume_fraction * solvent.of.density_kg_m3;
  return mass / (mass + (1.0 - volume_fraction) * resin.dry_density_kg_m3);
}

double free_volume_fraction(double temperature_K, double glass_transition_K, double glass_factor) {
  const double above_K = temperature_K - glass_transition_K;
  return std::max(least_free_volume,
                  free_at_transition + free_per_K * (above_K > 0 ? above_K : glass_factor * above_K));
}

double kept_in_glass(const Resin& resin, double glass_keeps, double temperature_K) {
  constexpr double whole_below_K = 10;
  return glass_keeps * std::clamp((resin.glass_transition_K - temperature_K) / whole_below_K, 0.0, 1.0);
}

double mobile_fraction(double volume_fraction, double kept) {
  if (kept <= 0) return volume_fraction;
  const double half = kept / nearly_dry_kept_to_mobile, excess = volume_fraction - kept - half;
  return 0.5 * (excess + std::sqrt(excess * excess + 4 * half * std::max(0.0, volume_fraction)));
}

double with_kept(double mobile, double kept) {
  return kept > 0 ? mobile + kept * mobile / (mobile + kept / nearly_dry_kept_to_mobile) : mobile;
}

double mobile_share(double volume_fraction, double kept) {
  if (kept <= 0) return 1.0;
  const double half = kept / nearly_dry_kept_to_mobile, moves = mobile_fraction(volume_fraction, kept);
  return 1.0 / (1.0 + kept * half / ((moves + half) * (moves + half)));
}

double film_diffusivity_m2_s(double volume_fraction, const Resin& resin, const FilmSolvent& solvent,
                             const FreeVolume& how, double temperature_K) {
  // Of the dry part's volume: a film that is nearly all solvent has no holes.
  const double kept = (1 - volume_fraction) * kept_in_glass(resin, how.glass_keeps, temperature_K);
  const double film_K =
      glass_transition_K(solvent_mass_fraction(mobile_fraction(volume_fraction, kept), resin, solvent),
                         resin.glass_transition_K, solvent.glass_transition_K);
  const double film = free_volume_fraction(temperature_K, film_K, how.glass_factor);
  const double liquid = free_volume_fraction(temperature_K, solvent.glass_transition_K, how.glass_factor);
  const double size = solvent.of.molar_volume_m3_mol() / butyl_acetate_m3_mol;
  return mobile_share(volume_fraction, kept) * how.wet_m2_s * std::pow(size, -0.6) *
         std::exp(-how.jump * resin.hold * size * (1.0 / film - 1.0 / liquid));
}

double solvent_activity(double volume_fraction, const Resin& resin, const FilmSolvent& solvent) {
  if (volume_fraction <= 0) return 0.0;
  const double dry = 1.0 - volume_fraction;
  const double molar_m3_mol = solvent.of.molar_mass_kg_mol / solvent.of.density_kg_m3;
  const double elastic = molar_m3_mol * resin.crosslinks_mol_m3 * (std::cbrt(dry) - 0.5 * dry);
  return volume_fraction * std::exp(dry + resin.interaction * dry * dry + elastic);
}

double film_viscosity_Pa_s(double above_K) {
  const double fall = above_K > 0 ? wlf_c1 * above_K / (wlf_c2_K + above_K) : wlf_c1 * above_K / wlf_c2_K;
  return std::pow(10.0, log_viscosity_at_transition - fall);
}

double above_transition_K(double viscosity_Pa_s) {
  const double fall = log_viscosity_at_transition - std::log10(viscosity_Pa_s);
  return fall > 0 ? wlf_c2_K * fall / (wlf_c1 - fall) : wlf_c2_K * fall / wlf_c1;
}

}  // namespace witnessline::drying
