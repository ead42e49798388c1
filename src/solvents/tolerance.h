// Which solvents dissolve what binds a paint by themselves, and how much of the others those carry: what is held at the
// bench and printed in handbooks. Where it is known it overrules the sphere of solubility parameters.
#pragma once

#include <array>
#include <optional>
#include <span>
#include <vector>

#include "solvents/solution.h"

namespace witnessline::solvents {

/// Dissolves by itself; only together with one that does; only thins; throws out.
enum class SolventClass { true_solvent, latent_solvent, diluent, non_solvent };
constexpr auto words(const SolventClass*) {
  return std::array{"true_solvent", "latent_solvent", "diluent", "non_solvent"};
}
/// None: nothing is held of this pair. Source: common_practice; nitrocellulose: nitrocellulose_maker, doolittle1938.
std::optional<SolventClass> solvent_class(Binder, const Volatile&);

/// What true solvents carry of the others, made once for a set of solvents.
class Tolerance {
 public:
  Tolerance(Binder, std::span<const Volatile>);

  /// How far a blend is loaded with what dissolves nothing by itself [1]: 0 none of it, 1 all that its true solvents
  /// carry; far above without a true solvent. None: a binder, or a solvent there, of which nothing is held. `amount` by
  /// volume, of any sum; `which`: of the set, in the order of the amounts.
  /// Law: sum over the others of their volume over what the true solvents there tolerate of them. For nitrocellulose
  /// the tolerance is the published dilution ratio, by volume at 8 g in 100 mL (astm_d1720).
  /// Source: nitrocellulose_maker (butyl acetate, MIBK, butanol), common_practice. Valid: 15 to 30 degC.
  /// Departs: ratios fall as the film thickens; that alcohols raise the tolerance for hydrocarbons is left out.
  /// ESTIMATE: tolerances of the other binders, within a factor of 2.
  std::optional<double> load(std::span<const std::size_t> which, std::span<const double> amount) const;
  std::optional<double> load(std::span<const double> amount) const;  ///< of all of the set

 private:
  std::size_t count_ = 0;
  std::vector<char> known_, dissolves_;
  std::vector<double>
      carried_;  ///< [other * count + true solvent]: parts of the one that one part of the other carries
};

/// Loads between which a test card decides. ESTIMATE: nitrocellulose 0.7 to 1.3 (dilution ratios of its grades differ
/// by a quarter), others 0.5 to 2.
struct LoadLimits {
  double stays = 0.5, falls_out = 2;
};
LoadLimits load_limits(Binder);

}  // namespace witnessline::solvents
