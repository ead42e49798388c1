// What a film becomes as it stands: it loses what keeps it supple, and gets stiffer, tighter and less tough.
#pragma once

#include "cracking/film_stress.h"
#include "materials/material.h"

namespace witnessline::cracking {

/// Share of a new dry film that keeps it supple and leaves in time: plasticiser of lacquers 0.2, rosin, oils and wax of
/// the others 0.1, none in two-pack films (ESTIMATE).
double usual_plasticiser_frac(Binder);

struct FilmAge {
  double stood_s = 0;           ///< since it was laid
  double plasticiser_frac = 0;  ///< of the dry film, as laid
};

/// Plasticiser left [1]. Law: exponential loss, half gone in 40 years (ESTIMATE, 15 to 100). Departs: thickness, warmth
/// and what lies over it do not count here.
double plasticiser_left_frac(const FilmAge&);

/// The film after that time. With s the share of the usual plasticiser that is gone: toughness Gc exp(-2 s), modulus
/// E (1 + 0.6 s), glass transition by Fox with a plasticiser of 190 K. Source: fox1956 (transition); the others
/// ESTIMATE: hard lacquer sheet is 1.6 times as stiff as plasticised (plastics_handbooks); no toughness was found.
/// `usual_frac` 0: nothing to lose, the film is given back as it is. Valid: s from -1 to 1.
CrackingFilm aged(const CrackingFilm&, const FilmAge&, double usual_frac);

/// Stress a held film keeps [Pa]. Law: Eyring's flow, d(sigma)/dt = -(s/tau) sinh(sigma/s): a strong pull eases sooner
/// than Maxwell's rule has it, a small one alike; tanh(sigma/2s) falls as exp(-t/tau). Source: eyring1936.
/// ESTIMATE: s = 4 MPa, kT over an activation volume of 1 nm3 (0.5 to 2 nm3 for glassy plastics, memory).
double eased_Pa(double stress_Pa, double duration_s, double tau_s);

/// Stress from shrinking while plasticiser leaves, creep against it [Pa], both directions alike.
/// Law: s asinh(q/s), q = E/(1 - nu) x rate of loss / 3 x tau (1 - exp(-t/tau)). Source: croll1979 (a third of the
/// volume lost); eyring1936 as above, shrinking and easing in balance.
/// `aged` is the film as it is now.
double ageing_stress_Pa(const CrackingFilm& aged, const FilmAge&, double temperature_K);

/// Toughness left after a number of equal shocks, over that of the first [1].
/// Law: n^(-1/8). Source: ESTIMATE, a fatigue exponent of 16 in stress (brittle plastics 8 to 25, memory).
double toughness_after_shocks(int shocks);

}  // namespace witnessline::cracking
