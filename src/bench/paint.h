// Paint: what a mixture is as a liquid: how much of it is film, what binds it, what it is made of by volume.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "bench/run.h"

namespace witnessline::bench {

struct Paint {
  struct Share {
    std::string material;
    double volume_fraction = 0;  ///< of the liquid as bought
    double density_kg_m3 = 0;
  };
  std::shared_ptr<const Mixture> mixture;
  std::vector<Share> shares;
  double volume_solids = 0;        ///< volume fraction of the liquid that stays as film
  const Material* main = nullptr;  ///< the part that binds: largest share among those with a binder
  bool metallic = false, pigmented = false;
  std::vector<Harmful> metals;  ///< poisonous ones of its parts, each once, in the order of the enum
  Binder binder() const { return main ? main->binder : Binder::none; }
  double density_kg_m3() const;  ///< of the liquid as bought
  /// Relative energy difference of a solvent and what binds this film, where both are known: below 1 it dissolves.
  std::optional<double> energy_difference(const Material& solvent) const;
};

/// Why the dust of a coat must not be made, in a word or two; empty: nothing is known against it. Old pigmented paint
/// counts as leaded until a test says otherwise (common practice).
std::string dust_hazard(const Paint&, Origin);

/// A mixture of the job or a material of the library, by id. Errors name the nearest right word.
/// Law: volumes add; part i has volume m_i / density_i. Departs: real paints shrink a little on mixing.
Result<Paint> paint_of(const std::string& id, const Bench&, const std::string& key);
Result<Paint> paint_of(const std::shared_ptr<const Mixture>&, const Bench&, const std::string& key);

/// A material of the library, by id. Errors name the nearest right word.
Result<const Material*> material_of(const std::string& id, const Bench&, const std::string& key);

}  // namespace witnessline::bench
