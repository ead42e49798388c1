// A solution of a film former in solvents: how strongly each solvent wishes to leave it.
#pragma once

#include <array>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "materials/material.h"
#include "solvents/groups.h"
#include "solvents/hansen.h"
#include "solvents/vapour.h"

namespace witnessline::solvents {

/// What leaving a film needs to know of one solvent.
struct Volatile {
  std::string id;
  Antoine antoine;
  double molar_mass_kg_mol = 0;
  double density_kg_m3 = 0;
  double heat_of_vaporisation_J_mol = 0;
  double diffusion_volume_cm3_mol = 0;
  Hansen hansen;
  SolventFamily family = SolventFamily::unknown;
  /// As a true solvent of nitrocellulose: the parts of toluene and of petroleum spirit that one part of it carries [1];
  /// 0: it is none.
  double aromatic_ratio = 0, aliphatic_ratio = 0;
  Groups groups;         ///< unknown: the solvent mixes by its Hansen parameters alone
  std::string stood_in;  ///< what stands in for data it lacks; empty: nothing

  double molar_volume_m3_mol() const { return molar_mass_kg_mol / density_kg_m3; }
};

/// Of a material. Without Antoine constants its boiling point stands in (antoine_by_boiling_point()), and its heat and
/// its size in the air follow from that and from its molar volume (ESTIMATE, a tenth). An Error names every property it
/// lacks.
Result<Volatile> volatile_of(const Material&);

/// What a solvent meets in a film: the sphere of what dissolves the film former.
struct FilmFormer {
  std::string id;
  Hansen hansen;
  double r0 = 0;         ///< radius of the sphere of its solvents [Pa^0.5]
  double border_sd = 0;  ///< doubt of where that sphere ends, over r0 [1]
  Binder binder = Binder::none;
};
std::optional<FilmFormer> film_former_of(const Material&);

/// How activities are worked out: as mole fractions; by Hansen distances; solvents among themselves by their groups.
enum class Mixing { ideal, regular, groups };
constexpr auto words(const Mixing*) { return std::array{"ideal", "regular", "groups"}; }

/// Scale of the Hansen distance in the interaction parameter. Source: lindvig2002 (memory).
inline constexpr double hansen_scale = 0.6;

/// Interaction parameter of a solvent and a film former [1]. Law: chi = 0.6 V Ra^2 / (4 R T). Source: lindvig2002.
/// Valid: 0 to 60 degC. Departs: no dependence on concentration; for a film former known by its sphere alone +-0.3.
double flory_interaction(const Volatile&, const Hansen& film_former, double temperature_K);

/// Solvents around a film former at one temperature. Cheap to ask, so made once a run.
class Solution {
 public:
  static constexpr std::size_t most_solvents = 24;

  /// `wanted` falls back from groups to regular when a solvent has no groups. No film former: solvents alone.
  Solution(std::vector<Volatile>, std::optional<FilmFormer>, double temperature_K, Mixing wanted = Mixing::groups);

  const std::vector<Volatile>& solvents() const { return solvents_; }
  const std::optional<FilmFormer>& film_former() const { return film_former_; }
  Mixing mixing() const { return mixing_; }

  /// Activities of the solvents [1] from their volume fractions; what is missing to 1 is film former.
  /// Law: Flory and Huggins with a film former of endless chains,
  ///   ln a_i = ln phi_i + 1 - V_i S + phi_s ln g_i + phi_r V_i S g + phi_r V_i (c_i - sum c_k phi_k), S = sum
  ///   phi_k/V_k, c_k = chi_k/V_k, phi_r film former, phi_s = 1 - phi_r, ln g_i the solvents' coefficients among
  ///   themselves over their own Flory term and g their mean. The derivative of one free energy, so consistent; without
  ///   film former it is UNIFAC (groups) or regular solution (regular). Ideal: mole fraction among the solvents, film
  ///   former not counted: the baseline.
  /// The particles of a water-borne film former are a phase of their own and are not counted.
  /// Source: flory1953, ch. 12; lindvig2002; fredenslund1975. Valid: one phase. Departs: an activity above 1 says that
  ///   the film former wants to fall out; glassy film formers hold on to their last 10 % otherwise.
  void activities(std::span<const double> volume_fraction, std::span<double> activity) const;

 private:
  std::vector<Volatile> solvents_;
  std::optional<FilmFormer> film_former_;
  Mixing mixing_ = Mixing::ideal;
  std::vector<double> molar_volume_m3_mol_, dislike_mol_m3_;  ///< V_i and c_i
  double scale_mol_J_ = 0;                                    ///< 0.6/(4 R T)
  std::optional<GroupMixing> groups_;
};

}  // namespace witnessline::solvents
