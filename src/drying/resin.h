// What a film of resin and solvent is like: how soft, how fast solvent moves in it, how hard it pulls to get out.
#pragma once

#include "materials/material.h"
#include "solvents/evaporation.h"

namespace witnessline::drying {

/// The solvent a drying film holds: one stands for the blend it was laid with (the slow end; see slow_end).
struct FilmSolvent {
  Volatile of;
  double glass_transition_K = 115.0;  ///< ESTIMATE, sd 8: toluene 117, most lacquer solvents 100 to 130 (memory)
};
/// Errors: what its file lacks.
Result<FilmSolvent> film_solvent_of(const Material&);

/// The dry part of a coat.
struct Resin {
  double glass_transition_K = 318.15;
  double dry_density_kg_m3 = 1300.0;
  double interaction = 0.5;         ///< Flory and Huggins' chi with the solvent [1]
  double crosslinks_mol_m3 = 0.0;   ///< elastic strands in the dry film; 0: dissolves
  bool transition_assumed = false;  ///< its file gives no glass transition: 45 degC was taken (ESTIMATE)
  /// Times the jump the solvent needs by its size: above 1 where an alcohol holds to the resin's hydroxyl groups.
  double hold = 1.0;
};

/// Of what binds a coat. Law: chi = 0.5 RED^2 at most 3, so that RED 1 is the border of solubility at high molar mass.
/// Source: hansen2007, ch. 2 (RED^2 = chi / chi critical); 0.5 where a parameter is missing (ESTIMATE).
/// Departs: flory_interaction() is fitted to vapour over films and lets the sphere's border drift; here what counts is
/// whether a new coat dissolves the one below, which the sphere itself says.
/// hold: what practice makes of it (drying_of()) for a solvent that donates hydrogen bonds, 1 for any other: a resin of
/// many hydroxyl groups (shellac) keeps alcohols, to which it was fitted, and lets esters and ketones go by their size.
/// Donors: alcohols, glycol ethers, keto-alcohols and water, by the solvent's family.
/// Cross-linked binders hold 1000 mol/m3 of elastic strands (ESTIMATE, 300 to 3000): they swell little.
Resin resin_of(const Material&, const FilmSolvent&);

/// Binders that cure into one molecule: nothing dissolves them again.
bool cross_linked(Binder);

/// A binder that cures, part of the way from as laid (0) to cured (1): at first it is liquid or soft, so it lets its
/// solvent go before it hardens.
/// Law: its glass transition lies 60 K lower (ESTIMATE, 40 to 100) by the part still ahead; strands by the part done.
/// Source: ESTIMATE. Departs: a real transition rises slowly at first and fast at the end.
Resin partly_cured(Resin, double part);

/// How fast solvent moves in a film. No figure for a lacquer was found: physics_of() gives what common practice makes
/// most likely. Both are those of butyl acetate; others follow by their size.
struct FreeVolume {
  double jump = 0.45;          ///< share of a whole segment's jump that the solvent needs [1]
  double wet_m2_s = 1.0e-9;    ///< diffusivity in nearly pure solvent
  double glass_factor = 0.30;  ///< how much less free volume changes with temperature in the glass [1]
  double glass_keeps = 0.036;  ///< volume of solvent that a dry glass keeps in its holes [1]
};

/// Glass transition of resin with solvent left in it [K]. Law: 1/Tg = sum w_i/Tg_i. Source: fox1956.
/// Valid: miscible parts. Departs: real blends with small molecules lie up to 20 K off.
double glass_transition_K(double solvent_mass_fraction, double resin_K, double solvent_K);

/// Mass fraction of solvent from its volume fraction [1].
double solvent_mass_fraction(double volume_fraction, const Resin&, const FilmSolvent&);

/// Free share of the volume [1]. Law: f = 0.0249 + 4.83e-4/K (T - Tg) above, glass_factor of that slope below.
/// Source: williams1955 (universal constants 17.44 and 51.6 K); below Tg: vrentas1977, form.
/// Valid: up to Tg + 100 K. Departs: universal constants instead of the resin's own.
double free_volume_fraction(double temperature_K, double glass_transition_K, double glass_factor);

/// Share of the solvent that moves when a little more comes in, dm/dp [1], in a glass that keeps `kept` of it.
/// Law: p = m + kept m / (m + half): solvent in holes of the glass stands still, the rest moves; half so that in a
/// nearly dry glass one part in 31 moves (ESTIMATE, 10 to 100). Source: vieth1965. Departs: holes neither grow nor
/// shrink with age.
double mobile_share(double volume_fraction, double kept);
/// The part m of a volume fraction p of solvent that moves, and p for an m [1]. Law: as above.
double mobile_fraction(double volume_fraction, double kept);
double with_kept(double mobile_fraction, double kept);
/// What the dry glass keeps of its solvent in holes [volume fraction]. Law: nothing above its glass transition, all of
/// it from 10 K below. Source: koros1978 (holes vanish at the transition). Departs: there they grow further as it
/// cools; ours were frozen in at the temperature of the shop.
double kept_in_glass(const Resin&, double glass_keeps, double temperature_K);

/// Mutual diffusivity of solvent in the film at a volume fraction of solvent [m2/s].
/// Law: D = mobile_share D_wet s^-0.6 exp(-jump hold s (1/f - 1/f_solvent)), s the molar volume over butyl acetate's:
/// the jump grows with the molecule (vrentas1977), the drag in liquid with its volume^0.6 (wilke1955); f of the mixture
/// from its Tg, softened by what moves only: what stands in holes does not push chains apart.
/// Source: fujita1961, free-volume form. Valid: above and a little below Tg. Departs: thermodynamic factor taken into
/// D_wet; no stress or memory in the glass; branched solvents stay longer than their volume says (newman1975).
double film_diffusivity_m2_s(double volume_fraction, const Resin&, const FilmSolvent&, const FreeVolume&,
                             double temperature_K);

/// Activity of the solvent over the film [1]. Law: ln a = ln p + (1-p) + chi (1-p)^2 + V n ((1-p)^(1/3) - (1-p)/2),
/// p the volume fraction, n strands; once 1 is reached the rest lies as free liquid. Source: flory1953, XII and XIII.
/// Departs: one chi for every concentration.
double solvent_activity(double volume_fraction, const Resin&, const FilmSolvent&);

/// Viscosity of a film by how far it is above its glass transition [Pa s].
/// Law: 1e12 Pa s at Tg, times 10^(-17.44 x/(51.6 + x)); below Tg on along the slope at Tg. Source: williams1955; 1e12:
/// definition of Tg by viscosity (memory). Valid: Tg to Tg + 100 K. Departs: below Tg a lower bound.
double film_viscosity_Pa_s(double above_transition_K);
/// The inverse: how far above its glass transition a film may be to have a viscosity [K].
double above_transition_K(double viscosity_Pa_s);

}  // namespace witnessline::drying
