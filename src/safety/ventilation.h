// Fresh air a spraying or drying room asks for: that it cannot burn, that it can be breathed, that a booth draws it in.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "materials/material.h"
#include "safety/room.h"

namespace witnessline::safety {

/// What is known of a liquid's vapour. What is missing is missing: it is never taken as harmless.
struct VapourFacts {
  std::string id, name;
  std::optional<double> molar_mass_kg_mol, density_kg_m3, boiling_point_K;
  std::optional<Datum> explosive_limit;  ///< lower, share of the air by volume; the lowest published
  std::optional<Datum> breathing_limit;  ///< eight hours, share of the air by volume; the lowest known
  std::optional<Datum> danger_limit;     ///< immediately dangerous to life or health
  bool harmless = false;                 ///< water
  /// "no explosive limit of x is known", ...; empty: everything the air asks for can be worked out
  std::vector<std::string> missing() const;
};
VapourFacts vapour_facts(const Material&);

/// One liquid turning to vapour.
struct VapourFlow {
  VapourFacts of;
  double liquid_m3_s = 0;
};

/// Vapour from a volume of liquid [m3/m3]. Law: ideal gas, rho R T / (M p). Source: cfr1910_94, Table G-11 (within 2.2
/// %, 2-propanol 4.7 %). Valid: room temperature, about 1 atm.
double vapour_per_liquid(double density_kg_m3, double molar_mass_kg_mol, double temperature_K,
                         double pressure_Pa = 101325.0);

/// Lower explosive limit of mixed vapours [share by volume]. Law: Le Chatelier, 1 / sum(y_i / L_i), y by volume, sum 1.
/// Source: crowl2001. Valid: vapours that burn alike. Departs: a few per cent for the solvents of lacquers.
double mixed_explosive_limit(std::span<const double> vapour_share, std::span<const double> limit_share);

/// Air that keeps vapour below a share of its lower explosive limit [m3 air / m3 vapour].
/// Law: (1 - LEL) / (share x LEL); with a quarter: 4 (100 - LEL) / LEL. Source: cfr1910_94, (c)(6)(ii).
double fire_dilution(double explosive_limit_share, double kept_below_share = 0.25);

/// Sum of concentrations over their limits [1]; above 1 the mixture is over although each part may be under its own.
/// Source: cfr1910_1000, (d)(2). Valid: solvents, which harm alike; others are added too, which is on the safe side.
double exposure_index(std::span<const double> concentration_share, std::span<const double> limit_share);

/// Concentration over a working day [same unit]. Law: sum(C_i t_i) / 8 h. Source: cfr1910_1000, (d)(1).
double day_average(std::span<const double> concentration_share, std::span<const double> duration_s);

/// Air speed into a booth for guns worked by air [m/s], with the range that complies.
/// Source: cfr1910_94, Table G-10, small booth (the stricter rows). None: such a cross-draught is not permitted.
struct FaceSpeed {
  double design_m_s = 0, low_m_s = 0, high_m_s = 0;
};
std::optional<FaceSpeed> booth_face_speed(double crossdraught_m_s);

/// The three demands on the air, and which of them rules.
struct AirAsked {
  Figure fire;       ///< air flow under a quarter of the lower explosive limit
  Figure breathing;  ///< air flow under the breathing limits, mixing factor included
  Figure face;       ///< air flow into the booth's face
  Figure ruling;     ///< the largest; not known unless all are
  Figure at_least;   ///< the largest of what is known
  std::string ruled_by;
  std::vector<std::string> missing;  ///< what must be found out before anything can be called safe
};
template <class V>
void describe(V& v, AirAsked& a) {
  v(member("fire", "air that keeps vapour under a quarter of its lower explosive limit"), a.fire);
  v(member("breathing", "air that keeps vapour under its breathing limits, where people breathe"), a.breathing);
  v(member("face", "air into the booth's open face"), a.face);
  v(member("ruling", "the largest of the three; not known unless all are"), a.ruling);
  v(member("at_least", "the largest of what is known"), a.at_least);
  v(member("ruled_by", "fire, breathing or face"), a.ruled_by);
  v(member("missing", "what must be found out before anything can be called safe"), a.missing);
}

/// `booth`: whether a booth's face is part of it (spraying) or not (drying).
AirAsked air_asked(std::span<const VapourFlow>, const Room&, double temperature_K, bool booth);

/// How vapours stand in air: sums over the flows, per volume of vapour. None where a figure is missing.
struct VapourMix {
  double vapour_m3_s = 0, mass_kg_s = 0;
  std::optional<double> explosive_limit;   ///< of the mixture, share by volume
  std::optional<double> index_per_share;   ///< exposure index of air that held nothing but this vapour
  std::optional<double> danger_per_share;  ///< the same against the immediately dangerous limits known
  bool complete() const { return explosive_limit && index_per_share; }
};
VapourMix mix_of(std::span<const VapourFlow>, double temperature_K);

}  // namespace witnessline::safety
