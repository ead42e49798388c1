// What evaporates from a tin: from its safety data sheet, or from the library where the material is itself a solvent.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "base/describe.h"
#include "safety/ventilation.h"

namespace witnessline::safety {

struct SolventShare {
  std::string material;
  double volume_fraction = 0;  ///< of what evaporates
};
template <class V>
void describe(V& v, SolventShare& s) {
  v(member("material", "a solvent's material id").must(), s.material);
  v(member("volume_pct", "share by volume of what evaporates", unit::pct).within(0, 100).must(), s.volume_fraction);
}

/// The solvents of a tin whose makers do not print them on it.
struct Contents {
  std::string of;          ///< material id of the tin
  std::string known_from;  ///< "safety data sheet of 2024-05-02, section 3"
  std::vector<SolventShare> solvents;
};
template <class V>
void describe(V& v, Contents& c) {
  v(member("of", "material id of the tin").must(), c.of);
  v(member("known_from", "where this was read, as the safety data sheet and its date").must(), c.known_from);
  v(member("solvents", "what evaporates from it; the shares sum to 100").must(), c.solvents);
}

/// Faults of shares that do not sum to 1 within half a per cent, and of materials that are no solvents. Keys start with
/// `key`: "contents[2]".
std::vector<Error> faults_of(const Contents&, const Library&, const std::string& key);

/// Adds what evaporates from a flow of liquid. A tin whose contents nobody gave is added as one unknown liquid, its
/// volume and density worked out from its solids, so that nothing built on it can be called safe.
void add_vapours(std::vector<VapourFlow>&, const Material&, double liquid_m3_s, const Library&,
                 std::span<const Contents>);

}  // namespace witnessline::safety
