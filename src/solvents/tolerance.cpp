#include "solvents/tolerance.h"

#include <limits>
#include <numeric>

#include "base/result.h"

namespace witnessline::solvents {

namespace {

constexpr double dissolves = std::numeric_limits<double>::infinity();

/// Parts of a solvent that one part of true solvent carries; `dissolves` for a true solvent. None: nothing is held.
/// `true_solvent`: the one that carries, for nitrocellulose.
std::optional<double> tolerance(Binder binder, const Volatile& of, const Volatile* true_solvent) {
  using enum SolventFamily;
  if (of.family == unknown) return std::nullopt;
  switch (binder) {
    case Binder::nitrocellulose:
      if (of.aromatic_ratio > 0) return dissolves;
      if (of.family == alcohol) return 10;  // butanol in butyl acetate. Source: nitrocellulose_maker
      if (of.family == water) return 0.1;   // ESTIMATE
      if (of.family == aromatic) return true_solvent ? true_solvent->aromatic_ratio : 0;
      return true_solvent ? true_solvent->aliphatic_ratio : 0;
    case Binder::acrylic:
      return of.family == aliphatic ? 1.0 : of.family == alcohol ? 1.5 : of.family == water ? 0.03 : dissolves;
    case Binder::shellac:
    case Binder::spirit_varnish:
      if (of.family == alcohol || of.family == glycol_ether || of.family == keto_alcohol) return dissolves;
      return of.family == aromatic ? 0.5 : of.family == aliphatic ? 0.3 : of.family == water ? 0.15 : 1.0;
    case Binder::oil_varnish:
    case Binder::alkyd:
    case Binder::polyurethane:
      return of.family == alcohol ? 0.3 : of.family == glycol_ether ? 1.0 : of.family == water ? 0.01 : dissolves;
    default:
      return std::nullopt;
  }
}

}  // namespace

std::optional<SolventClass> solvent_class(Binder binder, const Volatile& solvent) {
  const std::optional<double> carried = tolerance(binder, solvent, nullptr);
  if (!carried) return std::nullopt;
  if (*carried == dissolves) return SolventClass::true_solvent;
  using enum SolventFamily;
  if (solvent.family == water) return SolventClass::non_solvent;
  const bool latent =
      binder == Binder::shellac || binder == Binder::spirit_varnish
          ? solvent.family == ester || solvent.family == ketone
          : solvent.family == alcohol && (binder == Binder::nitrocellulose || binder == Binder::acrylic);
  return latent ? SolventClass::latent_solvent : SolventClass::diluent;
}

Tolerance::Tolerance(Binder binder, std::span<const Volatile> solvents)
    : count_(solvents.size()), known_(count_, 0), dissolves_(count_, 0), carried_(count_ * count_, 0.0) {
  for (std::size_t i = 0; i < count_; ++i) {
    const std::optional<double> own = tolerance(binder, solvents[i], nullptr);
    known_[i] = own.has_value(), dissolves_[i] = own == dissolves;
  }
  for (std::size_t i = 0; i < count_; ++i)
    for (std::size_t k = 0; k < count_; ++k)
      if (known_[i] && dissolves_[k]) carried_[i * count_ + k] = *tolerance(binder, solvents[i], &solvents[k]);
}

std::optional<double> Tolerance::load(std::span<const std::size_t> which, std::span<const double> amount) const {
  constexpr double nothing = 1e-9, most = 1e3;
  double load = 0;
  for (std::size_t n = 0; n < which.size(); ++n) {
    const std::size_t i = which[n];
    if (amount[n] <= nothing) continue;
    if (!known_[i]) return std::nullopt;
    if (dissolves_[i]) continue;
    double carried = 0;
    for (std::size_t m = 0; m < which.size(); ++m)
      if (dissolves_[which[m]]) carried += amount[m] * carried_[i * count_ + which[m]];
    load += amount[n] < most * carried ? amount[n] / carried : most;
  }
  return load;
}

std::optional<double> Tolerance::load(std::span<const double> amount) const {
  expects(amount.size() == count_, "an amount for each solvent");
  std::vector<std::size_t> all(count_);
  std::iota(all.begin(), all.end(), std::size_t{0});
  return load(all, amount);
}

LoadLimits load_limits(Binder binder) { return binder == Binder::nitrocellulose ? LoadLimits{0.7, 1.3} : LoadLimits{}; }

}  // namespace witnessline::solvents
