// Fresh air a spraying or drying room asks for: that it cannot burn, that it can be breathed, that a booth draws it in.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "materials/material.h"
#include "safety/room.h"

namespace witnessline::safety {

/// What is known of a liquid's vapour. What is missing is missing: it is never taken as harmless.
struct VapourFacts {
  std::string id, name;
  std::optional<double> molar_mass_kg_mol, density_kg_m3, boiling_point_K, flash_point_K, autoignition_K;
  std::optional<Datum> explosive_limit;          ///< lower, share of the air by volume; the lowest published
  std::optional<Datum> breathing_limit;          ///< eight hours, share of the air by volume; the lowest known
  std::optional<Datum> danger_limit;             ///< immediately dangerous to life or health
  bool danger_unpublished = false;               ///< the source that lists such limits gives none for it
  std::string passes_cartridges, skin_notation;  ///< as Material
  bool harmless = false;                         ///< water
  /// "the lower explosive limit of x", ...; empty: everything the air asks for can be worked out
  std::vector<std::string> missing() const;
};

/// How missing() names a paint whose solvents are not given.
inline constexpr std::string_view solvents_of = "the solvents of ";
/// "a, b and c"; names that hold commas are kept apart by semicolons.
std::string listed(const std::vector<std::string>& names);
/// What is missing of all vapours, one sentence a kind, and where it is entered.
std::string describe_missing(const std::vector<std::string>& missing);

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

/// Air speed into a booth for guns worked by air [m/s], with the range that complies, and the least over an open face.
/// Source: cfr1910_94, Table G-10, small booth (the stricter rows); least: cfr1910_107 (b)(5), 100 ft/min, with a
/// cross-draught the low end of the range. None: such a cross-draught is not permitted.
struct FaceSpeed {
  double design_m_s = 0, low_m_s = 0, high_m_s = 0, least_m_s = 0;
};
std::optional<FaceSpeed> booth_face_speed(double crossdraught_m_s);

/// Share of spray that an open-face booth draws in at its design speed and that never reaches the sprayer.
/// ESTIMATE: nine tenths; painters in booths that met their speed were still exposed (heitbrink1995), so never all.
inline constexpr double booth_captures = 0.9;
/// Outdoors, upwind of the work: the wind turns. ESTIMATE.
inline constexpr double open_air_captures = 0.7;
/// Of a room with a booth that keeps its face speed, or of the open air; 0: neither.
double captured_in_booth(const Room&);
/// The same with a fan: 0 where it does not hold the face.
double captured_share(const Room&, std::optional<double> fan_m3_s);

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

/// For work without end: the steady state, which the air of any room stays under. `booth`: whether a booth's face is
/// part of it (spraying) or not (drying).
AirAsked air_asked(std::span<const VapourFlow>, const Room&, double temperature_K, bool booth);
/// The same with another flow to breathe: of work that ends, in a room of a known volume.
AirAsked with_breathing(AirAsked, double breathing_m3_s, const std::string& law);

/// Vapours over a limit each, added up, per volume of all their vapour.
struct OverLimit {
  double per_share = 0;              ///< of those whose limit is known
  std::vector<std::string> unknown;  ///< those without one: the true sum is higher
  bool complete() const { return unknown.empty(); }
};

/// How vapours stand in air: sums over the flows. What is immediately dangerous and not published for a vapour is taken
/// as 10 % of its lower explosive limit, as niosh_idlh1994 does where burning is the nearer danger.
struct VapourMix {
  double vapour_m3_s = 0, mass_kg_s = 0;  ///< of the flows whose molar mass and density are known
  OverLimit fire, breathing, danger;
  /// Of the mixture, share by volume; none: not known, or nothing burns.
  std::optional<double> explosive_limit() const;
  bool complete() const { return fire.complete() && breathing.complete(); }
};
VapourMix mix_of(std::span<const VapourFlow>, double temperature_K);

}  // namespace witnessline::safety
