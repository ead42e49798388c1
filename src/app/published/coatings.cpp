#include "app/published/published.h"
#include "materials/coverage.h"

namespace witnessline::app {

void add_coating_checks(Registry& registry) {
  registry.add("dry_film", {"wet_um", "volume_solids_pct", "thinner_per_part"}, [](const Numbers& in) {
    return 1e6 * dry_film_m(1e-6 * in["wet_um"], in["volume_solids_pct"] / 100, in["thinner_per_part"]);
  });
  registry.add("wet_film", {"dry_um", "volume_solids_pct", "thinner_per_part"}, [](const Numbers& in) {
    return 1e6 * wet_film_m(1e-6 * in["dry_um"], in["volume_solids_pct"] / 100, in["thinner_per_part"]);
  });
  registry.add("coverage", {"dry_um", "volume_solids_pct", "landing_pct"}, [](const Numbers& in) {
    return 1e-3 * coverage_m2_m3(1e-6 * in["dry_um"], in["volume_solids_pct"] / 100, in["landing_pct"] / 100);
  });
  registry.add("volume_solids", {"mass_solids", "solids_kg_m3", "volatile_kg_m3"}, [](const Numbers& in) {
    return 100 * volume_solids_fraction(in["mass_solids"], in["solids_kg_m3"], in["volatile_kg_m3"]);
  });
  // One sprayed coat of a material of the library, thinned: its own volume solids.
  registry.add("dry_film_of_coat", [&registry](const PublishedRow& row) -> Result<double> {
    const Result<Numbers> in = numbers(row, {"wet_um", "thinner_per_part"});
    if (!in) return in.errors();
    const Result<double> solids = datum_of_subject(registry, row, Property::volume_solids);
    if (!solids) return solids.errors();
    return 1e6 * dry_film_m(1e-6 * (*in)["wet_um"], *solids, (*in)["thinner_per_part"]);
  });
}

}  // namespace witnessline::app
